"""Where in the text of a document a change is made, for maps and lists in brackets and in lines."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

from lampwright.edits.notation import entry, flow, item, scalar
from lampwright.edits.spans import Edit

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from lampwright.documents import Document
    from lampwright.edits.changes import Change
    from lampwright.findings import Path

MORE = ("add", "append")


class Placing:
    """Finds the spans of one document that changes ask for. Raises ``KeyError`` for a path that leads nowhere."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.text = document.text
        self.end = next((end for end in ("\r\n", "\n", "\r") if end in self.text), "\n")

    def edits(self, changes: Sequence[Change]) -> tuple[Edit, ...]:
        """Return the edits of all changes; what is added to one map or list is one edit."""
        made: list[Edit] = []
        for how, path, group in _grouped(changes):
            if how in MORE:
                made.append(self._more(path, group))
            elif how == "remove":
                made += self._removed(path, {change.path[-1] for change in group})
            else:
                made += [self._one(change) for change in group]
        return tuple(sorted(made))

    def _one(self, change: Change) -> Edit:
        """Return the edit of a change of one value or key."""
        if change.how == "rename":
            start, end = self.document.span(change.path, on_key=True)
            return Edit(start, end, scalar(change.key, self._quote(start), key=True))
        return self._replaced(change.path, change.value)

    def _quote(self, start: int) -> str:
        """Return the quotes that begin at a place, if any do."""
        mark = self.text[start : start + 1]
        return mark if mark in {'"', "'"} else ""

    def _value(self, path: Path) -> Any:
        """Return the value at a path."""
        value = self.document.values
        for step in path:
            value = value[step]
        return value

    def _in_block(self, path: Path) -> bool:
        """Tell whether the map or list at a path is written in lines."""
        start, _ = self.document.span(path)
        return self.text[start : start + 1] not in {"{", "["}

    def _replaced(self, path: Path, value: Any) -> Edit:
        """Return the edit that puts a value in another's place; behind its key, if the old one stood in lines."""
        start, end = self.document.span(path)
        old = self._value(path)
        if start == end:
            return Edit(start, end, f" {flow(value)}")
        if isinstance(old, dict | list) and old and self._in_block(path) and path and isinstance(path[-1], str):
            behind = self.text.index(":", self.document.span(path, on_key=True)[1]) + 1
            if not self.text[behind:start].strip():
                return Edit(behind, end, f" {flow(value)}")
        quote = self._quote(start) if isinstance(old, str) and isinstance(value, str) else ""
        return Edit(start, end, scalar(value, quote) if quote else flow(value))

    def _more(self, path: Path, changes: Sequence[Change]) -> Edit:
        """Return the edit that adds keys to a map, or items to a list."""
        value = self._value(path)
        if not value:
            start, end = self.document.span(path)
            new: Any = (
                {one.key: one.value for one in changes} if changes[0].how == "add" else [one.value for one in changes]
            )
            return Edit(start, end, self._first(path, new) if start == end else flow(new))
        if not self._in_block(path):
            return self._inside(path, value, changes)
        first, end = self.document.span(path)
        indent = self._indent(first)
        written = [
            entry(one.key, one.value, indent, self.end) if one.how == "add" else item(one.value, indent, self.end)
            for one in changes
        ]
        at = self._line_end(end)
        return Edit(at, at, "".join(f"{self.end}{indent}{line}" for line in written))

    def _first(self, path: Path, new: Any) -> str:
        """Return what stands behind a key left empty: in lines if that key stands in lines."""
        parent = path[:-1]
        if not isinstance(new, dict) or not self._in_block(parent):
            return f" {flow(new)}"
        indent = self._indent(self.document.span(path, on_key=True)[0])
        return entry("", new, indent, self.end).partition(":")[2]

    def _inside(self, path: Path, value: Any, changes: Iterable[Change]) -> Edit:
        """Return the edit that adds to a map or list in brackets, behind the last of it."""
        last = list(value)[-1] if isinstance(value, dict) else len(value) - 1
        at = self.document.span((*path, last))[1]
        written = [
            f"{scalar(one.key, key=True)}: {flow(one.value)}" if one.how == "add" else flow(one.value)
            for one in changes
        ]
        return Edit(at, at, "".join(f", {piece}" for piece in written))

    def _removed(self, whole: Path, gone: Collection[str | int]) -> Iterator[Edit]:
        """Yield the edits that take entries out of a map, or items out of a list: one for each run of them."""
        held = self._value(whole)
        steps = list(held) if isinstance(held, dict) else list(range(len(held)))
        missing = [step for step in gone if step not in steps]
        if missing:
            raise KeyError((*whole, *missing[:1]))
        if len(gone) == len(steps) and whole:
            yield self._replaced(whole, type(held)())
            return
        number = 0
        for away, group in groupby(steps, key=gone.__contains__):
            run = [(*whole, step) for step in group]
            number += len(run)
            if away:
                before = (*whole, steps[number - len(run) - 1]) if number > len(run) else None
                after = (*whole, steps[number]) if number < len(steps) else None
                yield self._cut(self._in_block(whole), run, before, after)

    def _cut(self, block: bool, run: Sequence[Path], before: Path | None, after: Path | None) -> Edit:  # noqa: FBT001
        """Return the edit that takes away a run of entries between two others."""
        start, end = self._extent(run[0])[0], self._extent(run[-1])[1]
        begin = self._line_start(start)
        if block and not self.text[begin:start].strip():
            return self._lines(begin, self._line_end(end))
        if after:  # in brackets, or the first keys behind a dash
            return Edit(start, self._extent(after)[0], "")
        return Edit(self._extent(before)[1] if before else start, end, "")

    def _lines(self, begin: int, end: int) -> Edit:
        """Return the edit that takes away whole lines, and the end of one of them."""
        after = next((end + len(mark) for mark in ("\r\n", "\n", "\r") if self.text.startswith(mark, end)), end)
        if after == end and begin:
            begin = len(self.text[:begin].removesuffix(self.end))
        return Edit(begin, after, "")

    def _extent(self, path: Path) -> tuple[int, int]:
        """Return where an entry begins, with its key or its dash, and where its value ends."""
        start, end = self.document.span(path)
        if isinstance(path[-1], str):
            key = self.document.span(path, on_key=True)
            return key[0], max(key[1], end)
        if self._in_block(path[:-1]):
            start = self.text.rindex("-", 0, max(start, 1))
        return start, end

    def _indent(self, start: int) -> str:
        """Return the blanks that bring a new line to the column of a place."""
        return " " * (start - self._line_start(start))

    def _line_start(self, at: int) -> int:
        """Return where the line of a place begins."""
        return max(self.text.rfind("\n", 0, at), self.text.rfind("\r", 0, at)) + 1

    def _line_end(self, at: int) -> int:
        """Return where the line of a place ends, before what ends it: a comment behind a value stays with it."""
        ends = [found for mark in "\r\n" if (found := self.text.find(mark, at)) >= 0]
        return min(ends, default=len(self.text))


def _grouped(changes: Iterable[Change]) -> Iterator[tuple[str, Path, list[Change]]]:
    """Yield changes with those that have to be made together: by kind and the map or list they change."""
    groups: dict[tuple[str, Path], list[Change]] = {}
    for change in changes:
        if change.how == "remove" and not change.path:
            raise KeyError(change.path)
        path = change.path[:-1] if change.how == "remove" else change.path
        groups.setdefault((change.how, path), []).append(change)
    for (how, path), group in groups.items():
        yield how, path, group
