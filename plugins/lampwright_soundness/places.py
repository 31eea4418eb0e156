"""A check of displays that only the place of one light tells apart."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.rulebooks.anatomy import UNLIT_STATES
from lampwright_soundness.reading import clause, readers, shown_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.meanings import Meaning

Look = tuple[str, str, frozenset[tuple[str, str]]]
"""What is seen of a display with one light: its colour, how it is lit, and all that is seen beside it."""


class ToldByPlaceAlone(Check):
    """Finds two aspects of one form that are each one light of the same colour, in different places.

    By night and from afar a driver sees one yellow light, and not which of two holes it comes from. A railway that had
    such signals told them apart by something else, or the colour or a second light is missing here.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            role: stop
            lamps: {upper: yellow, lower: yellow, red: red}
            shows: {danger: red, caution: lower, clear: upper}   # expect: told-by-place-alone "caution and clear"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            role: stop
            lamps: {upper: green, lower: yellow, red: red}
            shows: {danger: red, caution: lower, clear: upper}

    Limits: rows and bars, whose place is what they tell, are not looked at, nor are displays of several lights.
    """

    name = "told-by-place-alone"
    level = Level.NOTE
    scope = RULEBOOK
    needs = ("ambiguous-display", "misread-display")

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare the displays of each form that have one light."""
        told: set[frozenset[Spot]] = set()
        for form, when in readers(subject):
            single = [(meaning, one) for meaning in form.meanings if (one := _single(form, meaning)) is not None]
            for (meaning, (lamp, look)), (other, (its, looks)) in combinations(single, 2):
                spots = frozenset((shown_at(form, meaning), shown_at(form, other)))
                if meaning.aspect == other.aspect or lamp == its or look != looks or spots in told:
                    continue
                told.add(spots)
                yield self.finding(
                    clause(f"{form.name} shows {meaning.aspect} and {other.aspect} by one {_light(look)}", when),
                    shown_at(form, other),
                    related=[shown_at(form, meaning, f"the display of {meaning.aspect}")],
                    because=f"{lamp} and {its} are told apart by their places alone",
                    tip="another colour, a second light, or flashing for one of them",
                )


def _single(form: FormReader, meaning: Meaning) -> tuple[str, Look] | None:
    """Return the only lamp that a display lights, with what is seen of it; None if there are more, or it is a row."""
    lit = {name: state for name, state in form.display(meaning).items() if state not in UNLIT_STATES}
    lamps = [name for name in lit if name in form.anatomy.lamps]
    if len(lamps) != 1 or len(form.anatomy.lamps[lamps[0]].at) > 1:
        return None
    colours, state = form.anatomy.lamps[lamps[0]].colours, lit.pop(lamps[0])
    colour = next((one for one in colours if one in state.split()), colours[0])
    way = " ".join(word for word in state.split() if word not in (*colours, "lit"))
    return lamps[0], (colour, way, frozenset(lit.items()))


def _light(look: Look) -> str:
    """Return a light in words: ``yellow light``, ``flashing yellow light``."""
    return f"{'flashing ' if look[1].startswith('flash') else ''}{look[0]} light"
