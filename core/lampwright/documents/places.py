"""Lines, columns and spans, worked out from character indices only when somebody asks."""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import cached_property
from typing import Final, NamedTuple

LINE_END: Final = re.compile(r"\r\n?|\n")
"""What ends a line. U+2028 and U+0085 do not: no editor agrees on them, and the reader refuses them."""


class Place(NamedTuple):
    """A span of a file: 1-based, in characters, the end not included."""

    line: int
    column: int
    end_line: int
    end_column: int


class Lines:
    """A text as lines; nothing is counted before the first question."""

    def __init__(self, text: str) -> None:
        self.text = text

    @cached_property
    def starts(self) -> list[int]:
        """Index of the first character of every line."""
        return [0, *(end.end() for end in LINE_END.finditer(self.text))]

    def line(self, number: int) -> str:
        """Return line ``number`` without its end; past the last line there is nothing."""
        if not 1 <= number <= len(self.starts):
            return ""
        last = self.starts[number] if number < len(self.starts) else len(self.text)
        return self.text[self.starts[number - 1] : last].rstrip("\r\n")

    def position(self, index: int) -> tuple[int, int]:
        """Return line and column of the character at ``index``."""
        line = bisect_right(self.starts, index)
        return line, index - self.starts[line - 1] + 1

    def place(self, start: int, end: int) -> Place:
        """Return the place of ``text[start:end]``."""
        return Place(*self.position(start), *self.position(end))
