"""What one part of a post forces on another, where the displays alone decide it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.displays import of_part
from lampwright.rulebooks.sequence import fits

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.displays import FormReader, Reading
    from lampwright.rulebooks.model import Coupling

PARTS = "parts"


class Breach(Struct, frozen=True):
    """A coupling that a display contradicts: its number in the form, and the part or lamp that must be otherwise."""

    number: int
    coupling: Coupling
    element: str
    state: str


def breach(whole: FormReader, display: Mapping[str, str], readings: Mapping[str, Reading]) -> Breach | None:
    """Return the first coupling that a display of a post contradicts.

    ``readings`` has the parts of which the display says anything; what it does not speak of is not judged.
    """
    for number, coupling in enumerate(whole.form.coupling):
        conditions = coupling.when.get(PARTS, {})
        if coupling.when.keys() != {PARTS} or not conditions.keys() <= readings.keys():
            continue
        holds = all(_is(whole, readings[part], wanted) for part, wanted in conditions.items())
        for element, state in (coupling.then if holds else coupling.otherwise).items():
            if not _obeyed(whole, display, readings, element, state):
                return Breach(number, coupling, element, state)
    return None


def _is(whole: FormReader, reading: Reading, wanted: object) -> bool:
    """Tell whether a part shows one of the aspects a condition names or describes."""
    return bool(reading.aspect) and fits(whole.rulebook, {"here": wanted}, {"here": reading.aspect})


def _obeyed(
    whole: FormReader, display: Mapping[str, str], readings: Mapping[str, Reading], element: str, state: str
) -> bool:
    """Tell whether a part shows, or a lamp of it is in, what is forced; one not spoken of is."""
    part, _, lamp = element.partition(".")
    if part not in readings:
        return True
    form, inner = whole.parts[part], of_part(display, part)
    lamps, _ = form.anatomy.lit(tuple(inner.items())) or ({}, ())
    if lamp:
        forced = form.anatomy.element(lamp, state) or {}
        return all(lamps.get(name, DARK) == token for name, token in forced.items())
    return not lamps if state == DARK else readings[part].aspect == state
