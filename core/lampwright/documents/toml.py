"""TOML files: read by the standard library, which does not say where a value stands; that is looked for when asked."""

from __future__ import annotations

import re
from datetime import date, datetime, time
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from lampwright.documents.document import Document
from lampwright.documents.faults import Fault, Limits, Refused, Slip, Unreadable
from lampwright.documents.source import decode, load
from lampwright.documents.toml_marks import Marks

if TYPE_CHECKING:
    import pathlib

    from lampwright.documents.places import Place
    from lampwright.findings import Path

LIMITS: Final = Limits(size=1024 * 1024)
DEPTH: Final = 32
DEEP: Final = re.compile(rf"""^[ \t\[]*(?:[\w"'-]+[ \t]*\.[ \t]*){{{DEPTH}}}""", re.MULTILINE)
"""A name of very many parts: the standard library takes the square of their number."""
LONG: Final = re.compile(r"\d[\d_]{4299,}")
TROUBLE: Final = re.compile(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", re.DOTALL)
"""What the standard library says of a slip."""


class TomlDocument(Document, frozen=True, eq=False, dict=True):
    """Values of a TOML file with their places."""

    @cached_property
    def toml_marks(self) -> Marks:
        """Where everything stands."""
        return Marks(self.text)

    def place(self, path: Path, *, on_key: bool = False) -> Place:
        """Return the span of the value at ``path``, or of its key; for what is not there, the key of what lacks it."""
        known = self.toml_marks.by_path
        for length in range(len(path), 0, -1):
            if mark := known.get(path[:length]):
                return self.lines.place(*(mark.key if on_key or length < len(path) else mark.value))
        return self.lines.place(0, 0)


def read_toml(source: pathlib.Path, name: str) -> TomlDocument:
    """Read a TOML file; ``name`` is what the user calls it. Raises ``Unreadable``, with one reason and its place."""
    try:
        text = decode(load(source, LIMITS))
    except Refused as refused:
        raise _unreadable(refused.slip, Document(name, refused.text)) from None
    if deep := DEEP.search(text):
        slip = Slip("over-limit", f"a name in this file has more than {DEPTH} parts", deep.start(), deep.end())
        raise _unreadable(slip, Document(name, text))
    from tomllib import TOMLDecodeError, loads

    try:
        return TomlDocument(name, text, _plain(loads(text, parse_float=Decimal)))
    except TOMLDecodeError as error:
        raise _unreadable(_slip(str(error), text), Document(name, text)) from None
    except ValueError:  # the only numbers it cannot read
        found = LONG.search(text)
        place = found.span() if found else (0, 0)
        slip = Slip("over-limit", "a number in this file is longer than the 4,300 digits that are read", *place)
        raise _unreadable(slip, Document(name, text)) from None
    except RecursionError:
        slip = Slip("over-limit", "lists or tables are nested too deeply in this file", 0, 0)
        raise _unreadable(slip, Document(name, text)) from None


def _unreadable(slip: Slip, document: Document) -> Unreadable:
    """Return why a file gives no values."""
    place = document.lines.place(slip.start, slip.end)
    return Unreadable([Fault(slip.rule, slip.message, *place, slip.tip)], document)


def _slip(said: str, text: str) -> Slip:
    """Return what the standard library says of a slip, at its character."""
    found = TROUBLE.fullmatch(said)
    what = found[1] if found else said
    start = len(text.rstrip())
    if found and found[2]:
        start = sum(len(line) + 1 for line in text.split("\n")[: int(found[2]) - 1]) + int(found[3]) - 1
    return Slip("bad-toml", f"this is no TOML: {what[:1].lower()}{what[1:]}", start, start + 1)


def _plain(value: Any) -> Any:
    """Return a value as documents have it: dates and times are texts."""
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_plain(item) for item in value]
    return value.isoformat() if isinstance(value, date | datetime | time) else value
