"""Flashing: what no board can keep, what nobody can see, and what a board must keep for two aspects to differ."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.rulebooks.flashing import Flash, flash
from lampwright.words import listed
from lampwright_soundness.reading import clause, readers, shown_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.meanings import Meaning

TURN = 360


class UnkeepablePhase(Check):
    """Finds a display whose lamps are to keep a phase and flash at different rates.

    Two lamps that flash at one rate can be lit in turn, or together. At two rates they drift past each other, and no
    board can keep a phase between them.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        states: {slow: {per-minute: 40}, fast-opposite: {per-minute: 80, phase: 180}}
        aspects:
          danger: {says: {authority: stop}}
          crossing: {says: {authority: proceed}}
        order: [[danger, crossing]]
        forms:
          two-lights:
            lamps: {left: red, right: white}
            shows:
              danger: left
              crossing: {left: slow, right: fast-opposite}        # expect: unkeepable-phase "left and right"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        states: {slow: {per-minute: 40}, slow-opposite: {like: slow, phase: 180}}
        aspects:
          danger: {says: {authority: stop}}
          crossing: {says: {authority: proceed}}
        order: [[danger, crossing]]
        forms:
          two-lights:
            lamps: {left: red, right: white}
            shows:
              danger: left
              crossing: {left: slow, right: slow-opposite}

    Limits: rates that are not known may be equal.
    """

    name = "unkeepable-phase"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare the rates of lamps that flash together."""
        told: set[Spot] = set()
        for form, when in readers(subject):
            for meaning in form.meanings:
                flashes = _flashes(form, meaning)
                uneven = [
                    pair
                    for pair in combinations(flashes, 2)
                    if flashes[pair[0]].phase != flashes[pair[1]].phase
                    and not flashes[pair[0]].may_equal(flashes[pair[1]])
                ]
                if uneven and shown_at(form, meaning) not in told:
                    told.add(shown_at(form, meaning))
                    text = f"{form.name} at {meaning.aspect} has {listed(uneven[0])} keep a phase at different rates"
                    yield self.finding(clause(text, when), shown_at(form, meaning))


