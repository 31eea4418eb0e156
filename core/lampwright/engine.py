"""Running checks: in the order of their prerequisites, skipping with a reason what depends on a failure."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, field

from lampwright import ANYTHING
from lampwright.checks import Skip
from lampwright.findings import Finding
from lampwright.words import listed, nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lampwright.checks import Check
    from lampwright.findings import Path

Blocked = dict[str, dict["Path", str]]
"""By check, the subjects it has something against: the check that found it, which may be one it needs itself."""


MOST: Final = 250_000
"""Findings of one subject after which a check is not believed any more: more than the largest plans have signals."""
Tell = Callable[[str, int, int], object]
"""Is told what is being worked on, and how many of how many are done."""


class Raised(Struct, frozen=True):
    """A check that raised where it should have looked."""

    check: str
    path: Path
    error: BaseException


class Outcome(Struct):
    """What a run of checks over one layout or rulebook gave."""

    findings: list[Finding] = field(default_factory=list)
    skips: list[Skip] = field(default_factory=list)
    raised: list[Raised] = field(default_factory=list)
    ran: int = 0


class UnknownPrerequisite(Exception):  # noqa: N818  (the name says what is wrong)
    """Checks need one that no plugin brings, or each other; ``checks`` names them and all that need them."""

    def __init__(self, message: str, tip: str, checks: frozenset[str]) -> None:
        super().__init__(message)
        self.message = message
        self.tip = tip
        self.checks = checks


def in_order(checks: Iterable[type[Check]]) -> list[Check]:
    """Return the checks, each after those it needs; equals stay in the order of their names.

    Raises UnknownPrerequisite for a needed check that is not there, or for a circle.
    """
    from graphlib import CycleError, TopologicalSorter

    by_name = {check.name: check for check in sorted(checks, key=lambda check: check.name)}
    needs = {name: check.needs for name, check in by_name.items()}
    if lacking := sorted({needed for name in needs for needed in needs[name]} - needs.keys()):
        raise _lacking(lacking[0], needs)
    try:
        names = list(TopologicalSorter(needs).static_order())
    except CycleError as error:
        circle = error.args[1]
        message = f"checks need each other in a circle, so that none can be the first: {' -> '.join(circle)}"
        raise UnknownPrerequisite(message, "", _needing(circle, needs)) from None
    return [by_name[name]() for name in names]


def _lacking(lacking: str, needs: Mapping[str, tuple[str, ...]]) -> UnknownPrerequisite:
    """Return what is to be said of a check that is needed and not there."""
    checks = _needing([lacking], needs) - {lacking}
    those = f"the check {listed(checks)} needs" if len(checks) == 1 else f"the checks {listed(sorted(checks))} need"
    close = nearest(lacking, needs)
    tip = f"did you mean {close}?" if close else ""
    return UnknownPrerequisite(f"{those} {lacking}, which no plugin brings", tip, checks)


def _needing(checks: Iterable[str], needs: Mapping[str, tuple[str, ...]]) -> frozenset[str]:
    """Return the checks with all that need one of them, however many steps away."""
    found = set(checks)
    while more := {name for name, needed in needs.items() if name not in found and found.intersection(needed)}:
        found |= more
    return frozenset(found)


def untold(_what: str, _done: int, _of: int) -> None:
    """Tell nobody."""


def run(checks: Sequence[Check], whole: Any, of: str, file: str, tell: Tell = untold) -> Outcome:
    """Run the checks of one kind over a layout or a rulebook; ``tell`` is told of each before it begins.

    What a check raises ends up in the outcome, and those that need it are skipped there: the caller knows whom to
    blame.
    """
    outcome = Outcome()
    blocked: Blocked = {}
    for done, check in enumerate(checks):
        if check.scope.of == of:
            tell(check.name, done, len(checks))
            try:
                _run_one(check, whole, file, blocked, outcome)
            except KeyboardInterrupt as stop:  # it may never have come to an end: the user is told its name
                stop.add_note(f"in the check {check.name} of {file}")
                raise
            except ANYTHING as error:
                outcome.raised.append(Raised(check.name, (), error))
                blocked[check.name] = {(): check.name}
    return outcome


def _run_one(check: Check, whole: Any, file: str, blocked: Blocked, outcome: Outcome) -> None:
    """Run one check over its subjects and remember those it has something against."""
    if reason := check.missing(whole):
        outcome.skips.append(Skip(check.name, (), reason, file))
        return
    outcome.ran += 1
    barred = [blocked[needed] for needed in check.needs if needed in blocked]
    look, found = check.look, outcome.findings
    for subject in check.scope.subjects(whole):
        if barred and (root := _barring(barred, subject.path)):
            outcome.skips.append(Skip(check.name, subject.path, root, file))
            blocked.setdefault(check.name, {})[subject.path] = root
            continue
        before = len(found)
        try:
            for finding in look(subject):  # here and not in a function of its own: most look at much and find nothing
                found.append(_believed(finding, len(found) - before))
        except ANYTHING as error:
            outcome.raised.append(Raised(check.name, subject.path, error))
            blocked.setdefault(check.name, {})[subject.path] = check.name
        if len(found) > before:
            blocked.setdefault(check.name, {})[subject.path] = check.name


def _believed(finding: object, before: int) -> Finding:
    """Return what a check has yielded after so many of the same subject; raise if it is no finding, or never ends."""
    if not isinstance(finding, Finding):
        raise TypeError(f"look() yielded {type(finding).__name__}, not a finding")
    if before == MOST:
        raise OverflowError(f"look() has yielded {MOST:,} findings of one subject, and would not end")
    return finding


def _barring(barred: Sequence[Mapping[Path, str]], path: Path) -> str:
    """Return the check that found something on the subject or on what it belongs to."""
    for against in barred:
        for length in range(len(path) + 1):
            if root := against.get(path[:length]):
                return root
    return ""
