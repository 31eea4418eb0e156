"""Names in forms: aspects, lamps, states, boxes, plates, parts that lead nowhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.rulebooks import colours
from lampwright.rulebooks.anatomy import DARK, UNLIT_STATES, Anatomy, anatomy
from lampwright.rulebooks.names_in_conditions import each, in_condition, unknown
from lampwright.words import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Path
    from lampwright.rulebooks.model import Elements, Form, Lamp, Rulebook
    from lampwright.rulebooks.names_in_conditions import Unknown

ANY = "any"


def in_form(rulebook: Rulebook, name: str, form: Form) -> Iterator[Unknown]:
    """Yield every name in one form that leads nowhere."""
    base: Path = ("forms", name)
    for part, item in form.parts.items():
        yield from unknown(item.form, rulebook.forms, "forms", (*base, "parts", part, "form"))
    yield from _aspects(rulebook, form, base)
    for path, indicator in each((*base, "indicators"), form.indicators):
        yield from unknown(indicator, rulebook.indicators, "indicators", path)
    for path, plate in each((*base, "plates"), form.plates):
        yield from unknown(plate, rulebook.plates, "plates", path)
    yield from _lamps(rulebook, form, base)
    if form.parts:
        yield from _of_post(rulebook, form, base)
    else:
        yield from _of_one(rulebook, form, base)


def _aspects(rulebook: Rulebook, form: Form, base: Path) -> Iterator[Unknown]:
    """Yield unknown aspects that a form names."""
    rest = form.rest.items() if isinstance(form.rest, dict) else [("", form.rest)]
    named: list[tuple[Path, object]] = [
        *((("shows", aspect), aspect) for aspect in form.shows),
        *each(("optional",), form.optional),
        *each(("gives",), form.gives),
        (("in-doubt",), form.in_doubt),
        (("failsafe",), form.failsafe if form.failsafe != DARK else ""),
        *((("rest", mode) if mode else ("rest",), aspect) for mode, aspect in rest if aspect != DARK),
        *((("also-read", row, "aspect"), read.aspect) for row, read in enumerate(form.also_read)),
        *(found for row, fault in enumerate(form.faults) for found in each(("faults", row, "in"), fault.within)),
        *((("faults", row, "then"), fault.then) for row, fault in enumerate(form.faults)),
    ]
    for path, aspect in named:
        if aspect:
            yield from unknown(aspect, rulebook.aspects, "aspects", (*base, *path))


def _lamps(rulebook: Rulebook, form: Form, base: Path) -> Iterator[Unknown]:
    """Yield unknown colours of lamps, letters of heads, and lamps of faces."""
    for name, lamp in form.lamps.items():
        yield from _colours(rulebook, lamp, (*base, "lamps", name))
    for name, head in form.heads.items():
        for letter in head.letters:
            yield from unknown(letter, rulebook.notation, "letters of the notation", (*base, "heads", name, "letters"))
        if head.unpowered:
            colours_of = [rulebook.notation.get(letter, letter) for letter in head.letters]
            path = (*base, "heads", name, "unpowered")
            yield from unknown(head.unpowered, colours_of if head.lens else (), "colours of the lens", path)
        for inner, record in head.lamps.items():
            yield from _colours(rulebook, record, (*base, "heads", name, "lamps", inner))
        for face, row in head.faces.items():
            for inner in row:
                yield from unknown(inner, head.lamps, "lamps of the head", (*base, "heads", name, "faces", face))


def _colours(rulebook: Rulebook, lamp: Lamp, path: Path) -> Iterator[Unknown]:
    """Yield colours that neither everybody knows nor the rulebook."""
    key = "colours" if len(lamp.colours) > 1 else "colour"
    for place, colour in each((*path, key) if _is_map(rulebook, path) else path, lamp.colours):
        yield from unknown(colour, colours.known(rulebook), "colours", place)
    if lamp.unpowered:
        yield from unknown(lamp.unpowered, lamp.colours, "colours of the lens", (*path, "unpowered"))


def _is_map(rulebook: Rulebook, path: Path) -> bool:
    """Tell whether a lamp is written as a map, and not as its colour alone."""
    found: Any = rulebook.values
    for step in path:
        found = found.get(step) if isinstance(found, dict) else None
    return isinstance(found, dict) and not {"colour", "colours"}.isdisjoint(found)


def _of_one(rulebook: Rulebook, form: Form, base: Path) -> Iterator[Unknown]:
    """Yield what displays, couplings and faults of a form without parts say of elements it lacks."""
    own = anatomy(rulebook, str(base[-1]), None)
    for aspect, elements in form.shows.items():
        yield from in_display(own, elements, (*base, "shows", aspect))
    for row, read in enumerate(form.also_read):
        yield from in_display(own, read.shows, (*base, "also-read", row, "shows"))
    for row, coupling in enumerate(form.coupling):
        yield from in_condition(rulebook, coupling.when, (*base, "coupling", row, "when"))
        for key, forced in (("then", coupling.then), ("else", coupling.otherwise)):
            yield from in_display(own, tuple(forced.items()), (*base, "coupling", row, key), lacking=False)
    known = (ANY, *_elements(own))
    for row, fault in enumerate(form.faults):
        for key, element in (("lost", fault.lost), ("stuck", fault.stuck), ("steady", fault.steady)):
            if element:
                yield from unknown(element, known, "elements", (*base, "faults", row, key))
    if form.eye_level:
        known = (*own.places, *own.faces)
        yield from _has(own.name, form.eye_level, known, (*base, "eye-level"))


def _of_post(rulebook: Rulebook, form: Form, base: Path) -> Iterator[Unknown]:
    """Yield what the couplings of a post say of parts, their aspects and lamps it does not have."""
    for row, coupling in enumerate(form.coupling):
        path: Path = (*base, "coupling", row)
        yield from in_condition(rulebook, coupling.when, (*path, "when"), form.parts)
        for key, forced in (("then", coupling.then), ("else", coupling.otherwise)):
            for element, state in forced.items():
                yield from _forced(rulebook, form, element, state, (*path, key))
    for row, group in enumerate(form.shared):
        for column, element in enumerate(group):
            yield from _forced(rulebook, form, element, "", (*base, "shared", row, column))


def _forced(rulebook: Rulebook, form: Form, element: str, state: str, path: Path) -> Iterator[Unknown]:
    """Yield what is wrong with ``main`` and its aspect, or ``main.left-red`` and its state."""
    part, _, lamp = element.partition(".")
    yield from unknown(part, form.parts, "parts", path)
    if part in form.parts and form.parts[part].form in rulebook.forms:
        own = anatomy(rulebook, form.parts[part].form, None)
        if not lamp:
            if state != DARK:
                yield from unknown(state, rulebook.aspects, "aspects", (*path, element))
        elif state:
            yield from in_display(own, ((lamp, state),), path, lacking=False)
        else:
            yield from _has(own.name, lamp, _elements(own), path)


def in_display(own: Anatomy, elements: Elements, path: Path, *, lacking: bool = True) -> Iterator[Unknown]:
    """Yield elements that a form does not have, and states they cannot be in; ``lacking`` ones may be dark."""
    for element, state in elements:
        if element in own.others or own.element(element, state) is not None:
            continue
        if element in own.lamps or element in own.faces:
            yield path, f"{element} cannot be {state}", f"it can be {', '.join(_states(own, element))}"
        elif not lacking or state not in UNLIT_STATES:
            yield from _has(own.name, element, _elements(own), path)


def _has(form: str, element: str, known: Iterable[str], path: Path) -> Iterator[Unknown]:
    """Yield a fault if a form has no element of that name."""
    names = list(known)
    if element not in names:
        yield path, f"{form} has no {element}", did_you_mean(element, names, "its elements")


def _elements(own: Anatomy) -> list[str]:
    """Return the names of everything that a display of a form can name."""
    return [*own.lamps, *own.faces, *own.others]


def _states(own: Anatomy, element: str) -> Iterable[str]:
    """Return the states an element can be in."""
    return own.faces.get(element) or own.tokens(element)
