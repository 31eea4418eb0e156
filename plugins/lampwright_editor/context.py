"""Where the cursor stands in a file that may be half written, and what could stand there."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.documents import Unreadable, read

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.documents import Document
    from lampwright.findings import Path

WORD: Final = re.compile(r"[\w./-]*$")
REST: Final = re.compile(r"[\w./-]*")
COMMENT: Final = re.compile(r"(?:^|(?<=[ \t]))#")
STAND_IN: Final = "zzzz"
"""Stands for the word that is being written, so that the file can be read."""
CLOSERS: Final = {"[": "]", "{": "}"}


class Context(Struct, frozen=True):
    """A document with a word in place of the one being written, the path of that, and whether it is a key."""

    document: Document
    path: Path
    on_key: bool
    begun: str


def context(text: str, index: int) -> Context | None:
    """Return where the word at an index of a text would stand; None if no reading makes sense of the place."""
    found = WORD.search(text, 0, index)
    begin = found.start() if found else index
    rest = REST.match(text, index)
    end = rest.end() if rest else index
    for reading in _readings(text, begin, end):
        try:
            document = read(reading.encode(), "")
        except Unreadable:
            continue
        path, on_key = document.at(begin)
        if path and (on_key or _at(document, path) == STAND_IN or path[-1] == STAND_IN):
            return Context(document, path, on_key, text[begin:index])
    return None


def _readings(text: str, begin: int, end: int) -> Iterator[str]:
    """Yield the text with what might stand in place of the word, and with brackets closed that are still open."""
    start = text.rfind("\n", 0, begin) + 1
    last = text.find("\n", end)
    last = last if last >= 0 else len(text)
    remark = COMMENT.search(text, end, last)
    last = remark.start() if remark else last
    here, behind = _closing(text[start:begin], text[end:last])
    for word in (STAND_IN, f"{STAND_IN}: {STAND_IN}"):
        for between in ("", ", "):
            yield text[:begin] + word + between + text[end:]
            yield text[:begin] + word + here + between + text[end:last] + behind + text[last:]


def _closing(before: str, behind: str) -> tuple[str, str]:
    """Return the brackets to be closed at the cursor of a line, and those at its end."""
    waiting: list[str] = []
    for letter in before:
        if letter in CLOSERS:
            waiting.append(CLOSERS[letter])
        elif waiting and letter == waiting[-1]:
            waiting.pop()
    here: list[str] = []
    for letter in behind:
        if letter in CLOSERS:
            waiting.append(CLOSERS[letter])
        elif letter in CLOSERS.values():
            while waiting and waiting[-1] != letter:
                here.append(waiting.pop())
            del waiting[-1:]
    return "".join(here), "".join(reversed(waiting))


def _at(document: Document, path: Path) -> object:
    """Return the value at a path."""
    value = document.values
    for step in path:
        value = value[step]
    return value
