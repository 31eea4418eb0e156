"""A line of a file as it is shown: tabs opened, odd characters escaped, cut around a span if it is long."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.reports.printable import columns, printable

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

TAB: Final = 4
DOTS: Final = "..."


class Cut(Struct, frozen=True):
    """A line, or the part of it around a span; the span begins ``start`` columns in and is ``width`` wide."""

    text: str
    start: int
    width: int


def cut(line: str, start: int, end: int, room: int) -> Cut:
    """Show a line in at most ``room`` columns; the span is ``line[start:end]``, and has a width even if it is empty."""
    first = max(0, start - room)
    near = line[first : start + 2 * room]  # a line may be as long as a file; what is not near cannot be shown anyway
    plain = near.isascii() and near.isprintable()
    cells = list(near) if plain else list(_cells(near))
    stops = range(len(cells) + 1) if plain else [0, *accumulate(columns(cell) for cell in cells)]
    head, tail = start - first, min(end - first, len(cells))
    if first == 0 and len(near) == len(line) and stops[-1] <= room:
        left, right = 0, len(cells)
    else:
        left, right = _window(stops, head, tail, room, from_start=first == 0)
    before = DOTS if first + left else ""
    after = DOTS if first + right < len(line) else ""
    shown = len(before) + stops[head] - stops[left]
    width = stops[max(head, min(tail, right))] - stops[head]
    return Cut(f"{before}{''.join(cells[left:right])}{after}".rstrip(), shown, max(1, width))


def _cells(line: str) -> Iterator[str]:
    """Yield each character as it is shown."""
    at = 0
    for character in line:
        cell = " " * (TAB - at % TAB) if character == "\t" else printable(character)
        at += columns(cell)
        yield cell


def _window(stops: Sequence[int], head: int, tail: int, room: int, *, from_start: bool) -> tuple[int, int]:
    """Return the first cell to show and the one behind the last, so that dots fit on both sides."""
    left = 0
    if not from_start or stops[tail] > room - len(DOTS):
        lead = room // 4
        left = next(cell for cell in range(head + 1) if stops[head] - stops[cell] <= lead)
    last = stops[left] + room - len(DOTS) * (2 if left or not from_start else 1)
    right = max(cell for cell in range(left, len(stops)) if stops[cell] <= last)
    while left and right == len(stops) - 1 and stops[right] - stops[left - 1] <= room - len(DOTS):
        left -= 1  # the line ends here, so there is room for more of what stands before
    return left, right
