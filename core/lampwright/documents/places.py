"""Lines, columns and spans, worked out from character indices only when somebody asks."""

from __future__ import annotations

import re
from bisect import bisect_right
from typing import Final, NamedTuple

LINE_END: Final = r"\r\n?|\n"
"""What ends a line. U+2028 and U+0085 do not: no editor agrees on them, and the reader refuses them."""


class Place(NamedTuple):
    """A span of a file: 1-based, in characters, the end not included."""

    line: int
    column: int
    end_line: int
    end_column: int


class Lines:
    """A text as lines, counted only as far as somebody has asked."""

    def __init__(self, text: str) -> None:
        self.text = text
        self._starts = [0]
        self._end = re.compile(LINE_END)

    def line(self, number: int) -> str:
        """Return line ``number`` without its end; past the last line there is nothing."""
        while len(self._starts) <= number and self._count():
            pass
        if not 1 <= number <= len(self._starts):
            return ""
        last = self._starts[number] if number < len(self._starts) else len(self.text)
        return self.text[self._starts[number - 1] : last].rstrip("\r\n")

    def position(self, index: int) -> tuple[int, int]:
        """Return line and column of the character at ``index``."""
        while self._starts[-1] <= index and self._count():
            pass
        line = bisect_right(self._starts, index)
        return line, index - self._starts[line - 1] + 1

    def place(self, start: int, end: int) -> Place:
        """Return the place of ``text[start:end]``."""
        return Place(*self.position(start), *self.position(end))

    def _count(self) -> bool:
        """Find the next line; tell whether there is one."""
        end = self._end.search(self.text, self._starts[-1])
        if end:
            self._starts.append(end.end())
        return end is not None
