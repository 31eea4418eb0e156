"""How lamps flash, settled: what a rulebook leaves open has to be something when a controller is told."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from lampwright.rulebooks.anatomy import LIT
from lampwright.rulebooks.flashing import FLASH, Flash, flash
from lampwright.tables.model import Beat

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook

USUAL_RATE: Final = Fraction(60)
USUAL_SHARE: Final = Fraction(1, 2)
"""Flashes a minute, and share of the time lit, where the rulebook says none: common practice."""


def beat(book: Rulebook | None, state: str) -> Beat | None:
    """Return the beat of a lamp's state; None if it is steady.

    Of a range the middle is taken; what the rulebook does not say is told in ``assumed``.
    """
    if state in ("", LIT):
        return None
    said = flash(book, state) if book is not None else Flash() if state == FLASH else None
    if said is None:
        return None
    assumed = tuple(name for name, known in (("rate", said.rate), ("lit-share", said.share)) if known is None)
    return Beat(
        _middle(said.rate) or USUAL_RATE,
        _middle(said.share) or USUAL_SHARE,
        said.phase,
        said.floor,
        assumed,
    )


def beat_class(beat: Beat) -> str:
    """Return the class, on a page or in a picture, of what flashes in a beat."""
    turn = 60 / float(beat.per_minute)
    return f"beat-{turn * 1000:.0f}-{float(beat.lit) * 100:.0f}-{beat.phase}-{float(beat.floor) * 100:.0f}"


def _middle(span: tuple[Fraction, Fraction] | None) -> Fraction | None:
    """Return the middle of a span."""
    return None if span is None else (span[0] + span[1]) / 2
