"""The greatest sum of choices of which not all can be made together: exact, or a proven bound.

Every variable takes one value, and tables tell what some of them are worth together. One variable after the other is
taken out: the tables that know it are joined, and what is left of them tells the best it can still give. Where a join
would grow beyond ``ROWS``, its tables are taken out apart, each free to choose for itself: the sum can only come out
too great. If the values found do reach it all the same, it is exact after all.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

ROWS: Final = 20_000
"""Rows up to which a join is made: so far every answer is exact."""

Values = tuple[int, ...]


class Table(Struct, frozen=True, eq=False):
    """What some variables are worth together, by their values; a row that is not there cannot be."""

    over: tuple[int, ...]
    rows: Mapping[Values, int]


class Greatest(Struct, frozen=True):
    """No sum is greater than ``bound``; ``values`` are worth ``reached`` (both None if no values were found)."""

    bound: int
    reached: int | None
    values: Mapping[int, int] | None

    @property
    def exact(self) -> bool:
        """Whether the bound is reached."""
        return self.reached == self.bound


class Step(Struct, frozen=True, dict=True):
    """A variable that was taken out, with the joined tables that tell its best value."""

    variable: int
    tables: tuple[Table, ...]

    @cached_property
    def others(self) -> tuple[int, ...]:
        """The other variables of the first table."""
        return tuple(other for other in self.tables[0].over if other != self.variable)

    def open(self, values: Mapping[int, int]) -> Sequence[int]:
        """Return the values of the variable that the first table allows beside those that are chosen of others."""
        return self._open.get(tuple(values[other] for other in self.others), ())

    @cached_property
    def _open(self) -> dict[Values, list[int]]:
        index = self.tables[0].over.index(self.variable)
        found: dict[Values, list[int]] = {}
        for row in self.tables[0].rows:
            found.setdefault(row[:index] + row[index + 1 :], []).append(row[index])
        return found


def greatest(tables: Sequence[Table], order: Sequence[int], rows: int = ROWS) -> Greatest | None:
    """Return the greatest sum of one row from each table that agree; None if no rows do.

    ``order`` names every variable, in the order in which they are taken out (see ``taken_out``).
    """
    place = {variable: index for index, variable in enumerate(order)}
    buckets: list[list[Table]] = [[] for _ in order]
    for table in tables:
        buckets[min(place[variable] for variable in table.over)].append(table)
    bound, steps = 0, []
    for variable, bucket in zip(order, buckets, strict=True):
        joined = joined_of(bucket, rows)
        steps.append(Step(variable, joined))
        for table in joined:
            left = without(table, variable)
            if not left.rows:
                return None
            if left.over:
                buckets[min(place[other] for other in left.over)].append(left)
            else:
                bound += left.rows[()]
    values = _values(steps)
    return Greatest(bound, None if values is None else worth(tables, values), values)


def worth(tables: Iterable[Table], values: Mapping[int, int]) -> int | None:
    """Return what values are worth; None if they cannot be together."""
    total = 0
    for table in tables:
        row = table.rows.get(tuple(values[variable] for variable in table.over))
        if row is None:
            return None
        total += row
    return total


def taken_out(scopes: Iterable[Iterable[int]]) -> tuple[int, ...]:
    """Return an order to take variables out in: always one that meets the fewest others in tables."""
    meets: dict[int, set[int]] = {}
    for scope in map(set, scopes):
        for variable in scope:
            meets.setdefault(variable, set()).update(scope - {variable})
    order = []
    while meets:
        variable = min(meets, key=lambda one: (len(meets[one]), one))
        around = meets.pop(variable)
        for other in around:
            meets[other] |= around
            meets[other] -= {variable, other}
        order.append(variable)
    return tuple(order)


def apart(scopes: Iterable[Iterable[int]]) -> list[frozenset[int]]:
    """Return the variables in groups that no table joins."""
    groups: list[frozenset[int]] = []
    for scope in map(frozenset, scopes):
        touched = [group for group in groups if group & scope]
        groups = [group for group in groups if not group & scope]
        groups.append(scope.union(*touched))
    return groups


def joined_of(bucket: Sequence[Table], rows: int) -> tuple[Table, ...]:
    """Join tables, least first, as far as the result does not grow too large."""
    made: list[Table] = []
    for table in sorted(bucket, key=lambda one: len(one.rows)):
        joined = _join(made[-1], table, rows) if made else table
        if joined is None:
            made.append(table)
        elif made:
            made[-1] = joined
        else:
            made = [joined]
    return tuple(made)


def _join(one: Table, other: Table, rows: int) -> Table | None:
    """Return two tables as one; None if it would be too large."""
    shared = [variable for variable in other.over if variable in one.over]
    here = [one.over.index(variable) for variable in shared]
    there = [other.over.index(variable) for variable in shared]
    new = [index for index, variable in enumerate(other.over) if variable not in shared]
    beside: dict[Values, list[tuple[Values, int]]] = {}
    for row, value in other.rows.items():
        key = tuple(row[index] for index in there)
        beside.setdefault(key, []).append((tuple(row[index] for index in new), value))
    joined: dict[Values, int] = {}
    for row, value in one.rows.items():
        for rest, more in beside.get(tuple(row[index] for index in here), ()):
            joined[row + rest] = value + more
        if len(joined) > rows:
            return None
    return Table((*one.over, *(other.over[index] for index in new)), joined)


def without(table: Table, variable: int) -> Table:
    """Return a table with one variable taken out: the best that any value of it gives."""
    index = table.over.index(variable)
    best: dict[Values, int] = {}
    for row, value in table.rows.items():
        rest = row[:index] + row[index + 1 :]
        if rest not in best or best[rest] < value:
            best[rest] = value
    return Table(table.over[:index] + table.over[index + 1 :], best)


def _values(steps: Sequence[Step]) -> dict[int, int] | None:
    """Return values that are worth the most, the variable taken out last first; None if that leads nowhere."""
    values: dict[int, int] = {}
    for step in reversed(steps):
        best: tuple[int, int] | None = None
        for value in step.open(values):
            values[step.variable] = value
            total = worth(step.tables, values)
            if total is not None and (best is None or total > best[0]):
                best = total, value
        if best is None:
            return None
        values[step.variable] = best[1]
    return values
