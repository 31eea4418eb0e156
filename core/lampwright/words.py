"""Putting names into sentences: lists, near misses, plurals."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

CAP = 12
"""Longest list a message spells out."""


MANY, LONG = 300, 40
"""Names of which a slip is looked for by one letter alone, and letters of a word that is still short."""
SLIP, CLEARLY = 0.75, 0.1
"""How much alike two words are of which one is a slip for the other, and how much less so any third."""


class Names(tuple[str, ...]):
    """Names that many words are compared with: two of them are one only if they are the same object.

    So what was found of them once is found again without a look at each.
    """

    __slots__ = ()
    __hash__ = object.__hash__

    def __eq__(self, other: object) -> bool:
        """Tell whether it is the same object."""
        return self is other


def listed(names: Iterable[str], joint: str = "and") -> str:
    """Return ``a, b and c``; past twelve names the rest is counted."""
    words = list(names)
    if len(words) > CAP:
        words = [*words[:CAP], f"{len(words) - CAP} more"]
    if len(words) < 2:  # noqa: PLR2004  (a list of one needs no joint)
        return "".join(words)
    return f"{', '.join(words[:-1])} {joint} {words[-1]}"


def nearest(word: str, names: Iterable[str]) -> str:
    """Return the name most like ``word``, or an empty text if none is near enough to be meant."""
    from difflib import get_close_matches

    close = get_close_matches(word, _near(word, _held(names)), n=1, cutoff=0.6)
    return close[0] if close else ""


def _near(word: str, names: tuple[str, ...]) -> tuple[str, ...]:
    """Return the names to compare a word with: all, or of very many those that one letter makes the difference to.

    To compare takes long, and a plan may be wrong in as many places as it has names.
    """
    if len(names) <= MANY:
        return names
    known = _by_loss(names)
    return tuple({name: None for loss in _losses(word) for name in known.get(loss, ())})


@lru_cache(maxsize=8)
def _by_loss(names: tuple[str, ...]) -> dict[str, list[str]]:
    """Return names by what is left of each without one of its letters."""
    found: dict[str, list[str]] = {}
    for name in names:
        for loss in _losses(name):
            found.setdefault(loss, []).append(name)
    return found


def _losses(word: str) -> set[str]:
    """Return a word, and what is left of it without each of its letters; of very long ones only itself."""
    return {word, *(word[:at] + word[at + 1 :] for at in range(len(word) if len(word) <= LONG else 0))}


class Meant(str):
    """A tip that knows what is meant in place of what is written; ``sure`` if it can hardly be anything else."""

    __slots__ = ("meant", "sure")

    meant: str
    sure: bool

    @classmethod
    def said(cls, tip: str, meant: str, *, sure: bool = False) -> Meant:
        """Return a tip with what is meant."""
        made = cls(tip)
        made.meant, made.sure = meant, sure
        return made


def _sure(word: str, close: str, names: Iterable[str]) -> bool:
    """Tell whether a word is a slip of the pen for a name: alike, no other nearly so, and no number differs."""
    from difflib import SequenceMatcher

    def likeness(name: str) -> float:
        return SequenceMatcher(None, word, name).ratio()

    best = likeness(close)
    rival = max((likeness(name) for name in names if name != close), default=0.0)
    return best >= SLIP and rival < best - CLEARLY and _digits(word) == _digits(close)


def _digits(word: str) -> list[str]:
    """Return the digits of a word."""
    return [letter for letter in word if letter.isdigit()]


def did_you_mean(word: str, names: Iterable[str], what: str = "") -> str:
    """Return a tip: the near miss if there is one, else the names there are."""
    return _tip(word, _held(names), what)


def _held(names: Iterable[str]) -> tuple[str, ...]:
    """Return names as they are kept."""
    return names if isinstance(names, Names) else tuple(names)


@lru_cache(maxsize=256)  # one slip may stand in thousands of places, and comparing words takes long
def _tip(word: str, known: tuple[str, ...], what: str) -> str:
    """Return the tip for a word."""
    if close := nearest(word, known):
        return Meant.said(f"did you mean {close}?", close, sure=_sure(word, close, _near(word, known)))
    if not known:
        return f"there are no {what.removeprefix('the ').removeprefix('its ')}" if what else ""
    return f"{what or 'there'} are {listed(known)}" if what else f"there are {listed(known)}"


def counted(number: int, noun: str) -> str:
    """Return ``1 signal``, ``8 signals``, ``2 switches``."""
    if number == 1:
        return f"1 {noun}"
    return f"{number:,} {noun}{'es' if noun.endswith(('s', 'ch', 'x')) else 's'}"


def with_article(noun: str) -> str:
    """Return the noun with ``a`` or ``an``, as an eight has it too."""
    return f"{'an' if noun[:1] in 'aeiou8' else 'a'} {noun}"
