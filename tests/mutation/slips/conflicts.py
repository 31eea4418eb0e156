"""Slips in a plan's own table of conflicts. Where there is none, nothing can contradict those worked out."""

from __future__ import annotations

from copy import deepcopy
from itertools import combinations
from typing import TYPE_CHECKING

from mutation.plans import Mutant, slip

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

GROUP = "conflicts"


@slip(GROUP, blind="a table may leave out routes that begin at one signal, and rows that are not there say nothing")
def conflict_dropped(values: Values) -> Iterator[Mutant]:
    """Take a pair out of both rows."""
    for row, other in pairs(values):
        made = taken_out(values, row, other, both=True)
        rows = row in made["conflicts"] or other in made["conflicts"]
        begin_apart = row.split(" to ")[0] != other.split(" to ")[0]
        yield Mutant(f"{row} x {other}", made, ("conflicts",), held=rows and begin_apart)


@slip(GROUP)
def conflict_one_way(values: Values) -> Iterator[Mutant]:
    """Take a pair out of one row."""
    for row, other in pairs(values):
        for one, two in ((row, other), (other, row)):
            yield Mutant(f"{one} without {two}", taken_out(values, one, two, both=False), ("conflicts",))


@slip(GROUP)
def conflict_added(values: Values) -> Iterator[Mutant]:
    """Put a pair into both rows that shares nothing."""
    for row, other in combinations(values.get("conflicts", {}), 2):
        if other not in values["conflicts"][row]:
            made = deepcopy(values)
            made["conflicts"][row].append(other)
            made["conflicts"][other].append(row)
            yield Mutant(f"{row} x {other}", made, ("conflicts",))


def pairs(values: Values) -> list[tuple[str, str]]:
    """Return the pairs that stand in two rows of the table of conflicts."""
    table = values.get("conflicts", {})
    return [(row, other) for row, other in combinations(table, 2) if other in table[row] and row in table[other]]


def taken_out(values: Values, one: str, two: str, *, both: bool) -> Values:
    """Return the values without a pair in the first row, or in both; a row that is then empty goes too."""
    made = deepcopy(values)
    made["conflicts"][one].remove(two)
    if both:
        made["conflicts"][two].remove(one)
    made["conflicts"] = {name: others for name, others in made["conflicts"].items() if others}
    return made


def without_route(table: dict[str, list[str]], name: str) -> dict[str, list[str]]:
    """Return a table of conflicts without one route."""
    left = {row: [other for other in others if other != name] for row, others in table.items() if row != name}
    return {row: others for row, others in left.items() if others}
