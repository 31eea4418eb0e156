"""What every combination of a form's lamps means: aspects, what is one lamp away from them, and the rest."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.displays import Kind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks.displays import Display, FormReader, Reading
    from lampwright.rulebooks.meanings import Meaning

CAP: Final = 100_000
"""Most combinations of one form that are read one by one."""


class OneLamp(Struct, frozen=True):
    """A display that is an aspect's but for one lamp, and what a driver reads instead."""

    meaning: Meaning
    lamp: str
    token: str
    display: Display
    reading: Reading


def one_lamp_away(form: FormReader) -> Iterator[OneLamp]:
    """Yield, for every display that is commanded, what comes of any lamp in any state it should not have.

    Boxes, plates and marks stay as the aspect has them. The form is one without parts.
    """
    for meaning in form.meanings:
        if meaning.commanded:
            lit = dict(meaning.lamps)
            for lamp, tokens in form.lamps.items():
                for token in tokens:
                    if token != lit.get(lamp, DARK):
                        display = _with(lit, lamp, token)
                        yield OneLamp(meaning, lamp, token, display, form.read({**display, **dict(meaning.tests)}))


class Census(Struct, frozen=True):
    """How many combinations of a form's lamps are aspects, are one lamp away from one, or say what else.

    ``others`` is None if there are too many to read one by one.
    """

    aspects: int
    near: int
    others: Counter[str] | None


def census(form: FormReader) -> Census:
    """Count the combinations of a form without parts; all boxes dark, plates and marks absent."""
    aspects = {meaning.lamps for meaning in form.meanings}
    near = {frozenset(item.display.items()) for item in one_lamp_away(form)} - aspects
    if form.count() > CAP:
        return Census(len(aspects), len(near), None)
    known = aspects | near
    others = (display for display in form.combinations() if frozenset(display.items()) not in known)
    return Census(len(aspects), len(near), Counter(in_words(form.read(display)) for display in others))


def in_words(reading: Reading) -> str:
    """Say what a driver makes of a display."""
    if reading.kind is Kind.ASPECT:
        return reading.aspect
    if reading.kind is Kind.REST:
        return "nothing, as at rest"
    what = "no aspect" if reading.kind is Kind.NONE else " or ".join(reading.aspects)
    return f"{what}; in doubt {reading.in_doubt}" if reading.in_doubt else what


def _with(lit: Display, lamp: str, token: str) -> Display:
    """Return a display with one lamp changed."""
    others = {name: state for name, state in lit.items() if name != lamp}
    return others if token == DARK else {**others, lamp: token}
