"""Code quality report: what GitLab shows in a merge request."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from lampwright.findings import Level
from lampwright_reports.identity import known, posix

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.documents import Place
    from lampwright.findings import Finding
    from lampwright.project import Result
    from lampwright.reports import Options

SEVERITY: Final = {Level.ERROR: "major", Level.WARNING: "minor", Level.NOTE: "info"}


def report(result: Result, write: Callable[[str], object], _options: Options) -> None:
    """Print a list of issues; what is about no file is told of the first one checked, since each must have one."""
    anywhere = posix(result.files[0]) if result.files else "."
    write(json.dumps([_issue(*one, anywhere) for one in known(result)], indent=2) + "\n")


def _issue(finding: Finding, place: Place | None, mark: str, anywhere: str) -> dict[str, Any]:
    """Return one finding."""
    lines = {"begin": place.line, "end": place.end_line} if place else {"begin": 1}
    return {
        "description": f"{finding.message}. {finding.tip}" if finding.tip else finding.message,
        "check_name": finding.rule,
        "fingerprint": mark,
        "severity": SEVERITY[finding.level],
        "location": {"path": posix(finding.spot.file) or anywhere, "lines": lines},
    }