class IndistinctFlash(Check):
    """Finds two aspects of one form that differ in how they flash, and in nothing that can be seen.

    A phase shows only between two lamps, and a rate only if it is another one.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        states: {slow: {per-minute: 50..80}, fast: {per-minute: 70..120}}
        aspects:
          danger: {says: {authority: stop}}
          short: {says: {authority: proceed, speed-now: 30 km/h}}
          long: {says: {authority: proceed, speed-now: 60 km/h}}
        order: [[danger, short, long]]
        forms:
          one-light:
            lamps: {red: red, white: white}
            shows:
              danger: red
              short: {white: slow}
              long: {white: fast}          # expect: indistinct-flash "short and long"
            faults:
              - {steady: any, then: danger}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        states: {slow: {per-minute: 40..50}, fast: {per-minute: 100..120}}
        aspects:
          danger: {says: {authority: stop}}
          short: {says: {authority: proceed, speed-now: 30 km/h}}
          long: {says: {authority: proceed, speed-now: 60 km/h}}
        order: [[danger, short, long]]
        forms:
          one-light:
            lamps: {red: red, white: white}
            shows: {danger: red, short: {white: slow}, long: {white: fast}}
            faults:
              - {steady: any, then: danger}

    Limits: how much two rates must differ for a driver is not known here; they must not overlap.
    """

    name = "indistinct-flash"
    level = Level.WARNING
    scope = RULEBOOK
    needs = ("unkeepable-phase",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare aspects that light the same lamps."""
        for form, when, one, other in _pairs(subject):
            if not _rates_differ(form, one, other) and not _phases_differ(form, one, other):
                text = f"{one.aspect} and {other.aspect} of {form.name} flash so that nobody can tell them apart"
                label = shown_at(form, one, one.aspect)
                yield self.finding(clause(text, when), shown_at(form, other), related=[label])


class ToldByPhase(Check):
    """Finds two aspects of one form that differ by the phase of their flashing alone.

    On the prototype it can be seen whether two lamps flash together or in turn. On the model it asks for a board that
    keeps them in step; two that flash each for itself show now the one aspect and now the other.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        states: {flash-opposite: {like: flash, phase: 180}}
        aspects:
          danger: {says: {authority: stop}}
          next-60: {says: {authority: proceed}}
          next-100: {says: {authority: proceed}}
        order: [[danger, next-60, next-100]]
        forms:
          two-lights:
            lamps: {upper: yellow, lower: green, red: red}
            shows:
              danger: red
              next-60: {upper: flash, lower: flash}
              next-100: {upper: flash, lower: flash-opposite}     # expect: told-by-phase "next-60 and next-100"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          next-60: {says: {authority: proceed}}
          next-100: {says: {authority: proceed}}
        order: [[danger, next-60, next-100]]
        forms:
          two-lights:
            lamps: {upper: yellow, lower: green, red: red}
            shows:
              danger: red
              next-60: [upper, lower]
              next-100: {upper: flash, lower: flash}

    Limits: a note, for it is how some prototypes are.
    """

    name = "told-by-phase"
    level = Level.NOTE
    scope = RULEBOOK
    needs = ("unkeepable-phase",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare aspects that light the same lamps."""
        for form, when, one, other in _pairs(subject):
            if not _rates_differ(form, one, other) and _phases_differ(form, one, other):
                text = f"{one.aspect} and {other.aspect} of {form.name} differ by the phase of their flashing alone"
                label = shown_at(form, one, one.aspect)
                tip = "all lamps of such a signal belong on a board that keeps them in step"
                yield self.finding(clause(text, when), shown_at(form, other), related=[label], tip=tip)


def _pairs(rulebook: Rulebook) -> Iterator[tuple[FormReader, str, Meaning, Meaning]]:
    """Yield aspects of one form that differ in the states of flashing lamps alone, each two once."""
    told: set[frozenset[Spot]] = set()
    for form, when in readers(rulebook):
        for one, other in combinations(form.meanings, 2):
            key = frozenset((shown_at(form, one), shown_at(form, other)))
            if one.aspect != other.aspect and one.lamps != other.lamps and key not in told and _alike(form, one, other):
                told.add(key)
                yield form, when, one, other


def _alike(form: FormReader, one: Meaning, other: Meaning) -> bool:
    """Tell whether two displays light the same lamps in the same colours, the same of them flashing."""
    return one.tests == other.tests and _outline(form, one) == _outline(form, other)


def _outline(form: FormReader, meaning: Meaning) -> dict[str, tuple[str, bool]]:
    """Return the lamps that are lit, each with its colour and whether it flashes."""
    flashes = _flashes(form, meaning)
    return {lamp: (_colour(form, lamp, token), lamp in flashes) for lamp, token in meaning.lamps}


def _flashes(form: FormReader, meaning: Meaning) -> dict[str, Flash]:
    """Return how each flashing lamp of a display flashes."""
    found = {}
    for lamp, token in sorted(meaning.lamps):
        for word in token.split():
            if word not in form.anatomy.lamps[lamp].colours and (how := flash(form.rulebook, word)) is not None:
                found[lamp] = how
    return found


def _colour(form: FormReader, lamp: str, token: str) -> str:
    """Return the colour that a lamp shows."""
    colours = form.anatomy.lamps[lamp].colours
    return next((word for word in token.split() if word in colours), colours[0])


def _rates_differ(form: FormReader, one: Meaning, other: Meaning) -> bool:
    """Tell whether a lamp flashes at another rate in the one than in the other."""
    here, there = _flashes(form, one), _flashes(form, other)
    return any(not here[lamp].may_equal(there[lamp]) for lamp in here)


def _phases_differ(form: FormReader, one: Meaning, other: Meaning) -> bool:
    """Tell whether two lamps stand in another phase to each other in the one than in the other."""
    here, there = _flashes(form, one), _flashes(form, other)
    first = next(iter(here), "")
    return any((here[lamp].phase - here[first].phase - there[lamp].phase + there[first].phase) % TURN for lamp in here)
