"""What is lit of a signal in a display: its LEDs, each once, with how and how brightly they are lit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.anatomy import LIT

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from fractions import Fraction

    from lampwright_wiring.model import Feed, WiredLamp


class Lit(Struct, frozen=True):
    """The LEDs of one ``light`` (see ``Feed``) in a state: ``lit``, ``flash`` or another way of the rulebook."""

    light: str
    state: str
    level: Fraction


def lit(lamps: Iterable[WiredLamp], display: Mapping[str, str]) -> tuple[Lit, ...]:
    """Return what is lit of a signal's lamps in a display by full names."""
    states = ((lamp, state) for lamp in lamps if (state := lamp.state(display)))
    return _once(Lit(feed.light, state, feed.load.level) for lamp, state in states for feed in wired(lamp))


def all_of(lamps: Iterable[WiredLamp]) -> tuple[Lit, ...]:
    """Return all that can be lit of some lamps at once: of an LED between two outputs the colour that takes more."""
    found: dict[object, Feed] = {}
    for feed in (feed for lamp in lamps for feed in wired(lamp)):
        key = frozenset((feed.output, feed.returns)) if feed.load.both_ways else feed.light
        if key not in found or _more(feed, found[key]):
            found[key] = feed
    return tuple(Lit(feed.light, LIT, feed.load.level) for feed in found.values())


def wired(lamp: WiredLamp) -> Iterable[Feed]:
    """Return what lights a lamp, as far as it is wired."""
    return (feed for feed in lamp.feeds if feed.output is not None)


def _more(feed: Feed, other: Feed) -> bool:
    """Tell whether a feed takes more than another, or is set brighter where both take the same."""
    mine, its = feed.draw.total, other.draw.total
    return its is None or (mine is not None and (mine.most, feed.load.level) > (its.most, other.load.level))


def _once(found: Iterable[Lit]) -> tuple[Lit, ...]:
    """Return each light once: the one that takes more, which is steady before flashing and bright before dim."""
    best: dict[str, Lit] = {}
    for one in found:
        other = best.get(one.light)
        if other is None or (one.state == LIT, one.level) > (other.state == LIT, other.level):
            best[one.light] = one
    return tuple(best.values())
