"""A baseline: how many findings of each rule each file has by agreement, so that only new ones count."""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lampwright.documents import is_there
from lampwright.intake import against_schema, read_document

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.documents import Document
    from lampwright.findings import Finding
    from lampwright.project import Result

Counts = dict[str, dict[str, int]]
"""By file, as the baseline names it, and by rule."""


def read(path: Path) -> tuple[Counts, Document, list[Finding]]:
    """Read a baseline; what keeps it from being used are findings."""
    document, findings = read_document(path, str(path))
    findings = findings or against_schema(document, "baseline")
    return ({} if findings else dict(document.values.get("files") or {})), document, findings


def counted(result: Result, path: Path) -> Counts:
    """Count the findings of a run as a baseline at ``path`` names their files."""
    counts = Counter((named(finding.spot.file, path), finding.rule) for finding in result.findings if finding.spot.file)
    files: Counts = {}
    for (file, rule), number in sorted(counts.items()):
        files.setdefault(file, {})[rule] = number
    return files


def named(file: str, path: Path) -> str:
    """Return a file as a baseline names it: from its own folder, with slashes, so that it can move with its project."""
    try:
        return Path(os.path.relpath(Path(file).resolve(), path.resolve().parent)).as_posix()
    except ValueError:  # another drive
        return Path(file).as_posix()


def leave_out(result: Result, agreed: Counts, path: Path) -> list[str]:
    """Take what is agreed out of a result; return a sentence for each rule of a file that now has more.

    Which of several is the new one nobody can tell, once lines have moved: all of them stay.
    """
    found = counted(result, path)
    kept, said = [], []
    for finding in result.findings:
        file = named(finding.spot.file, path) if finding.spot.file else ""
        if found.get(file, {}).get(finding.rule, 0) > agreed.get(file, {}).get(finding.rule, 0) or not file:
            kept.append(finding)
    for file, rules in found.items():
        for rule, number in rules.items():
            before = agreed.get(file, {}).get(rule, 0)
            if 0 < before < number:
                said.append(
                    f"the baseline has {before:,} of {rule} in {file}, and now there are {number:,}: all are shown"
                )
    result.known += len(result.findings) - len(kept)
    result.findings[:] = kept
    return said


def gone(agreed: Counts, path: Path) -> set[str]:
    """Return the files of a baseline that are no longer there."""
    return {file for file in agreed if not is_there(path.resolve().parent / file)}


def shrunk(agreed: Counts, found: Counts, looked_at: set[str]) -> Counts:
    """Return a baseline less what is gone: counts of files that were looked at are lowered, never raised."""
    lower: Counts = {}
    for file, rules in agreed.items():
        held = {rule: min(number, found.get(file, {}).get(rule, 0)) for rule, number in rules.items()}
        left = {rule: number for rule, number in (held if file in looked_at else rules).items() if number}
        if left:
            lower[file] = left
    return lower


def text(counts: Mapping[str, Mapping[str, int]]) -> str:
    """Return a baseline as a file: one line for each file and rule, so that changes to it can be read."""
    from lampwright.edits.notation import entry

    values: Any = {file: dict(rules) for file, rules in counts.items()}
    lines = [
        "# Findings that are agreed on, by file and rule; `lampwright check --baseline` leaves them out.",
        "baseline: 1",
    ]
    lines.append("files:" if values else "files: {}")
    for file, rules in values.items():
        lines.append("  " + entry(file, {}, "", "\n").removesuffix(" {}"))
        lines += [f"    {rule}: {number}" for rule, number in rules.items()]
    return "\n".join(lines) + "\n"
