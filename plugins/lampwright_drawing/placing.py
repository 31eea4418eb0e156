"""Where strands are drawn: rows of strands that run on into each other, columns by what comes before what."""

from __future__ import annotations

from itertools import pairwise, permutations
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_drawing.strands import SECTION

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lampwright_drawing.strands import Strands

COLUMN: Final = 90.0
ROW: Final = 104.0
"""Units of a plan's hints, and between rows."""
SLOPE: Final = 34.0
"""Room for a line that changes its row."""
CLEAR: Final = 26.0
EXACT: Final = 7
"""Rows of which every order is tried; more are put in order by exchanging neighbours."""


class Span(Struct):
    """A strand on paper: from left to right end, in a row."""

    left: float
    right: float
    row: float = 0

    @property
    def y(self) -> float:
        """Its height, downwards."""
        return self.row * ROW


def place(strands: Strands, widths: Mapping[str, float]) -> dict[str, Span]:
    """Return where each strand is drawn, if it is at least so wide.

    Twice: what lies rows apart needs more room between, and that is known when there are rows.
    """
    chains = _chains(strands)
    chain_of = {name: number for number, chain in enumerate(chains) for name in chain}
    order = _order(strands)
    rows: dict[int, float] = {}
    spans: dict[str, Span] = {}
    for _ in range(2):
        apart = _Apart(chain_of, rows)
        spans = _columns(strands, widths, apart, order)
        _late(strands, spans, apart, order)
        rows = rows or _rows(strands, chains, chain_of, spans)
    for name, span in spans.items():
        at = strands.strands[name].at
        span.row = -at[1] if at else rows[chain_of[name]]
    _stretch(strands, chains, spans)
    return spans


class _Apart(Struct, frozen=True):
    """How much room two strands that join need between them: none in one chain, more for each row."""

    chain_of: Mapping[str, int]
    rows: Mapping[int, float]

    def gap(self, one: str, other: str) -> float:
        """Return the room."""
        first, second = self.chain_of[one], self.chain_of[other]
        if first == second:
            return 0
        return SLOPE * max(1, abs(self.rows.get(first, 0) - self.rows.get(second, 0)))


def _stretch(strands: Strands, chains: Sequence[Sequence[str]], spans: Mapping[str, Span]) -> None:
    """Close gaps in a row: a section is as long as it may be, but ends where others part from it."""
    for chain in chains:
        for one, other in pairwise(chain):
            left, right = spans[one], spans[other]
            if strands.strands[one].at or strands.strands[other].at:
                continue
            if strands.strands[one].kind == SECTION and len(strands.after(one)) == 1:
                left.right = max(left.right, right.left)
            elif strands.strands[other].kind == SECTION and len(strands.before(other)) == 1:
                right.left = min(right.left, left.right)
    rows: dict[float, list[Span]] = {}
    for span in spans.values():
        rows.setdefault(span.row, []).append(span)
    for row in rows.values():
        row.sort(key=lambda span: span.left)
    for chain in chains:
        _reach_out(strands, chain, spans, rows)


def _reach_out(
    strands: Strands, chain: Sequence[str], spans: Mapping[str, Span], rows: Mapping[float, list[Span]]
) -> None:
    """Let the first and last section of a chain reach out to what they join in other rows, where that is free."""
    first, last = spans[chain[0]], spans[chain[-1]]
    before, after = strands.before(chain[0]), strands.after(chain[-1])
    if before and strands.strands[chain[0]].kind == SECTION:
        start = max(spans[one].right + SLOPE * abs(spans[one].row - first.row) for one in before)
        ends = [span.right + CLEAR for span in rows[first.row] if span.right <= first.left and span is not first]
        first.left = min(first.left, max([start, *ends]))
    if after and strands.strands[chain[-1]].kind == SECTION:
        end = min(spans[one].left - SLOPE * abs(spans[one].row - last.row) for one in after)
        starts = [span.left - CLEAR for span in rows[last.row] if span.left >= last.right and span is not last]
        last.right = max(last.right, min([end, *starts]))


