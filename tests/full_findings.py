"""Writes findings out in full, for tests of their words: rule and place, message, reason, tip, what is beside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.findings import Level
from lampwright.manual import examples
from support import all_checks, findings_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot


def full(text: str, *, year: str = "", rule: str = "") -> list[str]:
    """Return the findings of a plan or rulebook, of one rule or of all, line by line."""
    found = findings_of(text, year=year)
    return [line for finding in found if rule in ("", finding.rule) for line in lines(finding)]


def lines(finding: Finding) -> Iterator[str]:
    """Yield a finding's lines; an error does not say that it is one."""
    level = "" if finding.level is Level.ERROR else f" ({finding.level.name.lower()})"
    yield f"{finding.rule}{level} at {place(finding.spot)}"
    yield finding.message
    if finding.because:
        yield f"because {finding.because}"
    if finding.tip:
        yield f"tip {finding.tip}"
    yield from (f"beside {place(spot)}: {spot.label}" for spot in finding.related)


def place(spot: Spot) -> str:
    """Return a place as a way through the file; that of a key ends with a colon."""
    return "/".join(str(step) for step in spot.path) + (":" if spot.on_key else "")


def of_manual(rule: str) -> list[str]:
    """Return the findings of the first wrong example of a rule's manual, each with the sources it rests on."""
    check = next(check for check in all_checks() if check.name == rule)
    text = next(example.text for example in examples(type(check)) if example.wrong)
    return [line for finding in findings_of(text) for line in (*lines(finding), *sources(finding))]


def sources(finding: Finding) -> Iterator[str]:
    """Yield the sources of a finding, one a line."""
    yield from (f"by {source}" for source in finding.citations)
