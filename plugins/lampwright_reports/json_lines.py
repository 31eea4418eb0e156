"""JSON lines: a finding a line as ``--format json`` has it, and at the end the summary."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from lampwright.reports import ordered
from lampwright.reports.json import FORMAT, finding_values, summary_values

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.project import Result
    from lampwright.reports import Options


def report(result: Result, write: Callable[[str], object], _options: Options) -> None:
    """Print one object a line."""
    for finding, place in ordered(result):
        write(json.dumps(finding_values(finding, place, result)) + "\n")
    write(json.dumps({"format": FORMAT, "summary": summary_values(result)}) + "\n")
