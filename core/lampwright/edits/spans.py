"""From changes of values to spans of text."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.documents import Document, Unreadable, read
from lampwright.edits.changes import changed

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lampwright.edits.changes import Change


class CannotEdit(Exception):  # noqa: N818  (what cannot be done, not what went wrong)
    """A change cannot be written into a file as it stands; the message says which and why."""


class Edit(Struct, frozen=True, order=True):
    """Puts ``text`` in place of ``[start:end]`` of a document's text, in characters; equal ones insert."""

    start: int
    end: int
    text: str


def applied(text: str, edits: Iterable[Edit]) -> str:
    """Return a text with edits made; those that insert at one place keep their order.

    Raises ``ValueError`` if two of them overlap.
    """
    pieces: list[str] = []
    at = 0
    for edit in sorted(edits, key=lambda one: (one.start, one.end)):
        if edit.start < at:
            message = f"two edits of one place, at {edit.start}"
            raise ValueError(message)
        pieces += [text[at : edit.start], edit.text]
        at = edit.end
    return "".join([*pieces, text[at:]])


def edits_of(document: Document, changes: Sequence[Change]) -> tuple[Edit, ...]:
    """Return the edits that make changes in a document: the smallest spans, all else left byte for byte.

    What they make is read again and compared with what is meant. Raises ``CannotEdit`` if that differs, if a path
    leads nowhere, or if changes are in each other's way.
    """
    return _proved(document, changes)[0]


def edited(document: Document, changes: Sequence[Change]) -> str:
    """Return the text of a document with changes made (see ``edits_of``)."""
    return _proved(document, changes)[1]


def difference(old: str, new: str, name: str) -> str:
    """Return what changes in a file, as a unified diff; empty if nothing does."""
    from difflib import unified_diff

    before, after = (text.splitlines(keepends=True) for text in (old, new))
    lines = unified_diff(before, after, f"{name} (as it is)", f"{name} (changed)")
    return "".join(line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n" for line in lines)


def _proved(document: Document, changes: Sequence[Change]) -> tuple[tuple[Edit, ...], str]:
    """Return edits and the text they make, once it has been read and found to be what is meant."""
    from lampwright.edits.placing import Placing

    try:
        meant = changed(document.values, changes)
        edits = Placing(document).edits(changes)
        text = applied(document.text, edits)
    except KeyError as error:
        message = f"{document.name} has nothing at {_shown(error.args[0])}"
        raise CannotEdit(message) from error
    except ValueError as error:
        message = f"changes to {document.name} are in each other's way"
        raise CannotEdit(message) from error
    if not same(_read(text, document.name), meant):
        message = f"{document.name} is written in a way that this change does not fit into; make it by hand"
        raise CannotEdit(message)
    return edits, text


def _read(text: str, name: str) -> Any:
    """Return the values of a text; itself, which is no value of a document, if it cannot be read."""
    try:
        return read(text.encode(), name).values
    except Unreadable as unreadable:
        return unreadable


def same(one: Any, other: Any) -> bool:
    """Tell whether two values are the same, in the same order, and of the same types: 1 is not true."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return list(one) == list(other) and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


def _shown(path: Any) -> str:
    """Return a path as a message has it."""
    return ".".join(map(str, path)) if isinstance(path, tuple) else str(path)
