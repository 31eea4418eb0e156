"""Markdown: a table for the page of a build, or for a message."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.findings import Level
from lampwright.reports import ordered
from lampwright.reports.capped import remainders
from lampwright.reports.printable import printable
from lampwright.reports.summary import sentence
from lampwright.words import counted

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.documents import Place
    from lampwright.findings import Finding
    from lampwright.project import Result
    from lampwright.reports import Options

ROWS: Final = 500
"""Most findings that are listed: pages of builds have a limit."""
SPECIAL: Final = str.maketrans(
    {one: f"\\{one}" for one in "\\`*_{}[]()#|~!"} | {"<": "&lt;", ">": "&gt;", "&": "&amp;"}
)


def report(result: Result, write: Callable[[str], object], _options: Options) -> None:
    """Print a heading with the counts, the findings, and what was checked."""
    found = ordered(result)
    write(f"## Lampwright: {_counts(result)}\n\n")
    if found:
        write("| level | where | what | rule |\n|---|---|---|---|\n")
    for finding, place in found[:ROWS]:
        write(f"| {finding.level} | {_where(finding, place)} | {_what(finding)} | `{finding.rule}` |\n")
    if len(found) > ROWS:
        write(f"\nand {len(found) - ROWS:,} more\n")
    for line in remainders(result):
        write(f"\n{_plain(line)}\n")
    write(("\n" if found else "") + _plain(sentence(result)) + "\n")


def _counts(result: Result) -> str:
    """Return how many findings of which level."""
    found = (*result.findings, *result.unshown)
    by_level = [sum(finding.level is level for finding in found) for level in reversed(Level)]
    said = [counted(number, str(level)) for number, level in zip(by_level, reversed(Level), strict=True) if number]
    return ", ".join(said) or "no findings"


def _where(finding: Finding, place: Place | None) -> str:
    """Return file and line."""
    return f"{_plain(finding.spot.file)}:{place.line}" if place else _plain(finding.spot.file)


def _what(finding: Finding) -> str:
    """Return what is wrong and what would have been right."""
    return _plain(finding.message) + (f"<br>tip: {_plain(finding.tip)}" if finding.tip else "")


def _plain(text: str) -> str:
    """Return a text that means nothing to a page but itself."""
    return printable(text).translate(SPECIAL)
