"""Comments that speak to this program: ``# lampwright: allow[rule-name] reason``."""

from __future__ import annotations

import re
from bisect import bisect_right
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.documents.document import entries

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.documents import Document
    from lampwright.findings import Span

    Extents = tuple[list[int], dict[int, int]]

MARK: Final = "lampwright:"
COMMENT: Final = re.compile(r"(?:^|(?<=[ \t\r]))#[ \t]*lampwright:[ \t]*([^\r\n]*?)[ \t]*(?=[\r\n]|\Z)", re.MULTILINE)
ALLOW: Final = re.compile(r"allow[ \t]*\[([^\]]*)\][ \t:,-]*(.*)")
WHOLE: Final = 10**9
"""A line past the end of any file."""


class Comment(Struct, frozen=True):
    """One comment: the rules it allows and why, its own place, and the first and last line it speaks of.

    ``rules`` is None if it is not understood.
    """

    rules: tuple[str, ...] | None
    reason: str
    span: Span
    first: int
    last: int

    def covers(self, line: int) -> bool:
        """Tell whether a line is one it speaks of."""
        return self.first <= line <= self.last


def comments(document: Document) -> Iterator[Comment]:
    """Yield the comments of a file in their order.

    One behind something speaks of what begins on its line, to its end: a word, or a whole map. One on a line of its
    own speaks of what begins on the next line; above the first key, of the whole file.
    """
    if MARK not in document.text or document.values is None:
        return
    scalars = sorted(_scalars(document.values, document.marks, 0))
    extents = _by_line(document)
    for found in COMMENT.finditer(document.text):
        before = bisect_right(scalars, (found.start(), len(document.text)))
        if not before or scalars[before - 1][1] <= found.start() or _on_head(document, scalars[before - 1], found):
            yield _comment(document, found, extents)


def _on_head(document: Document, scalar: tuple[int, int], found: re.Match[str]) -> bool:
    """Tell whether a comment stands behind the ``|`` or ``>`` of a text that begins on the next line."""
    start = scalar[0]
    return document.text[start] in "|>" and not set("\r\n") & set(document.text[start : found.start()])


def _comment(document: Document, found: re.Match[str], extents: Extents) -> Comment:
    """Return one comment with what it speaks of."""
    line, column = document.lines.position(found.start())
    span = (line, column, *document.lines.position(found.end()))
    said = ALLOW.fullmatch(found[1])
    rules = tuple(filter(None, map(str.strip, said[1].split(",")))) if said else None
    alone = not document.line(line)[: column - 1].strip()
    return Comment(rules, said[2] if said else "", span, *_lines(extents, line, alone=alone))


def _lines(extents: Extents, line: int, *, alone: bool) -> tuple[int, int]:
    """Return the lines that a comment speaks of."""
    firsts, lasts = extents
    if alone and firsts and line < firsts[0]:
        return 1, WHOLE
    next_one = bisect_right(firsts, line)
    begin = firsts[next_one] if alone and next_one < len(firsts) else line
    return begin, lasts.get(begin, begin)


def _by_line(document: Document) -> Extents:
    """Return the lines on which something begins that has a key or is an item, and for each where the longest ends."""
    lasts: dict[int, int] = {}
    for start, end in _extents(document.values, document.marks, 0):
        text = document.text[start:end].rstrip()
        first = document.lines.position(start)[0]
        last = document.lines.position(start + max(len(text) - 1, 0))[0]
        lasts[first] = max(last, lasts.get(first, last))
    return sorted(lasts), lasts


def _extents(value: Any, marks: Any, at: int) -> Iterator[tuple[int, int]]:
    """Yield where each entry inside a value begins and ends in the text, outer ones first."""
    for step, key_at, value_at in entries(value, marks, at):
        held = value[step]
        key_end = marks[key_at + 1] if key_at != value_at else 0
        yield marks[key_at], max(key_end, marks[_last(held, marks, value_at)])
        if isinstance(held, dict | list):
            yield from _extents(held, marks, value_at)


def _scalars(value: Any, marks: Any, at: int) -> Iterator[tuple[int, int]]:
    """Yield start and end of every key and every value that is neither map nor list."""
    for step, key_at, value_at in entries(value, marks, at):
        if key_at != value_at:
            yield marks[key_at], marks[key_at + 1]
        if isinstance(value[step], dict | list):
            yield from _scalars(value[step], marks, value_at)
        else:
            yield marks[value_at], marks[value_at + 1]


def _last(value: Any, marks: Any, at: int) -> int:
    """Return where in the marks the end of a value is."""
    return marks[at + 1] - 1 if isinstance(value, dict | list) else at + 1
