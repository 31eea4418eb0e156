"""Workflow commands: what GitHub shows as annotations beside the lines of a change."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.findings import Level
from lampwright.reports import ordered
from lampwright.reports.capped import remainders
from lampwright.reports.printable import printable
from lampwright_reports.identity import posix

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.documents import Place
    from lampwright.findings import Finding
    from lampwright.project import Result
    from lampwright.reports import Options

COMMAND: Final = {Level.ERROR: "error", Level.WARNING: "warning", Level.NOTE: "notice"}
IN_TEXT: Final = {"%": "%25", "\r": "%0D", "\n": "%0A"}
IN_PROPERTY: Final = {**IN_TEXT, ":": "%3A", ",": "%2C"}


def report(result: Result, write: Callable[[str], object], _options: Options) -> None:
    """Print a command for each finding."""
    for finding, place in ordered(result):
        write(f"{_command(finding, place)}\n")
    for line in remainders(result):
        write(f"::notice::{_escaped(printable(line), IN_TEXT)}\n")


def _command(finding: Finding, place: Place | None) -> str:
    """Return one annotation. Columns are told only within one line, as the platform wants them."""
    properties = {"title": f"{finding.rule}"}
    if place is not None:
        properties |= {"file": posix(finding.spot.file), "line": str(place.line), "endLine": str(place.end_line)}
        if place.line == place.end_line:
            last = max(place.column, place.end_column - 1)
            properties |= {"col": str(place.column), "endColumn": str(last)}
    said = ",".join(f"{name}={_escaped(text, IN_PROPERTY)}" for name, text in properties.items())
    because = f"\nbecause: {printable(finding.because)}" if finding.because else ""
    tip = f"\ntip: {printable(finding.tip)}" if finding.tip else ""
    return f"::{COMMAND[finding.level]} {said}::{_escaped(printable(finding.message) + because + tip, IN_TEXT)}"


def _escaped(text: str, escapes: dict[str, str]) -> str:
    """Return a text as a command may hold it."""
    return "".join(escapes.get(character, character) for character in text)
