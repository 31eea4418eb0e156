"""What the configuration makes of a result: levels as the project has them, and what is wrong in itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from lampwright.findings import Level
from lampwright.settings.configuration import OFF, unsettable

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from lampwright.findings import Finding
    from lampwright.project import Result
    from lampwright.settings.configuration import Configuration
    from lampwright.settings.find import Configurations

ALLOWANCES = {"bad-allowance", "unused-allowance"}
"""Of the kernel's own rules those that may be set: they say nothing of a file that could not be checked."""


def judge(result: Result, configured: Configurations, checks: Collection[str]) -> None:
    """Give findings the levels of the configuration that holds for their files; ``checks`` are all rules of checks.

    What rests on memory stays a note. What is wrong in the configurations is added.
    """
    if not configured.read:
        return
    from lampwright.rules import RULES

    settable = {*checks, *ALLOWANCES}
    kept = [one for finding in result.findings if (one := _judged(finding, configured.of, settable))]
    result.off += len(result.findings) - len(kept)
    wrong = [trouble for found in configured.read for trouble in unsettable(found, {*RULES, *checks}, settable)]
    result.findings[:] = [*kept, *wrong]


def _judged(finding: Finding, of: Callable[[str], Configuration], settable: set[str]) -> Finding | None:
    """Return a finding at the level that its file's configuration gives it; None if its rule is off."""
    level = of(finding.spot.file).levels.get(finding.rule) if finding.rule in settable else None
    if level is None:
        return finding
    return None if level == OFF else replace(finding, level=Level[level.upper()]).weighed()
