"""Displays: each is one aspect and reads back as it; forms that look alike read alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import RULEBOOK, Check
from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.displays import Kind
from lampwright.words import listed
from lampwright_soundness.looks import alike
from lampwright_soundness.reading import clause, readers, shown_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader, Reading
    from lampwright.rulebooks.meanings import Meaning


class AmbiguousDisplay(Check):
    """Finds one display of a form that is two aspects.

    A driver who sees it has no way to know which is meant, and a plan that shows it cannot be judged. Only what the
    displays name tells them apart: lamps to the last, boxes, plates and marks where named; of two readings the one that
    asks for more counts.

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
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: yellow}   # expect: ambiguous-display "caution and clear"

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
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}

    Limits: boxes are compared as the displays name them; that a box may show any figure at once is not tried. It looks
    at every span of years in which the form reads differently, and under every regime.
    """

    name = "ambiguous-display"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Read every display."""
        told: set[frozenset[Spot]] = set()
        for form, when in readers(subject):
            for meaning, reading in _read(form):
                if reading.kind is Kind.AMBIGUOUS:
                    spots = {item: shown_at(form, item, f"the display of {item.aspect}") for item in reading.meanings}
                    if frozenset(spots.values()) not in told:
                        told.add(frozenset(spots.values()))
                        yield self._finding(form, when, meaning, spots)

    def _finding(self, form: FormReader, when: str, meaning: Meaning, spots: dict[Meaning, Spot]) -> Finding:
        aspects = listed(dict.fromkeys(item.aspect for item in spots))
        message = clause(f"{form.name} shows {aspects} alike", when)
        last = list(spots)[-1]
        others = [spot for item, spot in spots.items() if item is not last]
        return self.finding(message, spots[last], related=others, because=f"both are {_told(form, meaning)}")


class MisreadDisplay(Check):
    """Finds a display that reads as something else than the aspect a form shows it for.

    What is commanded must read back as itself. Another aspect can take a display away by asking for more of it: a
    plate, a mark of the post, a box.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          pass-slowly: {shows: {red: lit, staggered: present}, says: {authority: stop-then-sight}}
          clear: {says: {authority: proceed}}
        order: [[danger, pass-slowly, clear]]
        forms:
          automatic:
            role: stop
            marks: {staggered: true}
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}             # expect: misread-display "reads as pass-slowly"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          pass-slowly: {shows: {red: lit, staggered: present}, says: {authority: stop-then-sight}}
          clear: {says: {authority: proceed}}
        order: [[danger, pass-slowly, clear]]
        forms:
          controlled:
            role: stop
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
          automatic:
            role: stop
            marks: {staggered: true}
            lamps: {green: green, red: red}
            shows: {clear: green}

    Limits: two aspects with one display are told as `ambiguous-display`. A pattern, or a display that an aspect has on
    every form with its elements, is no claim of a form: where it reads otherwise the form cannot give the aspect.
    """

    name = "misread-display"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Read every display back."""
        told: set[tuple[Spot, str]] = set()
        for form, when in readers(subject):
            for meaning, reading in _read(form):
                key = (shown_at(form, meaning), reading.aspect)
                if meaning.path[0] != "forms" or reading.kind is Kind.AMBIGUOUS or reading.aspect == meaning.aspect:
                    continue
                if key not in told:
                    told.add(key)
                    yield self._finding(form, when, meaning, reading)

    def _finding(self, form: FormReader, when: str, meaning: Meaning, reading: Reading) -> Finding:
        read = f"reads as {reading.aspect}" if reading.aspect else "reads as no aspect"
        message = clause(f"the display of {meaning.aspect} on {form.name}, {_told(form, meaning)}, {read}", when)
        why = [shown_at(form, item, f"the display of {item.aspect}, which asks for more") for item in reading.meanings]
        return self.finding(message, shown_at(form, meaning), related=why)


class LooksLikeAnotherForm(Check):
    """Finds two forms that a driver cannot tell apart and that mean different things by one display.

    Lamps in the same places, of the same colours and sizes, the same marks, the same mount: then the same lights must
    mean the same, or a driver would have to know which kind of signal it is before he can read it.

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
          home:
            role: stop
            lamps: {green: {colour: green, at: [0, 1]}, red: {colour: red, at: [0, 0]}}
            shows: {danger: red, clear: green}
          other:
            role: stop
            lamps: {upper: {colour: green, at: [0, 1]}, lower: {colour: red, at: [0, 0]}}
            shows: {danger: lower, caution: upper}         # expect: looks-like-another-form "caution on other, clear"

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
          home:
            role: stop
            lamps: {green: {colour: green, at: [0, 1]}, red: {colour: red, at: [0, 0]}}
            shows: {danger: red, clear: green}
          other:
            role: stop
            marks: {backplate: round}
            lamps: {upper: {colour: green, at: [0, 1]}, lower: {colour: red, at: [0, 0]}}
            shows: {danger: lower, caution: upper}

    Limits: forms with a lamp whose place is not said are not compared, nor are those with parts. A single light seen
    from afar, with its place on the post not told, is not tried.
    """

    name = "looks-like-another-form"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Let each form read the displays of those that look like it."""
        told: set[frozenset[Spot]] = set()
        for one, other in alike(subject):
            for meaning, read in one.told_by(other):
                here, there = shown_at(one.form, meaning), shown_at(other.form, read)
                if frozenset((here, there)) not in told:
                    told.add(frozenset((here, there)))
                    message = f"one display is {read.aspect} on {other.form.name}, {meaning.aspect} on {one.form.name}"
                    label = shown_at(one.form, meaning, f"{meaning.aspect} on {one.form.name}")
                    tip = "tell them apart by a mark, a mount or the places of their lamps, or let them mean the same"
                    yield self.finding(message, there, related=[label], tip=tip)


def _read(form: FormReader) -> Iterator[tuple[Meaning, Reading]]:
    """Yield every display of a form with what is read of it."""
    for meaning in form.meanings:
        yield meaning, form.read(form.display(meaning))


def _told(form: FormReader, meaning: Meaning) -> str:
    """Say what is lit."""
    shown = [
        name if state in ("lit", "present") else f"{name} {state}" for name, state in form.display(meaning).items()
    ]
    return listed(shown) or DARK
