"""What a reporter is, and what every reporter needs: findings in order, each with its place."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from msgspec import Struct

from lampwright.findings import Level

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lampwright.documents import Document, Place
    from lampwright.findings import Finding, Spot
    from lampwright.project import Result


class Options(Struct, frozen=True):
    """How the output is wanted: colour as an addition to what the text says anyway, columns at most.

    ``fail_on`` is the lowest level of a finding that fails the check.
    """

    colour: bool = False
    width: int = 100
    fail_on: Level = Level.ERROR


class Reporter(Protocol):
    """Prints what a run gave."""

    def __call__(self, result: Result, write: Callable[[str], object], options: Options, /) -> None:
        """Pass the whole report to ``write``, in one piece or many, ends of lines included.

        The findings of a result stand in no order: see ``ordered``. What comes from files may hold any character.
        """


def ordered(result: Result) -> list[tuple[Finding, Place | None]]:
    """Return the findings with their places, by file, line, column, level (the worst first) and rule."""
    found = [(finding, placed(finding.spot, result.documents)) for finding in result.findings]
    return sorted(found, key=lambda item: _rank(*item))


def placed(spot: Spot, documents: Mapping[str, Document]) -> Place | None:
    """Return where a spot is in its file; None if it is about no file."""
    if spot.span is not None:
        from lampwright.documents import Place  # what only prints help reads no files

        return Place(*spot.span)
    document = documents.get(spot.file)
    return document.place(spot.path, on_key=spot.on_key) if document is not None else None


def _rank(finding: Finding, place: Place | None) -> tuple[object, ...]:
    """Return what a finding is sorted by."""
    line, column = place[:2] if place else (0, 0)
    return finding.spot.file, line, column, -finding.level, finding.rule, finding.message