def _chains(strands: Strands) -> list[list[str]]:
    """Put strands into rows: each goes on into one that it joins, one of its own line and straight on if there is."""
    onward: dict[str, str] = {}
    head = {name: name for name in strands.strands}
    tail = dict(head)

    def liking(joint: tuple[tuple[str, str], bool]) -> tuple[bool, bool]:
        (left, right), main = joint
        one, other = strands.strands[left].line, strands.strands[right].line
        return not main, bool(one and other and one != other)

    taken: set[str] = set()
    for (left, right), _ in sorted(strands.joints.items(), key=liking):
        if left not in onward and right not in taken and head[left] != right:
            onward[left] = right
            taken.add(right)
            start, end = head[left], tail[right]
            head[end], tail[start] = start, end
    return [_chain(onward, name) for name in strands.strands if name not in taken]


def _chain(onward: Mapping[str, str], name: str) -> list[str]:
    """Return a strand with all it goes on into."""
    chain = [name]
    while name in onward:
        name = onward[name]
        chain.append(name)
    return chain


def _order(strands: Strands) -> list[str]:
    """Return strands so that what is left of another comes first; in a circle, the plan's order counts."""
    waiting = {name: len(strands.before(name)) for name in strands.strands}
    ready = [name for name, count in waiting.items() if not count]
    ordered: list[str] = []
    while waiting:
        name = ready.pop() if ready else next(iter(waiting))
        if waiting.pop(name, None) is None:
            continue
        ordered.append(name)
        for after in strands.after(name):
            if after in waiting:
                waiting[after] -= 1
                if not waiting[after]:
                    ready.append(after)
    return ordered


def _columns(strands: Strands, widths: Mapping[str, float], apart: _Apart, order: Sequence[str]) -> dict[str, Span]:
    """Place each strand right of all that are left of it, or where the plan says."""
    spans: dict[str, Span] = {}
    for name in order:
        ends = [spans[one].right + apart.gap(one, name) for one in strands.before(name) if one in spans]
        strand = strands.strands[name]
        left = max([0.0, *ends]) if strand.at is None else strand.at[0] * COLUMN
        spans[name] = Span(left, left + widths[name] if strand.until is None else strand.until * COLUMN)
    return spans


def _late(strands: Strands, spans: dict[str, Span], apart: _Apart, order: Sequence[str]) -> None:
    """Move what begins at nothing to the right, up to what it leads to."""
    free: set[str] = set()
    for name in order:
        if all(one in free and apart.chain_of[one] == apart.chain_of[name] for one in strands.before(name)):
            free.add(name)
    for name in reversed(order):
        after = [spans[one].left - apart.gap(name, one) for one in strands.after(name)]
        if name in free and after and strands.strands[name].at is None and min(after) > spans[name].right:
            width = spans[name].right - spans[name].left
            spans[name] = Span(min(after) - width, min(after))


def _rows(
    strands: Strands, chains: Sequence[Sequence[str]], chain_of: Mapping[str, int], spans: Mapping[str, Span]
) -> dict[int, float]:
    """Return the row of each chain: few rows, and short ways between them."""
    shared = _shared(strands, chains, spans)
    links: dict[tuple[int, int], int] = {}
    for left, right in strands.joints:
        pair = shared[chain_of[left]], shared[chain_of[right]]
        if pair[0] != pair[1]:
            links[pair] = links.get(pair, 0) + 1
    groups = list(dict.fromkeys(shared.values()))
    leans = [(shared[chain_of[left]], shared[chain_of[right]], side) for (left, right), side in strands.leans.items()]
    best = _best(groups, links, leans)
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


def _best(groups: list[int], links: Mapping[tuple[int, int], int], leans: Sequence[tuple[int, int, int]]) -> list[int]:
    """Return rows in the order with the shortest ways between them; of several the one that turns to the right side."""

    def cost(order: Iterable[int]) -> tuple[int, int]:
        at = {group: row for row, group in enumerate(order)}
        wrong = sum(1 for one, other, side in leans if (at[other] - at[one]) * side < 0)
        return sum(number * abs(at[one] - at[other]) ** 2 for (one, other), number in links.items()), wrong

    if len(groups) <= EXACT:
        return list(min(permutations(groups), key=cost))
    best = groups
    for _ in groups:
        for row in range(len(best) - 1):
            swapped = [*best[:row], best[row + 1], best[row], *best[row + 2 :]]
            best = swapped if cost(swapped) < cost(best) else best
    return best
