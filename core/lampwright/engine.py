"""Running checks: in the order of their prerequisites, skipping with a reason what depends on a failure."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from lampwright.checks import Skip
from lampwright.words import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lampwright.checks import Check
    from lampwright.findings import Finding, Path


@dataclass(slots=True)
class Outcome:
    """What a run of checks over one layout or rulebook gave."""

    findings: list[Finding] = field(default_factory=list)
    skips: list[Skip] = field(default_factory=list)
    ran: int = 0


class UnknownPrerequisite(Exception):  # noqa: N818  (the name says what is wrong)
    """A check needs another that no plugin brings."""


def in_order(checks: Iterable[type[Check]]) -> list[Check]:
    """Return the checks, each after those it needs; equals stay in the order of their names.

    Raises UnknownPrerequisite for a needed check that is not there, or for a circle.
    """
    from graphlib import CycleError, TopologicalSorter

    by_name = {check.name: check for check in sorted(checks, key=lambda check: check.name)}
    for check in by_name.values():
        for needed in check.needs:
            if needed not in by_name:
                tip = did_you_mean(needed, by_name, "the checks")
                raise UnknownPrerequisite(f"the check {check.name} needs {needed}, which no plugin brings: {tip}")
    try:
        names = list(TopologicalSorter({name: check.needs for name, check in by_name.items()}).static_order())
    except CycleError as error:
        raise UnknownPrerequisite(f"checks need each other in a circle: {' -> '.join(error.args[1])}") from None
    return [by_name[name]() for name in names]


def run(checks: Sequence[Check], whole: Any, of: str, file: str) -> Outcome:
    """Run the checks of one kind over a layout or a rulebook.

    A check that raises is not caught here: the caller knows which plugin brought it.
    """
    outcome = Outcome()
    blocked: dict[str, set[Path]] = {}
    for check in checks:
        if check.scope.of == of:
            _run_one(check, whole, file, blocked, outcome)
    return outcome


def _run_one(check: Check, whole: Any, file: str, blocked: dict[str, set[Path]], outcome: Outcome) -> None:
    """Run one check over its subjects and remember those it found something on."""
    if reason := check.missing(whole):
        outcome.skips.append(Skip(check.name, (), reason, file))
        return
    outcome.ran += 1
    barred = {needed: blocked[needed] for needed in check.needs if needed in blocked}
    for subject in check.scope.subjects(whole):
        if barred and (needed := _barring(barred, subject.path)):
            outcome.skips.append(Skip(check.name, subject.path, needed, file))
            blocked.setdefault(check.name, set()).add(subject.path)
        elif found := list(check.look(subject)):
            outcome.findings += found
            blocked.setdefault(check.name, set()).add(subject.path)


def _barring(barred: dict[str, set[Path]], path: Path) -> str:
    """Return the needed check that found something on the subject or on what it belongs to."""
    for needed, paths in barred.items():
        if any(path[:length] in paths for length in range(len(path) + 1)):
            return needed
    return ""
