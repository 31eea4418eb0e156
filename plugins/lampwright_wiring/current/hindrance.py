"""What hinders some signals among all of a layout: what stands between them, without all that only stands around."""

from __future__ import annotations

from math import prod
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_wiring.current.elimination import Step, joined_of, taken_out, without

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright_wiring.current.elimination import Table

NEIGHBOURS: Final = (2, 3, 4, 5, 6)
"""What stands between few others is taken out first; what stands between more than the last is left."""
LARGE: Final = 2_000
"""Rows of a table that is not made."""


class Hindrance(Struct, frozen=True):
    """Tables over some variables, and over what could not be taken out; ``order`` is one to take all of them out in.

    Values of these that agree can be made values of all: ``steps`` are what was taken out on the way.
    """

    tables: tuple[Table, ...]
    order: tuple[int, ...]
    steps: tuple[Step, ...]

    def completed(self, values: Mapping[int, int]) -> dict[int, int]:
        """Return values with those of what was taken out; where nothing hinders any more, the first will do."""
        found = dict(values)
        for step in reversed(self.steps):
            for other in step.others:
                found.setdefault(other, 0)
            found[step.variable] = step.open(found)[0]
        return found


class Hindrances:
    """Tables that hinder, and how many values each variable has; asked again and again, each time for a few."""

    def __init__(self, tables: Iterable[Table], sizes: Mapping[int, int]) -> None:
        self._tables = list(tables)
        self._sizes = sizes
        self._known: dict[tuple[int, tuple[Table, ...]], tuple[Step, Table] | None] = {}

    def between(self, kept: Iterable[tuple[int, ...]]) -> Hindrance | None:
        """Take out what only hinders, as far as tables stay small; None if no values agree at all.

        ``kept`` are the variables that matter, those together of which something is known together. What is far away
        leaves any values of what is nearer, and nothing more is said of it.
        """
        scopes = list(kept)
        inside = frozenset(variable for scope in scopes for variable in scope)
        net = _Net(self._tables)
        steps = []
        for neighbours in NEIGHBOURS:
            waiting = [variable for variable in net.at if variable not in inside]
            while waiting:
                variable = waiting.pop()
                tables = net.known(variable)
                if not tables or len({other for table in tables for other in table.over}) > neighbours + 1:
                    continue
                if (taken := self._without(variable, tables)) is None:
                    continue
                step, left = taken
                if not left.rows:
                    return None
                steps.append(step)
                net.take_out(variable)
                if len(left.rows) < prod(self._sizes[other] for other in left.over):
                    net.add(left)
                waiting += [other for other in left.over if other not in inside]
        remaining = tuple(net.tables.values())
        return Hindrance(remaining, taken_out([*scopes, *(table.over for table in remaining)]), tuple(steps))

    def _without(self, variable: int, tables: tuple[Table, ...]) -> tuple[Step, Table] | None:
        """Return what tables say without a variable; None if they are too much together. Kept."""
        if (variable, tables) not in self._known:
            made = joined_of(tables, LARGE)
            taken = (Step(variable, made), without(made[0], variable)) if len(made) == 1 else None
            self._known[variable, tables] = taken
        return self._known[variable, tables]


class _Net:
    """Tables by number, and by each variable the numbers of those that know it."""

    def __init__(self, tables: Iterable[Table]) -> None:
        self.tables: dict[int, Table] = {}
        self.at: dict[int, set[int]] = {}
        self._next = 0
        for table in tables:
            self.add(table)

    def add(self, table: Table) -> None:
        """Put a table in."""
        self.tables[self._next] = table
        for variable in table.over:
            self.at.setdefault(variable, set()).add(self._next)
        self._next += 1

    def known(self, variable: int) -> tuple[Table, ...]:
        """Return the tables that know a variable."""
        return tuple(self.tables[number] for number in sorted(self.at.get(variable, ())))

    def take_out(self, variable: int) -> None:
        """Take out a variable with all that knows it."""
        for number in self.at.pop(variable):
            for other in self.tables.pop(number).over:
                if other != variable:
                    self.at[other].discard(number)
