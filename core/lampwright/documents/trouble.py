"""What the parser stumbled over, and what stands around it."""

from __future__ import annotations

import re
from typing import Final

from msgspec import Struct

from lampwright.documents.faults import Slip
from lampwright.documents.places import Lines

LINE: Final = re.compile(r"[^\r\n]{0,200}")
"""What is left of a line, as much as a span has to show."""


class Trouble(Struct, frozen=True):
    """What the parser says and where; ``begun`` is where the thing began in which it met ``at``.

    ``bracket`` is the innermost bracket still open, ``last`` the span of the scalar read last.
    """

    text: str
    problem: str
    at: int
    begun: int
    bracket: int | None
    last: tuple[int, int]

    @property
    def char(self) -> str:
        """The character in the way; empty at the end of the file."""
        return self.text[self.at : self.at + 1]

    def line_start(self, index: int) -> int:
        """Return where the line of ``index`` begins."""
        return max(self.text.rfind("\n", 0, index), self.text.rfind("\r", 0, index)) + 1

    def rest(self, index: int) -> int:
        """Return where the text on the line of ``index`` ends, a comment not counted."""
        line = LINE.match(self.text, index)
        words = line[0].partition(" #")[0] if line else ""
        return index + max(len(words.rstrip()), 1)

    def indent(self, index: int) -> int:
        """Return how far the line of ``index`` is indented."""
        start = self.line_start(index)
        line = LINE.match(self.text, start)
        return len(line[0]) - len(line[0].lstrip(" ")) if line else 0

    def number(self, index: int) -> int:
        """Return the number of the line of ``index``."""
        return Lines(self.text).position(index)[0]

    def slip(self, message: str, tip: str = "", span: tuple[int, int] | None = None) -> Slip:
        """Return the slip, at the character in the way unless a span is given."""
        start, end = span or (self.at, min(self.at + 1, len(self.text)))
        return Slip("bad-yaml", message, start, end, tip)
