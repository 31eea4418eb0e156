"""How lamps flash, as far as rulebooks tell: for what share of the time they are lit, and at which moments together."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.quantities import plain_number
from lampwright.rulebooks.anatomy import LIT
from lampwright.rulebooks.codec import as_text
from lampwright_wiring.levels import duty

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.rulebooks import Rulebook

TURN = 360
"""Degrees of a whole flash, lit and dark."""
HALF = Fraction(1, 2)


class Rhythm(Struct, frozen=True):
    """A way of being lit: the greatest ``share`` of time (None if not said), from ``phase`` on, in degrees.

    ``rate`` is as the rulebook writes it; lamps of different rates are lit together sooner or later. One with a
    ``floor`` is never quite dark.
    """

    share: Fraction | None = None
    phase: int = 0
    rate: str = ""
    floor: Fraction = Fraction(0)

    def mean(self, level: Fraction) -> Fraction:
        """Return the greatest share of full light over time, if it is set to a level; no share said is all the time."""
        share = Fraction(1) if self.share is None else self.share
        return share * duty(level) + (1 - share) * duty(level * self.floor)

    def lit_at(self, moment: int) -> bool:
        """Tell whether it is lit at a moment of the flash; of lamps with no share said, those of one phase are."""
        lasts = TURN * (HALF if self.share is None else self.share)
        return self.floor > 0 or (moment - self.phase) % TURN < lasts


STEADY = Rhythm(Fraction(1))


def rhythm(book: Rulebook | None, state: str) -> Rhythm:
    """Return how a state of a lamp is lit, by what the rulebook says of it."""
    if state == LIT:
        return STEADY
    said = book.states.get(state) if book is not None else None
    said = said if isinstance(said, dict) else {}
    return Rhythm(
        _most(as_text(said.get("lit-share"))),
        int(said.get("phase") or 0),
        as_text(said.get("per-minute")),
        _most(as_text(said.get("floor"))) or Fraction(0),
    )


def moments(rhythms: Iterable[Rhythm]) -> tuple[int, ...]:
    """Return the moments of a flash at which the most can be lit: the beginning of each phase."""
    return tuple(sorted({0, *(one.phase for one in rhythms)}))


def in_time(rhythms: Iterable[Rhythm]) -> bool:
    """Tell whether rhythms keep time with each other, so that what is never lit together never will be."""
    return len({one.rate for one in rhythms if one is not STEADY}) <= 1


def _most(text: str) -> Fraction | None:
    """Return the greatest share that ``60 %``, ``50..80 %`` or ``over 50 %`` allows; None if no share is told."""
    if text.startswith("over"):
        return Fraction(1)
    number = plain_number(text.removesuffix("%").strip().rpartition("..")[2])
    return None if number is None else min(number / 100, Fraction(1))
