"""The greatest sum of choices that hinder each other: equal to what trying everything gives, or never below it."""

from __future__ import annotations

from itertools import product
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from lampwright_wiring.current.elimination import Table, Values, apart, greatest, taken_out, worth
from lampwright_wiring.current.hindrance import Hindrances


@st.composite
def puzzles(draw: Any) -> tuple[list[int], list[Table]]:
    """Return the numbers of values of some variables, what each is worth alone, and tables that join some."""
    sizes = draw(st.lists(st.integers(1, 3), min_size=1, max_size=6))
    tables = []
    for variable, size in enumerate(sizes):
        tables.append(Table((variable,), {(value,): draw(st.integers(0, 50)) for value in range(size)}))
    for _ in range(draw(st.integers(0, 7))):
        over = draw(st.lists(st.integers(0, len(sizes) - 1), min_size=1, max_size=3, unique=True))
        rows = list(product(*(range(sizes[variable]) for variable in over)))
        kept = draw(st.lists(st.sampled_from(rows), min_size=1, unique=True))
        tables.append(Table(tuple(over), {row: draw(st.integers(-9, 9)) for row in kept}))
    return sizes, tables


def tried(sizes: list[int], tables: list[Table]) -> int | None:
    """Return the greatest sum by trying all values; None if none agree."""
    best: int | None = None
    for values in product(*(range(size) for size in sizes)):
        rows = [table.rows.get(tuple(values[variable] for variable in table.over)) for table in tables]
        known = [row for row in rows if row is not None]
        if len(known) == len(rows) and (best is None or sum(known) > best):
            best = sum(known)
    return best


def order_of(tables: list[Table]) -> tuple[int, ...]:
    """Return an order to take the variables of some tables out in."""
    return taken_out(table.over for table in tables)


@settings(max_examples=200, deadline=None)
@given(puzzles())
def test_the_sum_is_what_trying_everything_gives(puzzle: tuple[list[int], list[Table]]) -> None:
    """And the values found are worth it."""
    sizes, tables = puzzle
    found = greatest(tables, order_of(tables))
    best = tried(sizes, tables)
    assert (found is None) == (best is None)
    if found is not None:
        assert found.exact
        assert found.bound == best


@settings(max_examples=200, deadline=None)
@given(puzzles(), st.integers(1, 12))
def test_beyond_its_size_it_is_a_bound_and_says_so(puzzle: tuple[list[int], list[Table]], rows: int) -> None:
    """Never less than the greatest sum; what is said to be exact is; what was found can be."""
    sizes, tables = puzzle
    found = greatest(tables, order_of(tables), rows)
    best = tried(sizes, tables)
    if best is None:
        return
    assert found is not None
    assert found.bound >= best
    assert found.reached is None or found.reached <= best
    assert not found.exact or found.bound == best


@settings(max_examples=200, deadline=None)
@given(puzzles(), st.data())
def test_what_hinders_some_is_all_that_does(puzzle: tuple[list[int], list[Table]], data: st.DataObject) -> None:
    """Of a few variables: the values that agree are those that can be made values of all, by trying everything."""
    sizes, tables = puzzle
    hindering = [Table(table.over, dict.fromkeys(table.rows, 0)) for table in tables if len(table.over) > 1]
    kept = data.draw(st.lists(st.integers(0, len(sizes) - 1), min_size=1, max_size=3, unique=True))
    left = Hindrances(hindering, dict(enumerate(sizes))).between([(variable,) for variable in kept])
    fitting = [
        values
        for values in product(*(range(size) for size in sizes))
        if worth(hindering, dict(enumerate(values))) is not None
    ]
    seen = {tuple(values[variable] for variable in kept) for values in fitting}
    assert left is not None or not fitting
    if left is None or not fitting:
        return
    known = sorted({*kept, *(variable for table in left.tables for variable in table.over)})
    agreeing = set()
    for values in product(*(range(sizes[variable]) for variable in known)):
        chosen = dict(zip(known, values, strict=True))
        if worth(left.tables, chosen) is not None:
            agreeing.add(tuple(chosen[variable] for variable in kept))
            assert worth(hindering, dict.fromkeys(range(len(sizes)), 0) | left.completed(chosen)) is not None
    assert agreeing == seen


def test_a_small_size_does_lose_something() -> None:
    """Three variables of which no two may have the same of two values: nothing fits, and apart they cannot see it."""
    differ: dict[Values, int] = {(0, 1): 0, (1, 0): 0}
    tables = [Table((variable,), {(0,): 1, (1,): 2}) for variable in range(3)]
    tables += [Table(pair, differ) for pair in ((0, 1), (1, 2), (0, 2))]
    assert greatest(tables, (0, 1, 2)) is None
    loose = greatest(tables, (0, 1, 2), rows=1)
    assert loose is not None
    assert not loose.exact


def test_variables_that_no_table_joins_are_apart() -> None:
    """A table joins all its variables, and through them others."""
    assert sorted(map(sorted, apart([(0,), (1,), (2, 3), (3, 4), (5,), (1, 5)]))) == [[0], [1, 5], [2, 3, 4]]
