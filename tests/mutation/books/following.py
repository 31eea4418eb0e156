"""Slips in the sequence: rules, what they ask for, their conditions and comparisons."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from mutation.books.places import book_slip, conditions, freer, leaves, roles, rules, stricter, told
from mutation.plans import Mutant, at, put, renamed, without, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

GROUP = "sequence"
BOUNDS = {"below": "at-most", "at-most": "below", "above": "at-least", "at-least": "above"}
AUTHORITIES = {"stop": "proceed", "proceed": "stop", "shunt": "proceed", "none": "stop"}
CLASSES = {"main": "shunt", "shunt": "main", "call-on": "main", "substitute": "main", "warner": "main"}


@book_slip(GROUP)
def rule_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out a rule: an edge of the sequence is gone."""
    for place in rules(values):
        yield Mutant(told(place), without(values, place), place[:-1], held=False)


@book_slip(GROUP)
def rules_swapped(values: Values) -> Iterator[Mutant]:
    """Swap two rules that follow each other; the first that fits counts."""
    for role in roles(values):
        said = at(values, role)
        for first in range(len(said) - 1):
            made = put(values, role, [*said[:first], said[first + 1], said[first], *said[first + 2 :]])
            yield Mutant(f"{told(role)}: {first} and {first + 1}", made, role, held=False)


@book_slip(GROUP)
def asked_freer(values: Values) -> Iterator[Mutant]:
    """Let a rule ask for an aspect one step freer."""
    yield from _asked(values, freer(values))


@book_slip(GROUP)
def asked_stricter(values: Values) -> Iterator[Mutant]:
    """Let a rule ask for an aspect one step stricter."""
    yield from _asked(values, stricter(values))


@book_slip(GROUP)
def alternative_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out an aspect that may stand where the first cannot, or that is allowed besides."""
    for place in rules(values):
        for key in ("show", "may"):
            said = words(at(values, place)[key]) if key in at(values, place) else []
            for number, aspect in enumerate(said):
                left = [*said[:number], *said[number + 1 :]]
                if left and (key == "may" or number):
                    yield Mutant(f"{told(place)}.{key}: {aspect}", put(values, (*place, key), left), place, held=False)
                elif key == "may":
                    yield Mutant(f"{told(place)}.{key}: {aspect}", without(values, (*place, key)), place, held=False)


@book_slip(GROUP)
def cell_mistaken(values: Values) -> Iterator[Mutant]:
    """Write into a cell of a table the aspect beside it."""
    for place in rules(values):
        for row, cells in at(values, place).get("table", {}).get("cells", {}).items():
            names = list(cells)
            for one, other in pairwise(names):
                made = put(values, (*place, "table", "cells", row, one), cells[other])
                yield Mutant(f"{told(place)}: {row} {one}", made, place, held=False)


@book_slip("conditions")
def condition_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out one of several conditions that must all hold."""
    for place in conditions(values):
        said = at(values, place)
        for key in said if isinstance(said, dict) and len(said) > 1 else ():
            yield Mutant(f"{told(place)}: {key}", without(values, (*place, key)), place, held=False)


@book_slip("conditions")
def condition_value_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out one of several values that a condition lets pass: one of an OR is gone."""
    for place in conditions(values):
        for way, value in leaves(at(values, place)):
            several = at(values, (*place, *way[:-1]))
            if way and isinstance(way[-1], int) and isinstance(several, list) and len(several) > 1:
                yield Mutant(f"{told((*place, *way))}: {value}", without(values, (*place, *way)), place, held=False)


@book_slip("conditions")
def comparison_mistaken(values: Values) -> Iterator[Mutant]:
    """Compare with `at-most` for `below`, `above` for `at-least`, and the other way."""
    for place in conditions(values):
        for way, value in leaves(at(values, place)):
            if way and way[-1] in BOUNDS and str(value) not in values["aspects"]:
                made = renamed(values, (*place, *way), BOUNDS[str(way[-1])])
                yield Mutant(f"{told((*place, *way))}", made, place, held=False)


@book_slip("conditions")
def condition_mistaken(values: Values) -> Iterator[Mutant]:
    """Ask for another authority, class, aspect or truth."""
    near = {**stricter(values), **freer(values)}
    for place in conditions(values):
        for way, value in leaves(at(values, place)):
            if isinstance(value, bool):
                yield Mutant(told((*place, *way)), put(values, (*place, *way), not value), place, held=False)
            else:
                new = near.get(str(value)) or AUTHORITIES.get(str(value)) or CLASSES.get(str(value))
                if new:
                    yield Mutant(f"{told((*place, *way))}: {new}", put(values, (*place, *way), new), place, held=False)


def _asked(values: Values, other: dict[str, str]) -> Iterator[Mutant]:
    """Yield rules that ask, first of all, for another aspect."""
    for place in rules(values):
        said = words(at(values, place).get("show", []))
        if said and said[0] in other and other[said[0]] not in said:
            made = put(values, (*place, "show"), [other[said[0]], *said[1:]])
            yield Mutant(f"{told(place)}: {other[said[0]]} for {said[0]}", made, place, held=False)
