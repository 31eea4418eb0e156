"""Plain tables: aligned, without boxes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.reports.printable import columns, printable, wrapped

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from lampwright.reports.style import Style

GAP: Final = "  "
NARROW: Final = 18
"""Least width that a wrapped column gets."""


class Drawn(Struct, frozen=True):
    """A cell with colour in it: ``plain`` is what it looks like without."""

    plain: str
    shown: str


Cell = str | Drawn


def table(
    rows: Sequence[Sequence[Cell]], width: int = 0, *, right: Collection[int] = (), indent: str = "", fold: bool = False
) -> list[str]:
    """Return rows as lines with aligned columns; those numbered in ``right`` are flush right.

    A text in the last column is wrapped to what ``width`` leaves it; 0 leaves it as long as it is. With ``fold``,
    where even that is too wide, texts of the widest columns are wrapped too.
    """
    drawn: list[Sequence[Drawn]] = [[_drawn(cell) for cell in row] for row in rows]
    if fold and width and (narrow := _narrowed(drawn, width - len(indent))):
        drawn = [line for row in drawn for line in _lines(row, narrow)]
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


def _narrowed(rows: Sequence[Sequence[Drawn]], width: int) -> list[int]:
    """Return how wide each column may be for all to fit; nothing if they do as they are, the last one wrapped."""
    number = max(map(len, rows), default=0)
    cells = [[row[place].plain for row in rows if place < len(row)] for place in range(number)]
    widths = [max(map(columns, column), default=0) for column in cells]
    room = width - len(GAP) * (number - 1)
    if number == 0 or sum(widths[:-1]) + min(widths[-1], NARROW) <= room:
        return []
    for parts in (_words, _pieces):
        least = [max((columns(part) for text in column for part in parts(text)), default=0) for column in cells]
        while sum(widths) > room and (wide := [at for at in range(number) if widths[at] > least[at]]):
            widths[max(wide, key=lambda at: widths[at])] -= 1
    return widths


def _lines(row: Sequence[Drawn], widths: Sequence[int]) -> Iterator[Sequence[Drawn]]:
    """Yield a row as lines in which each text keeps to its column; what is coloured stays whole."""
    from itertools import zip_longest

    folded = [
        [cell] if cell.plain != cell.shown else [Drawn(text, text) for text in _within(cell.plain, width)]
        for cell, width in zip(row, widths, strict=False)
    ]
    yield from zip_longest(*folded, fillvalue=Drawn("", ""))


def _within(text: str, width: int) -> Iterator[str]:
    """Yield a text as lines; words that have no room go on in the next line, after a hyphen or point."""
    for line in wrapped(text, width):
        rest = ""
        for piece in _pieces(line) if columns(line) > width else [line]:
            if rest and columns(rest) + columns(piece) > width:
                yield rest
                rest = ""
            rest += piece
        yield rest


def _words(text: str) -> list[str]:
    """Return the words of a text."""
    return text.split(" ")


def _pieces(text: str) -> list[str]:
    """Return a text in pieces that belong on one line: to the next hyphen, point or space."""
    from re import split  # only what is too wide pays for it

    return [piece for piece in split(r"(?<=[-. ])", text) if piece]


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
