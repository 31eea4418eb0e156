"""Frames: the lines a finding is about, with its span marked, and those of what it contradicts."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.reports.contract import placed
from lampwright.reports.cut import DOTS, cut
from lampwright.reports.printable import columns, printable, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lampwright.documents import Document
    from lampwright.documents.places import Place
    from lampwright.findings import Finding
    from lampwright.reports.cut import Cut
    from lampwright.reports.style import Style

NO_LINES: Final = 2
"""Width of the column of line numbers where there are none."""


class Mark(Struct, frozen=True):
    """A span to be marked: the primary one is what the finding is about."""

    file: str
    place: Place
    label: str
    primary: bool


class Frames:
    """The frames of one finding: its own file first, then the others; ``gutter`` is as wide as the line numbers."""

    def __init__(self, finding: Finding, documents: Mapping[str, Document], style: Style, width: int) -> None:
        self.documents = documents
        self.style = style
        self.level = str(finding.level)
        spots = [finding.spot, *finding.related]
        marks = [
            Mark(spot.file, place, printable(spot.label), not number)
            for number, spot in enumerate(spots)
            if (place := placed(spot, documents)) is not None
        ]
        self.files = {mark.file: [other for other in marks if other.file == mark.file] for mark in marks}
        numbers = [str(mark.place.line) for mark in marks if self._has_text(mark.file)]
        self.gutter = max(map(len, numbers), default=NO_LINES)
        self.room = width - self.gutter - len(" | ")

    def __iter__(self) -> Iterator[str]:
        """Yield the lines of all frames."""
        bar = self._row("")
        for file, marks in self.files.items():
            if not marks[0].primary:
                yield bar
            yield self._arrow(file, marks[0])
            if self._has_text(file):
                yield bar
                yield from self._lines(self.documents[file], marks)

    def _has_text(self, file: str) -> bool:
        """Tell whether there are lines to show: a file that is not text has none."""
        document = self.documents.get(file)
        return document is not None and document.text != ""

    def _arrow(self, file: str, mark: Mark) -> str:
        """Return the line that names a place."""
        arrow = "-->" if mark.primary else ":::"
        where = f"{printable(file)}:{mark.place.line}:{mark.place.column}"
        return f"{' ' * self.gutter}{self.style('frame', arrow)} {where}"

    def _row(self, text: str, number: str = "") -> str:
        """Return a line behind the bar."""
        bar = self.style("frame", f"{number:>{self.gutter}} |")
        return f"{bar} {text}" if text else bar

    def _lines(self, document: Document, marks: Sequence[Mark]) -> Iterator[str]:
        """Yield the marked lines of one file; a single line between two is shown too, more are left out."""
        last = 0
        for number, group in groupby(sorted(marks, key=_order), key=lambda mark: mark.place.line):
            if last and number == last + 2:
                yield self._row(cut(document.line(last + 1), 0, 0, self.room).text, str(last + 1))
            elif last and number > last + 2:
                yield DOTS
            yield from self._line(document.line(number), number, list(group))
            last = number

    def _line(self, text: str, number: int, marks: Sequence[Mark]) -> Iterator[str]:
        """Yield one line with its marks below; if it is too long to be shown whole, once for each mark."""
        shown = ""
        for mark in marks:
            part = self._cut(text, mark.place)
            if part.text != shown or mark is marks[0]:
                shown = part.text
                yield self._row(shown, str(number))
            yield from self._mark(part, mark)

    def _cut(self, text: str, place: Place) -> Cut:
        """Cut a line around a span; one that ends in another line is shown to the end of its first."""
        end = place.end_column - 1 if place.end_line == place.line else len(text.rstrip())
        return cut(text, place.column - 1, end, self.room)

    def _mark(self, part: Cut, mark: Mark) -> Iterator[str]:
        """Yield the line below a span, with its label there if it fits and in lines of its own if it does not."""
        under = " " * part.start + ("^" if mark.primary else "-") * part.width
        colour = self.level if mark.primary else "frame"
        if len(under) + 1 + columns(mark.label) <= self.room:
            yield self._row(self.style(colour, f"{under} {mark.label}".rstrip()))
            return
        yield self._row(self.style(colour, under))
        indent = " " * min(part.start, self.room // 2)
        for line in wrapped(mark.label, self.room - len(indent)):
            yield self._row(self.style(colour, indent + line))


def _order(mark: Mark) -> tuple[int, int, bool]:
    """Return what the marks of one file are sorted by."""
    return mark.place.line, mark.place.column, not mark.primary
