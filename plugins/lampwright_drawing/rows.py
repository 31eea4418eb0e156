"""Which rows strands are drawn in: few rows, short ways between them, and none across a track it does not join."""

from __future__ import annotations

from itertools import permutations
from typing import TYPE_CHECKING, Final

from lampwright_drawing.bends import ROW, SLOPE, bends, heights

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lampwright_drawing.placing import Span
    from lampwright_drawing.strands import Strands

    Links = Sequence[tuple[int, int, float, float]]
    """Rows that join, and from where to where."""
    Taken = Mapping[int, Sequence[tuple[float, float]]]

CLEAR: Final = 26.0
EXACT: Final = 7
"""Rows of which every order is tried; more are put in order by exchanging neighbours."""
CROSSED: Final = 4
"""As bad as a way over two rows instead of one is a way that crosses a track it does not join."""


def rows_of(
    strands: Strands, chains: Sequence[Sequence[str]], chain_of: Mapping[str, int], spans: Mapping[str, Span]
) -> dict[int, float]:
    """Return the row of each chain."""
    shared = _shared(strands, chains, spans)
    row = {name: shared[chain_of[name]] for name in spans}
    links = [
        (row[left], row[right], spans[left].right, spans[right].left)
        for left, right in strands.joints
        if row[left] != row[right]
    ]
    leans = [(row[left], row[right], side) for (left, right), side in strands.leans.items()]
    taken: dict[int, list[tuple[float, float]]] = {}
    for number, chain in enumerate(chains):
        taken.setdefault(shared[number], []).append((spans[chain[0]].left, spans[chain[-1]].right))
    best = _best(list(dict.fromkeys(shared.values())), links, leans, taken)
    return {number: float(best.index(shared[number])) for number in range(len(chains))}


def _shared(strands: Strands, chains: Sequence[Sequence[str]], spans: Mapping[str, Span]) -> dict[int, int]:
    """Let chains of one line share a row where they stand clear of each other; return the first chain of each row."""
    rows: dict[int, list[tuple[str, float, float]]] = {}
    found: dict[int, int] = {}
    for number, chain in enumerate(chains):
        line = next((strands.strands[name].line for name in chain if strands.strands[name].line), "")
        left, right = spans[chain[0]].left - CLEAR, spans[chain[-1]].right + CLEAR
        home = next((row for row, there in rows.items() if line and _fits(there, line, left, right)), number)
        rows.setdefault(home, []).append((line, left, right))
        found[number] = home
    return found


def _fits(there: Sequence[tuple[str, float, float]], line: str, left: float, right: float) -> bool:
    """Tell whether a chain has room in a row of its line."""
    return all(line == of and (right <= start or left >= end) for of, start, end in there)


def _best(groups: list[int], links: Links, leans: Sequence[tuple[int, int, int]], taken: Taken) -> list[int]:
    """Return rows in the order with the shortest ways between them; of several the one that turns to the right side."""

    def cost(order: Iterable[int]) -> tuple[int, int]:
        at = {group: row for row, group in enumerate(order)}
        wrong = sum(1 for one, other, side in leans if (at[other] - at[one]) * side < 0)
        long = sum((at[one] - at[other]) ** 2 for one, other, _, _ in links)
        return long + CROSSED * _crossed(links, at, taken), wrong

    if len(groups) <= EXACT:
        return list(min(permutations(groups), key=cost))
    best = groups
    for _ in groups:
        for row in range(len(best) - 1):
            swapped = [*best[:row], best[row + 1], best[row], *best[row + 2 :]]
            best = swapped if cost(swapped) < cost(best) else best
    return best


def _crossed(links: Links, at: Mapping[int, int], taken: Taken) -> int:
    """Return how many tracks in between are crossed."""
    order = sorted(at, key=lambda group: at[group])
    count = 0
    for one, other, left, right in links:
        first, last = at[one], at[other]
        if abs(first - last) > 1:
            start, end = (left, first * ROW), (max(right, left + SLOPE * abs(first - last)), last * ROW)
            for x, y in heights(bends(start, end), start[1], end[1]):
                count += any(here <= x <= there for here, there in taken[order[round(y / ROW)]])
    return count
