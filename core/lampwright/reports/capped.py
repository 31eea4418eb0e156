"""Very many findings of one rule in one file: the first ones are shown, the rest is counted."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from lampwright.reports.contract import placed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.project import Result

USUAL: Final = 100
"""Findings of one rule in one file that a person is shown, unless the call says how many."""
LINES: Final = 10
"""Rules and files of which the rest is told one by one."""


def capped(result: Result, most: int) -> Result:
    """Return a result that shows at most so many findings of one rule in one file, the first by place; 0 shows all.

    The others are its ``unshown``: what counts findings counts them too.
    """
    counts = Counter((finding.spot.file, finding.rule) for finding in result.findings) if most else Counter()
    over = {group for group, number in counts.items() if number > most}
    if not over:
        return result
    groups: dict[tuple[str, str], list[Finding]] = {group: [] for group in over}
    kept: list[Finding] = []
    for finding in result.findings:
        groups.get((finding.spot.file, finding.rule), kept).append(finding)
    hidden: list[Finding] = []
    for group in groups.values():
        group.sort(key=lambda finding: (placed(finding.spot, result.documents) or (0, 0))[:2])
        kept += group[:most]
        hidden += group[most:]
    return replace(result, findings=kept, unshown=[*result.unshown, *hidden])


def unshown(result: Result) -> list[tuple[str, str, int]]:
    """Return file, rule and number of the findings that are not shown, in the order of files and rules."""
    counts = Counter((finding.spot.file, finding.rule) for finding in result.unshown)
    return [(file, rule, number) for (file, rule), number in sorted(counts.items())]


def remainders(result: Result) -> Iterator[str]:
    """Yield in words what is not shown: ``and 9,900 more of dark-route in plan.yaml``."""
    groups = unshown(result)
    for file, rule, number in groups[:LINES]:
        yield f"and {number:,} more of {rule}" + (f" in {file}" if file else "")
    if len(groups) > LINES:
        number = sum(group[2] for group in groups[LINES:])
        yield f"and {number:,} more, of other rules or in other files"
