"""A file that has been read: plain values, and the place of each of them."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.documents.places import Lines, Place

if TYPE_CHECKING:
    from array import array
    from collections.abc import Iterator

    from lampwright.findings import Path


class Document(Struct, frozen=True, eq=False, dict=True):
    """Values of a file with their places.

    ``values`` are only ``dict``, ``list``, ``str``, ``int``, ``Decimal``, ``bool`` and ``None``; keys are ``str``.
    They are not to be changed in place: ``marks`` holds the places in the order in which the values stand.

    In ``marks`` a scalar or key is ``start, end``. A map or list is ``start, after``, then what it holds, then
    ``end``, where ``after`` is the position in ``marks`` behind all that. Starts and ends are indices into ``text``.
    """

    name: str
    text: str = ""
    values: Any = None
    marks: array[int] | tuple[int, ...] = (0, 0)

    def __repr__(self) -> str:
        """Return what a message of the program itself may hold: not the whole file."""
        return f"Document({self.name!r})"

    @property
    def kind(self) -> str:
        """The first key of the file: ``plan``, ``rulebook``; empty if there is none."""
        return str(next(iter(self.values), "")) if isinstance(self.values, dict) else ""

    @cached_property
    def _entries(self) -> dict[int, dict[str | int, tuple[int, int]]]:
        """Where in ``marks`` the entries of maps and lists are, as far as anybody has asked."""
        return {}

    @cached_property
    def lines(self) -> Lines:
        """The text as lines."""
        return Lines(self.text)

    def line(self, number: int) -> str:
        """Return a line as it is written, without its end."""
        return self.lines.line(number)

    def place(self, path: Path, *, on_key: bool = False) -> Place:
        """Return the span of the value at ``path``, or of its key.

        What has no text of its own is shown by what has: a value left empty by its key (or its dash), something
        that is not there by the key of the map or list that lacks it.
        """
        value, key_at, at = self.values, 0, 0
        for step in path:
            entry = self._held(value, at).get(step)
            if entry is None:
                on_key = True
                break
            key_at, at = entry
            value = value[step]
        start, end = self._span(value, at)
        if key_at != at and (on_key or start == end):
            start, end = self.marks[key_at], self.marks[key_at + 1]
        elif start == end and self.text[start - 1 : start] == "-":
            start -= 1
        return self.lines.place(start, end)

    def span(self, path: Path, *, on_key: bool = False) -> tuple[int, int]:
        """Return start and end, in ``text``, of the value at ``path`` or of its key; nothing stands in for either.

        What is left empty has no length. Raises ``KeyError`` if nothing is at that path, or it has no key.
        """
        value, key_at, at = self.values, 0, 0
        for step in path:
            key_at, at = self._held(value, at)[step]
            value = value[step]
        if not on_key:
            return self._span(value, at)
        if key_at == at:
            raise KeyError(path)
        return self.marks[key_at], self.marks[key_at + 1]

    def at(self, index: int) -> tuple[Path, bool]:
        """Return the path of the innermost value whose text holds a character, and whether its key does.

        Past the end of a word still counts as in it, as an editor's cursor stands there.
        """
        value, at = self.values, 0
        path: Path = ()
        while True:
            for step, (key_at, inner) in self._held(value, at).items():
                if key_at != inner and self.marks[key_at] <= index <= self.marks[key_at + 1]:
                    return (*path, step), True
                start, end = self._span(value[step], inner)
                if start <= index <= end:
                    value, at, path = value[step], inner, (*path, step)
                    break
            else:
                return path, False

    def _held(self, value: Any, at: int) -> dict[str | int, tuple[int, int]]:
        """Return where in ``marks`` the entries of one map or list are; worked out once for each."""
        if at not in self._entries:
            self._entries[at] = {step: (key_at, at) for step, key_at, at in entries(value, self.marks, at)}
        return self._entries[at]

    def _span(self, value: Any, at: int) -> tuple[int, int]:
        """Return start and end of a value; block text gives up the empty lines behind it."""
        start, behind = self.marks[at], self.marks[_after(value, self.marks, at) - 1]
        end = behind
        while start < end and self.text[end - 1] in " \t\r\n":
            end -= 1
        while end < behind and self.text[end] in " \t":  # they belong to the last line that is not empty
            end += 1
        return start, end


def entries(value: Any, marks: array[int] | tuple[int, ...], at: int) -> Iterator[tuple[str | int, int, int]]:
    """Go through a map or list: key or index, and where in ``marks`` its key and its value are."""
    at += 2
    if isinstance(value, dict):
        for key, held in value.items():
            yield key, at, at + 2
            at = _after(held, marks, at + 2)
    elif isinstance(value, list):
        for index, held in enumerate(value):
            yield index, at, at
            at = _after(held, marks, at)


def _after(value: Any, marks: array[int] | tuple[int, ...], at: int) -> int:
    """Return the position in ``marks`` behind a value."""
    return marks[at + 1] if isinstance(value, dict | list) else at + 2
