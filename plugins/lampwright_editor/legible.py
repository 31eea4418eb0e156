"""A file that cannot be read at the moment, without the lines that are in the way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.documents import Unreadable, read

if TYPE_CHECKING:
    from lampwright.documents import Document

TRIES: Final = 8
"""Lines that are left out at most."""


def legible(text: str, name: str, index: int) -> Document | None:
    """Return a text as far as it can be read, with everything in it where it is; None if too much is in the way.

    Lines in which something is wrong, or the one before where that lets more be read, count as empty. The line of the
    index, which is asked about, does not.
    """
    asked = text.count("\n", 0, index)
    for _ in range(TRIES):
        found = _read(text, name)
        if not isinstance(found, int):
            return found
        tries = [one for line in (found, found - 1) if line != asked and (one := _without(text, line)) != text]
        if not tries:
            return None
        text = max(tries, key=lambda one: _reach(one, name))
    return None


def _read(text: str, name: str) -> Document | int:
    """Return the document, or the line (from 0) of the first thing that is wrong."""
    try:
        return read(text.encode(), name)
    except Unreadable as error:
        return error.fault.line - 1


def _reach(text: str, name: str) -> int:
    """Return how far a text can be read, in lines."""
    found = _read(text, name)
    return found if isinstance(found, int) else text.count("\n") + 1


def _without(text: str, number: int) -> str:
    """Return a text with a line of nothing but spaces; every other character stays at its index."""
    lines = text.split("\n")
    if not 0 <= number < len(lines):
        return text
    end = "\r" if lines[number].endswith("\r") else ""
    lines[number] = " " * (len(lines[number]) - len(end)) + end
    return "\n".join(lines)
