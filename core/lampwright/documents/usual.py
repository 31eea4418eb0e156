"""Reads YAML of the usual kind line by line; whatever is not of it is left to the parser.

Usual are maps and lists in block or in brackets, words, quoted text on one line, comments. It comes to the very values
and marks that the parser's events come to, in a fraction of the time. Nothing is judged here: a text with anything
else in it, be it wrong or only rare, is ``Unusual`` as a whole.
"""

from __future__ import annotations

import re
from array import array
from typing import TYPE_CHECKING, Any, Final

from lampwright.documents.scalars import Plain

if TYPE_CHECKING:
    from lampwright.documents.faults import Limits

FIRST: Final = r"(?:[^\s\-?:,\[\]{}#&*!|>'\"%@`<.]|-(?=[0-9])|\.(?!\.\.))"
"""What a word begins with."""
WORD: Final = FIRST + r"[^\s:#]*+(?:(?:[ ]++(?=[^\s:#])|:(?=\S))[^\s:#]*+)*+"
NAME: Final = FIRST + r"[^\s:#,?\[\]{}]*+(?:[ ]++(?=[^\s:#,?\[\]{}])[^\s:#,?\[\]{}]*+)*+"
"""A word between brackets, or before a colon."""
KEY: Final = rf"({NAME}|\"[^\"\\\n\r]+\")"
QUOTED: Final = r"\"([^\"\\\n\r]*)\"|'([^'\n\r]*)'(?!')"
EMPTY: Final = r"(?:[ ]*+(?:#[^\n]*+)?\r?\n)*+"
REST: Final = r"[ ]*+(?:(?<=[ \n])#[^\n]*+)?(?:\r?\n|\Z)"
"""What follows the last value of a line."""
GAP: Final = r"(?:[ \n]|\r\n|(?<=[ \n])#[^\n]*)*+"
"""What may stand between the parts of a map or list in brackets."""
LINE: Final = re.compile(
    rf"{EMPTY}([ ]*+)(-[ ]++)?(?:{KEY}:(?:[ ]++|(?=\r?\n|\Z)))?(?:(?:({WORD})|{QUOTED})?+({REST})|(?=[\[{{]))"
)
"""One line and the empty ones before it: indent, dash, key, word or quoted text, rest; or as far as a bracket."""
AFTER: Final = re.compile(REST)
SCALAR: Final = rf"(?:(?:({NAME})|{QUOTED}){GAP}([,\]}}])|(?=[\[{{]))"
ENTRY: Final = re.compile(rf"{GAP}{KEY}:(?=[ \n\r]){GAP}{SCALAR}")
ITEM: Final = re.compile(rf"{GAP}(){SCALAR}")
NEXT: Final = re.compile(rf"{GAP}([,\]}}])")
NOTHING: Final = re.compile(rf"{GAP}([\]}}])")
ODD: Final = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufffe\uffff]")
"""Characters that may not stand in a file."""
END: Final = -1
"""The column of what stands at the end of a text, and outside of all: nothing."""
LONGEST_KEY: Final = 200
"""Characters of a key. The parser's own limit is 1,024 bytes."""


class Unusual(Exception):  # noqa: N818  (it is no error)
    """A text is to be read by the parser."""


def usual(text: str, limits: Limits) -> tuple[Any, array[int]]:
    """Return the root and the marks of a text (see ``Document``). Raises ``Unusual``."""
    if ODD.search(text) or "\r" in text.replace("\r\n", "\n"):  # one by itself ends a line, and few would think so
        raise Unusual
    if len(text) > 2 * limits.nodes or max(map(len, text.split("\n"))) > limits.scalar:
        raise Unusual
    root, marks = _Text(text, limits.depth).read()
    if len(marks) > 2 * limits.nodes:  # keys without values are more than one for two characters
        raise Unusual
    return root, marks


