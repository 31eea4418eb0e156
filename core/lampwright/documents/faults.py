"""What can be wrong with a file before it has any meaning, and the limits that keep it harmless."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lampwright.documents.document import Document

CAP: Final = 20
"""Most faults told of one file."""
SHOWN: Final = 40
"""Longest piece of the file that a message repeats."""


class Limits(Struct, frozen=True):
    """How much a file may ask of the reader.

    ``size`` in bytes; ``depth`` of maps and lists inside each other; ``nodes`` are keys, values, maps and lists;
    ``scalar`` is the length of one key or value in characters.
    """

    size: int = 256 * 1024 * 1024
    depth: int = 64
    nodes: int = 20_000_000
    scalar: int = 64 * 1024


class Fault(Struct, frozen=True):
    """One reason why a file cannot be read: 1-based place in characters, the end not included.

    Rules: ``unreadable-file``, ``not-text``, ``empty-file``, ``bad-yaml``, ``unsupported-yaml``, ``duplicate-key``,
    ``over-limit``.
    """

    rule: str
    message: str
    line: int = 1
    column: int = 1
    end_line: int = 1
    end_column: int = 1
    tip: str = ""


class Unreadable(Exception):  # noqa: N818  (what the file is, not what the program did)
    """A file gives no values.

    ``faults`` are the reasons, at least one and at most twenty; ``fault`` is the first. ``document`` has no values,
    but the lines as they are written, which may hold anything; it is empty if the file is not text.
    """

    def __init__(self, faults: Sequence[Fault], document: Document) -> None:
        self.faults = tuple(faults)
        self.fault = self.faults[0]
        self.document = document
        super().__init__(self.faults, document)  # what another process needs to make it again

    def __str__(self) -> str:
        """Return the first fault on one line, with its place."""
        return f"{self.document.name}:{self.fault.line}:{self.fault.column}: {self.fault.message}"


class Slip(Struct, frozen=True):
    """A fault as the reader meets it, its place still in character indices."""

    rule: str
    message: str
    start: int
    end: int
    tip: str = ""


class Refused(Exception):  # noqa: N818  (never leaves this package)
    """Reading stops at a slip; ``text`` is what there is to be shown of a file that is no proper text."""

    def __init__(self, slip: Slip, text: str = "") -> None:
        self.slip = slip
        self.text = text
        super().__init__(slip.message)


def shown(text: str) -> str:
    """Return a piece of the file fit to stand in a message: short, and nothing a terminal would obey."""
    short = text if len(text) <= SHOWN else f"{text[:SHOWN]}..."
    return short if short.isprintable() else short.encode("unicode_escape").decode("ascii")
