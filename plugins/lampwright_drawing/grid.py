"""Drawings side by side on a sheet, each above its words, the ground of a row in one line."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_drawing.svg import Markup, Piece, moved, tag, text

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

WIDTH: Final = 960
LEAST: Final = 126
GAP: Final = 14
LINE: Final = 13.5
GLYPH: Final = {"head": 9.2, "strong": 8.0, "small": 5.4, "quiet": 6.0, "": 6.2}
"""Width of a letter by the class of a text, on the generous side: fonts differ."""


class Cell(Struct, frozen=True):
    """A drawing with what is written below it, as (class, text)."""

    piece: Piece
    lines: tuple[tuple[str, str], ...]

    def broken(self, width: float) -> list[tuple[str, str]]:
        """Return the lines, each broken to a width."""
        return [
            (kind, line)
            for kind, said in self.lines
            for line in wrap(said, max(8, int(width / GLYPH.get(kind, GLYPH[""]))))
        ]


def grid(cells: Sequence[Cell], width: float = WIDTH) -> Piece:
    """Return drawings in rows that are no wider than ``width``, if one of them is not."""
    column = max([LEAST, *(cell.piece.width + GAP for cell in cells)])
    count = max(1, min(len(cells), int(width // column)))
    drawn, top = [], 0.0
    for start in range(0, len(cells), count):
        row = cells[start : start + count]
        markup, height = _row(row, column, top)
        drawn.append(markup)
        top += height
    beats = frozenset(beat for cell in cells for beat in cell.piece.beats)
    return Piece(column * count, top, tag("g", *drawn, class_="sheet"), beats=beats)


def _row(cells: Sequence[Cell], column: float, top: float) -> tuple[Markup, float]:
    """Return one row, and how high it is."""
    deep = max(cell.piece.height for cell in cells)
    drawn, lines = [], 0
    for index, cell in enumerate(cells):
        left = index * column
        drawn.append(moved(cell.piece, left + (column - cell.piece.width) / 2, top + deep - cell.piece.height))
        words = cell.broken(column - GAP)
        lines = max(lines, len(words))
        for number, (kind, said) in enumerate(words):
            drawn.append(text(left + column / 2, top + deep + 12 + number * LINE, said, kind, "middle"))
    return tag("g", *drawn, class_="row"), deep + 12 + lines * LINE + GAP


def headed(piece: Piece, title: str, below: str = "", notes: Sequence[str] = (), desc: str = "") -> Piece:
    """Return a piece with its title above and remarks below."""
    width = max(piece.width, GLYPH["head"] * len(title), 420)
    head = [text(0, 16, title, "head")] + ([text(0, 33, below, "quiet")] if below else [])
    start = 48 if below else 32
    rule = tag("line", class_="rule", x1=0, y1=start - 7, x2=width, y2=start - 7)
    foot = [line for note in notes for line in wrap(note, int(width / GLYPH["small"]))]
    end = start + piece.height + 6
    remarks = list(_remarks(foot, end))
    body = tag("g", *head, rule, tag("g", piece.body, transform=f"translate(0 {start})"), *remarks)
    said = ", ".join(filter(None, (title, below)))
    return Piece(width, end + 13 * len(foot) + 2, body, said, desc or piece.desc, piece.beats)


def _remarks(lines: Sequence[str], top: float) -> Iterator[Markup]:
    """Yield lines of small print."""
    for number, line in enumerate(lines):
        yield text(0, top + 10 + 13 * number, line, "small quiet")
