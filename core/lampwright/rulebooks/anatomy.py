"""What a form consists of in a year: lamp places, heads taken apart into lamps, boxes, plates, marks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct, field

from lampwright.rulebooks.model import Lamp

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright.rulebooks.model import Elements, Form, Head, Rulebook
    from lampwright.years import Years

DARK = "dark"
LIT = "lit"
ABSENT = "absent"
UNLIT_STATES = frozenset({DARK, ABSENT})
FITTED = frozenset({"fitted", "fixed"})

Lamps = dict[str, str]
"""Lamps that are not dark, each with its token: ``lit``, ``flash``, or ``green``, ``flash green`` on a lens."""


class Anatomy(Struct, frozen=True, dict=True):
    """The elements of one form; ``places`` holds every lamp place, ``lamps`` those that can be lit."""

    name: str
    form: Form
    places: Mapping[str, Lamp]
    lamps: Mapping[str, Lamp]
    faces: Mapping[str, Mapping[str, tuple[str, ...]]]
    others: frozenset[str]
    reads_as: Mapping[str, str] = field(default_factory=dict)
    states: frozenset[str] = frozenset()

    def token(self, lamp: str, state: str) -> str | None:
        """Return the token of a state of a lamp, ``dark`` included; None if the lamp has no such state."""
        colours = self.lamps[lamp].colours
        words = state.split()
        named = [word for word in words if word in colours]
        ways = [self.reads_as.get(word, word) for word in words if word not in colours]
        if len(named) > 1 or len(ways) > 1 or not all(way in self.states for way in ways):
            return None
        way = ways[0] if ways else LIT
        if len(colours) == 1 or way == DARK:
            return way
        if not named:
            return None
        return named[0] if way == LIT else f"{way} {named[0]}"

    def tokens(self, lamp: str, ways: Iterable[str] = (LIT, "flash")) -> tuple[str, ...]:
        """Return every token a lamp can have, ``dark`` first."""
        colours = self.lamps[lamp].colours
        states = [f"{way} {colour}" for colour in colours for way in ways]
        found = [self.token(lamp, state) for state in states]
        return (DARK, *dict.fromkeys(token for token in found if token))

    def lit(self, elements: Elements) -> tuple[Lamps, Elements] | None:
        """Split named elements into lamps with tokens and tests on boxes, plates and marks.

        None if the form lacks an element that should be lit or there; one that should be dark may be lacking.
        """
        lamps: Lamps = {}
        tests = []
        for name, state in elements:
            found = self.element(name, state)
            if found is not None:
                lamps.update(found)
            elif name in self.others:
                tests.append((name, state))
            elif state not in UNLIT_STATES:
                return None
        return {lamp: token for lamp, token in lamps.items() if token != DARK}, tuple(sorted(tests))

    def element(self, name: str, state: str) -> Lamps | None:
        """Return the lamps that a lamp or head in a state lights; None if it is neither, or has no such state."""
        if name in self.lamps:
            token = self.token(name, state)
            return None if token is None else {name: token}
        faces = self.faces.get(name)
        if faces is None:
            return None
        *ways, face = state.split() or [DARK]
        if face == DARK:
            return dict.fromkeys(self.of_head(name), DARK)
        lit = faces.get(face)
        return None if lit is None else dict.fromkeys(lit, " ".join(ways) or LIT)

    def of_head(self, head: str) -> list[str]:
        """Return the lamps that belong to a head."""
        return [lamp for lamp in self.lamps if lamp.startswith(f"{head}.")]


def anatomy(rulebook: Rulebook, name: str, years: Years | None) -> Anatomy:
    """Take a form apart as it was in the given years (None: all years at once)."""
    form = rulebook.forms[name]
    places = {name: lamp for name, lamp in form.lamps.items() if years is None or lamp.years.meets(years)}
    faces: dict[str, dict[str, tuple[str, ...]]] = {}
    for head_name, head in form.heads.items():
        if head.lens:
            places[head_name] = _lens(rulebook, head)
        else:
            places.update(_lamps_of(rulebook, head_name, head))
            faces[head_name] = _faces_of(rulebook, head_name, head)
    states = rulebook.states.items()
    reads_as = {state: said["as"] for state, said in states if isinstance(said, dict) and "as" in said}
    return Anatomy(
        name,
        form,
        places,
        {lamp: record for lamp, record in places.items() if record.place in FITTED},
        faces,
        frozenset((*boxes(rulebook, form), *form.plates, *form.marks, *told_by(rulebook))),
        reads_as,
        frozenset((DARK, LIT, "flash", *rulebook.states)),
    )


def boxes(rulebook: Rulebook, form: Form) -> list[str]:
    """Return the names of the indicators a form may carry, and of their positions: with and without the indicator's."""
    found = list(form.indicators)
    for name in form.indicators:
        for position in rulebook.indicators[name].positions if name in rulebook.indicators else ():
            found += [position, f"{name}.{position}"]
    return found


def told_by(rulebook: Rulebook) -> list[str]:
    """Return the plates that tell of a regime: any form may carry them."""
    return [regime.told_by for regime in rulebook.regimes.values() if regime.told_by]


def _colours(rulebook: Rulebook, head: Head) -> tuple[str, ...]:
    """Return what a head's letters stand for, top down."""
    return tuple(rulebook.notation.get(letter, letter) for letter in head.letters)


def _lens(rulebook: Rulebook, head: Head) -> Lamp:
    """Return a head that is one lens as a lamp."""
    at = (head.at,) if head.at else ()
    return Lamp(colours=_colours(rulebook, head), at=at, unpowered=head.unpowered)


def _lamps_of(rulebook: Rulebook, name: str, head: Head) -> dict[str, Lamp]:
    """Return a head's lamps by their full names; without lamps of its own it has one for each letter."""
    if head.lamps:
        return {f"{name}.{lamp}": record for lamp, record in head.lamps.items()}
    at = (head.at,) if head.at else ()
    return {f"{name}.{colour}": Lamp(colours=(colour,), at=at) for colour in _colours(rulebook, head)}


def _faces_of(rulebook: Rulebook, name: str, head: Head) -> dict[str, tuple[str, ...]]:
    """Return what the head can show, each with the lamps that are lit for it."""
    if head.faces:
        shown = _colours(rulebook, head) or tuple(head.faces)
        return {face: tuple(f"{name}.{lamp}" for lamp in head.faces[face]) for face in shown if face in head.faces}
    lamps = head.lamps or dict.fromkeys(_colours(rulebook, head))
    return {lamp: (f"{name}.{lamp}",) for lamp in lamps}
