"""Where strands are drawn: rows of strands that run on into each other, columns by what comes before what."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_drawing.bends import ROW, SLOPE
from lampwright_drawing.rows import CLEAR, rows_of
from lampwright_drawing.strands import SECTION

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lampwright_drawing.strands import Strands

COLUMN: Final = 90.0
"""Units of a plan's hints."""
PAST: Final = 14.0
"""Room between a track and a line that runs past its end to a row beyond."""


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
        apart = _Apart(strands, chain_of, rows)
        spans = _columns(strands, widths, apart, order)
        _late(strands, spans, apart, order)
        rows = rows or rows_of(strands, chains, chain_of, spans)
    for name, span in spans.items():
        at = strands.strands[name].at
        span.row = -at[1] if at else rows[chain_of[name]]
    _stretch(strands, chains, spans, apart)
    return spans


class _Apart(Struct, frozen=True):
    """How much room two strands that join need between them: none in one chain, more for each row."""

    strands: Strands
    chain_of: Mapping[str, int]
    rows: Mapping[int, float]

    def gap(self, one: str, other: str) -> float:
        """Return the room; a bit more where another line runs past the end of one of them."""
        first, second = self.chain_of[one], self.chain_of[other]
        if first == second:
            return 0
        down = self._down(one, other)
        further = (
            *(self._down(one, name) for name in self.strands.after(one)),
            *(self._down(name, other) for name in self.strands.before(other)),
        )
        passed = down and any(far * down > down * down for far in further)
        return SLOPE * max(1, abs(down)) + (PAST if passed else 0)

    def drawn(self, one: str, other: str, spans: Mapping[str, Span]) -> float:
        """Return the room that two strands in other rows have, which a plan's hints may have moved."""
        return max(self.gap(one, other), SLOPE * abs(spans[one].row - spans[other].row))

    def _down(self, one: str, other: str) -> float:
        """Return how many rows one strand is above another."""
        return self.rows.get(self.chain_of[other], 0) - self.rows.get(self.chain_of[one], 0)


def _stretch(strands: Strands, chains: Sequence[Sequence[str]], spans: Mapping[str, Span], apart: _Apart) -> None:
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
        _reach_out(strands, chain, spans, rows, apart)


def _reach_out(
    strands: Strands, chain: Sequence[str], spans: Mapping[str, Span], rows: Mapping[float, list[Span]], apart: _Apart
) -> None:
    """Let the first and last section of a chain reach out to what they join in other rows, where that is free."""
    first, last = spans[chain[0]], spans[chain[-1]]
    before, after = strands.before(chain[0]), strands.after(chain[-1])
    if before and strands.strands[chain[0]].kind == SECTION:
        start = max(spans[one].right + apart.drawn(one, chain[0], spans) for one in before)
        ends = [span.right + CLEAR for span in rows[first.row] if span.right <= first.left and span is not first]
        first.left = min(first.left, max([start, *ends]))
    if after and strands.strands[chain[-1]].kind == SECTION:
        end = min(spans[one].left - apart.drawn(chain[-1], one, spans) for one in after)
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
