"""What a check reports, before anybody decides how it is printed."""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

if TYPE_CHECKING:
    from lampwright.edits import Change

Path = tuple[str | int, ...]
"""Where a value stands in a document: ``("signals", "TB1", "shows", "clear", 1)``."""


class Level(IntEnum):
    """How much a finding matters; the exit code follows from it."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    def __str__(self) -> str:
        """Return the word used on the command line and in every report."""
        return self.name.lower()


class Basis(IntEnum):
    """How well a datum is known, weakest first."""

    MEMORY = 1
    COMMON_PRACTICE = 2
    DERIVED = 3
    SECONDARY = 4
    VERIFIED = 5

    def __str__(self) -> str:
        """Return the word used in rulebooks."""
        return self.name.lower().replace("_", "-")

    @classmethod
    def of(cls, word: str) -> Basis:
        """Return the basis a rulebook calls ``word``."""
        return cls[word.upper().replace("-", "_")]


Span = tuple[int, int, int, int]
"""Line, column, end line, end column: 1-based, in characters, the end not included."""


class Spot(Struct, frozen=True):
    """A value (or its key) in a file, named by path; lines are looked up only when it is printed.

    A file that could not be read has no paths, nor has a comment: there, and only there, ``span`` says the place.
    """

    file: str
    path: Path
    label: str = ""
    on_key: bool = False
    span: Span | None = None


class Citation(Struct, frozen=True):
    """Where a datum comes from, and how well it is known."""

    text: str
    basis: Basis
    spot: Spot | None = None

    def __str__(self) -> str:
        """Return the source as it is printed under a finding."""
        return f"{self.text} ({self.basis})"


class Fix(Struct, frozen=True):
    """A way to mend what was found: changes, each with the file it is made in.

    ``safe`` if it can hardly be anything else that was meant.
    """

    title: str
    changes: tuple[tuple[str, Change], ...]
    safe: bool = False


class Finding(Struct, frozen=True):
    """One thing to report: what is wrong, where, by which source, what would have been right.

    ``fixes`` are ways to mend it, of which one is to be chosen; a tip that knows what is meant (``words.Meant``) is one
    by itself.
    """

    rule: str
    level: Level
    message: str
    spot: Spot
    related: tuple[Spot, ...] = ()
    citations: tuple[Citation, ...] = ()
    because: str = ""
    tip: str = ""
    fixes: tuple[Fix, ...] = ()

    @property
    def basis(self) -> Basis | None:
        """The weakest basis among the data the finding rests on; None if it rests on the plan alone."""
        return min((citation.basis for citation in self.citations), default=None)

    def weighed(self) -> Finding:
        """Return the finding at the level its weakest datum allows: memory carries a note at most."""
        if self.basis is Basis.MEMORY and self.level > Level.NOTE:
            return replace(self, level=Level.NOTE)
        return self