class _Text:
    """A text as far as it has been read; ``marks`` and values as ``Document`` has them."""

    def __init__(self, text: str, depth: int) -> None:
        self.text = text
        self.depth = depth
        self.marks: list[int] = []
        self.plain = Plain()

    def read(self) -> tuple[Any, array[int]]:  # noqa: C901, PLR0912, PLR0915  (calls cost)
        """Go through the lines.

        ``here`` is the map or list that a line belongs to, ``indent`` the column of its entries, ``opened`` the mark
        to set at its end; ``awaited`` is where the colon of a key ends whose value is to come on the next lines.
        """
        text, marks, plain, line = self.text, self.marks, self.plain, LINE.match
        above: list[tuple[Any, int, int]] = []
        root: Any = None
        here: Any = None
        key = ""
        indent, opened, awaited, at = END, 0, 0, 0
        while True:
            found = line(text, at)
            if found is None:
                raise Unusual
            at = found.end()
            blank, dash, name, word, double, single, rest = found.groups()
            column = len(blank)
            if name is None and dash is None:
                if rest is None and awaited and column > indent:
                    here[key], at = self._line_in_brackets(at, len(above))
                    awaited = 0
                    continue
                if rest is None or here is None or at < len(text) or not (word is double is single is None):
                    raise Unusual
                column = END
            if column > indent:
                if (here is not None and not awaited) or len(above) >= self.depth:
                    raise Unusual
                value: Any = {} if dash is None else []
                if here is None:
                    root = value
                else:
                    here[key] = value
                above.append((here, indent, opened))
                here, indent = value, column
                marks += (found.start(3 if dash is None else 2), 0)
                opened = len(marks) - 1
            else:
                if awaited:
                    here[key] = None
                    marks += (awaited, awaited)
                while column < indent:
                    marks.append(marks[-1])
                    marks[opened] = len(marks)
                    here, indent, opened = above.pop()
                if column == END:
                    return root, array("I", marks)
                if column != indent:
                    raise Unusual
            awaited = 0
            if (here.__class__ is list) is (dash is None):
                raise Unusual
            if name is not None:
                start, end = found.span(3)
                if dash is not None:
                    if len(above) >= self.depth:
                        raise Unusual
                    value = {}
                    here.append(value)
                    above.append((here, indent, opened))
                    here, indent = value, column + len(dash)
                    marks += (start, 0)
                    opened = len(marks) - 1
                if name[0] == '"':
                    name = name[1:-1]
                if name in here or len(name) > LONGEST_KEY:
                    raise Unusual
                marks += (start, end)
            if word is not None:
                value = plain[word]
                marks += found.span(4)
            elif rest is None:
                value, at = self._line_in_brackets(at, len(above))
            elif (value := single if double is None else double) is not None:
                start, end = found.span(5 if single is None else 6)
                marks += (start - 1, end + 1)
            elif name is not None:
                key, awaited = name, end + 1
                continue
            else:
                raise Unusual
            if name is None:
                here.append(value)
            else:
                here[name] = value

    def _line_in_brackets(self, at: int, depth: int) -> tuple[Any, int]:
        """Read a map or list in brackets that is the last of its line; return where the next line begins, too."""
        value, at = self._bracketed(at, depth)
        if (after := AFTER.match(self.text, at)) is None:
            raise Unusual
        return value, after.end()

    def _bracketed(self, at: int, depth: int) -> tuple[Any, int]:  # noqa: C901, PLR0912  (calls cost)
        """Read a map or list in brackets that begins at an index, inside others; return where it ends, too."""
        text, marks, plain = self.text, self.marks, self.plain
        if depth >= self.depth:
            raise Unusual
        marks += (at, 0)
        opened = len(marks) - 1
        mapped = text[at] == "{"
        value: Any = {} if mapped else []
        match = ENTRY.match if mapped else ITEM.match
        at, stop = at + 1, ","
        while stop == ",":
            found = match(text, at)
            if found is None and not value:
                found = NOTHING.match(text, at)
                at, stop = (found.end(), found[1]) if found else (at, "")
                break
            if found is None:
                raise Unusual
            at = found.end()
            name, word, double, single, stop = found.groups()
            if mapped:
                if name[0] == '"':
                    name = name[1:-1]
                if name in value or len(name) > LONGEST_KEY:
                    raise Unusual
                marks += found.span(1)
            item: Any
            if word is not None:
                item = plain[word]
                marks += found.span(2)
            elif stop is None:
                item, at = self._bracketed(at, depth + 1)
                if (found := NEXT.match(text, at)) is None:
                    raise Unusual
                at, stop = found.end(), found[1]
            else:
                item = single if double is None else double
                start, end = found.span(3 if single is None else 4)
                marks += (start - 1, end + 1)
            if mapped:
                value[name] = item
            else:
                value.append(item)
        if stop != ("}" if mapped else "]"):
            raise Unusual
        marks.append(at)
        marks[opened] = len(marks)
        return value, at
