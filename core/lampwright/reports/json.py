"""The report a program reads: see ``schemas/findings.schema.json``."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from lampwright.findings import Level
from lampwright.reports.capped import unshown
from lampwright.reports.contract import ordered, placed
from lampwright.reports.summary import Summary, subject

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.checks import Skip
    from lampwright.documents.places import Place
    from lampwright.findings import Finding, Spot
    from lampwright.project import Result
    from lampwright.reports.contract import Options

FORMAT: Final = "lampwright-findings/1"


def report(result: Result, write: Callable[[str], object], _options: Options) -> None:
    """Print findings and summary as one JSON object, in ASCII."""
    whole = {
        "format": FORMAT,
        "findings": [finding_values(finding, place, result) for finding, place in ordered(result)],
        "summary": summary_values(result),
    }
    write(json.dumps(whole, indent=2) + "\n")


def finding_values(finding: Finding, place: Place | None, result: Result) -> dict[str, Any]:
    """Return one finding as plain values."""
    return {
        "rule": finding.rule,
        "level": str(finding.level),
        "message": finding.message,
        **_place(finding.spot, place),
        "basis": None if finding.basis is None else str(finding.basis),
        "source": "; ".join(dict.fromkeys(citation.text for citation in finding.citations)),
        "because": finding.because,
        "tip": finding.tip,
        "related": [_place(spot, placed(spot, result.documents)) for spot in finding.related],
    }


def _place(spot: Spot, place: Place | None) -> dict[str, Any]:
    """Return a spot with its place; a finding about no file has none."""
    line, column, end_line, end_column = place or (None, None, None, None)
    return {
        "file": spot.file,
        "path": list(spot.path),
        "line": line,
        "column": column,
        "end_line": end_line,
        "end_column": end_column,
        "label": spot.label,
    }


def summary_values(result: Result) -> dict[str, Any]:
    """Return what was checked, against what, as plain values."""
    summary = Summary.of(result)
    return {
        "files": result.files,
        "rulebook": list(dict.fromkeys(rulebook for rulebook, _ in summary.against)),
        "year": list(dict.fromkeys(year for _, year in summary.against if year)),
        "compression": list(summary.compressed),
        "signals": summary.signals,
        "routes": summary.routes,
        "checks_run": summary.checks,
        "skipped": [_skip(skip) for skip in result.skips],
        "errors": summary.levels[Level.ERROR],
        "warnings": summary.levels[Level.WARNING],
        "notes": summary.levels[Level.NOTE],
        "allowed": result.allowed,
        "in_baseline": result.known,
        "switched_off": result.off,
        "not_shown": [{"file": file, "rule": rule, "number": number} for file, rule, number in unshown(result)],
    }


def _skip(skip: Skip) -> dict[str, str]:
    """Return a check that was skipped."""
    return {"rule": skip.check, "about": subject(skip.path) or skip.file, "reason": skip.reason}
