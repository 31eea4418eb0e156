"""Plain tables: aligned, without boxes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lampwright.reports.printable import columns, printable, wrapped

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from lampwright.reports.style import Style

GAP: Final = "  "
NARROW: Final = 18
"""Least width that a wrapped column gets."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A cell with colour in it: ``plain`` is what it looks like without."""

    plain: str
    shown: str


Cell = str | Drawn


def table(
    rows: Sequence[Sequence[Cell]], width: int = 0, *, right: Collection[int] = (), indent: str = ""
) -> list[str]:
    """Return rows as lines with aligned columns; those numbered in ``right`` are flush right.

    A text in the last column is wrapped to what ``width`` leaves it; 0 leaves it as long as it is.
    """
    drawn = [[_drawn(cell) for cell in row] for row in rows]
    last = max(map(len, drawn), default=0) - 1
    widths = [
        max((columns(row[number].plain) for row in drawn if number < len(row)), default=0) for number in range(last)
    ]
    room = max(NARROW, width - len(indent) - sum(widths) - len(GAP) * last) if width else 0
    lines = (line for row in drawn for line in _folded(row, last, room))
    widths.append(0)
    return [
        (
            indent + GAP.join(_padded(cell, widths[number], right=number in right) for number, cell in enumerate(line))
        ).rstrip()
        for line in lines
    ]


def labelled(rows: Sequence[tuple[str, str]], style: Style, width: int, indent: str = "") -> list[str]:
    """Return texts behind their labels, each text wrapped in its own column."""
    return table([(Drawn(label, style("frame", label)), text) for label, text in rows], width, indent=indent)


def _folded(row: Sequence[Drawn], last: int, room: int) -> Iterator[Sequence[Drawn]]:
    """Yield a row, and below it what its last column has no room for."""
    if not room or len(row) <= last or columns(row[last].plain) <= room:
        yield row
        return
    first, *others = wrapped(row[last].plain, room)
    yield [*row[:last], Drawn(first, first)]
    for line in others:
        yield [*[Drawn("", "")] * last, Drawn(line, line)]


def _drawn(cell: Cell) -> Drawn:
    """Return a cell that may go to a terminal."""
    if isinstance(cell, Drawn):
        return cell
    text = printable(cell)
    return Drawn(text, text)


def _padded(cell: Drawn, width: int, *, right: bool) -> str:
    """Return a cell as wide as its column."""
    space = " " * (width - columns(cell.plain))
    return space + cell.shown if right else cell.shown + space
