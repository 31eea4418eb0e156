"""SARIF 2.1.0 (OASIS Standard, 27 March 2020): what code scanning reads."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from lampwright import __version__
from lampwright.findings import Level
from lampwright.reports import placed
from lampwright.reports.capped import remainders
from lampwright_reports.identity import known, uri

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from lampwright.documents import Place
    from lampwright.findings import Finding, Spot
    from lampwright.project import Result
    from lampwright.reports import Options

SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def report(result: Result, write: Callable[[str], object], _options: Options) -> None:
    """Print one run with its rules and results."""
    found = list(known(result))
    rules = sorted({finding.rule for finding, _, _ in found})
    run = {
        "tool": {"driver": _driver(result, rules)},
        "columnKind": "unicodeCodePoints",
        "artifacts": [{"location": {"uri": uri(file)}} for file in result.files],
        **_remarks(result),
        "results": [_result(*one, rules, result) for one in found],
    }
    write(json.dumps({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}, indent=2) + "\n")


def _remarks(result: Result) -> dict[str, Any]:
    """Return what the program says of its run: which findings are counted and not shown."""
    said = [{"level": "note", "message": {"text": f"{line}, not shown"}} for line in remainders(result)]
    return {"invocations": [{"executionSuccessful": True, "toolExecutionNotifications": said}]} if said else {}


def _driver(result: Result, rules: Iterable[str]) -> dict[str, Any]:
    """Return the program with the rules that found something."""
    return {
        "name": "Lampwright",
        "semanticVersion": __version__,
        "rules": [_rule(name, result) for name in rules],
    }


def _rule(name: str, result: Result) -> dict[str, Any]:
    """Return a rule with its manual."""
    rule = result.rule(name)
    if rule is None:
        return {"id": name}
    return {
        "id": name,
        "shortDescription": {"text": rule.manual.partition("\n")[0]},
        "fullDescription": {"text": rule.manual.partition("\n")[0]},
        "help": {"text": rule.manual},
        "defaultConfiguration": {"level": str(rule.level)},
    }


def _result(finding: Finding, place: Place | None, mark: str, rules: list[str], result: Result) -> dict[str, Any]:
    """Return one finding."""
    said = {
        "ruleId": finding.rule,
        "ruleIndex": rules.index(finding.rule),
        "level": str(finding.level) if finding.level != Level.NOTE else "note",
        "message": {"text": _text(finding)},
        "partialFingerprints": {"lampwright/v1": mark},
    }
    if place is not None:
        said["locations"] = [_location(finding.spot, place)]
    related = [(spot, placed(spot, result.documents)) for spot in finding.related]
    others = [_location(spot, where) for spot, where in related if where is not None]
    if others:
        said["relatedLocations"] = [{"id": number, **one} for number, one in enumerate(others)]
    properties = {"basis": str(finding.basis)} if finding.basis is not None else {}
    if finding.citations:
        properties["source"] = "; ".join(dict.fromkeys(map(str, finding.citations)))
    return {**said, "properties": properties} if properties else said


def _text(finding: Finding) -> str:
    """Return what is wrong, why, and what would have been right."""
    parts = [finding.message, f"because {finding.because}" if finding.because else "", finding.tip]
    return "; ".join(filter(None, parts))


def _location(spot: Spot, place: Place) -> dict[str, Any]:
    """Return a place; the end of a region is the first column behind it, here as there."""
    region = {
        "startLine": place.line,
        "startColumn": place.column,
        "endLine": place.end_line,
        "endColumn": place.end_column,
    }
    location: dict[str, Any] = {
        "physicalLocation": {"artifactLocation": {"uri": uri(spot.file)}, "region": region},
    }
    if spot.path:
        location["logicalLocations"] = [{"fullyQualifiedName": ".".join(map(str, spot.path))}]
    return {**location, "message": {"text": spot.label}} if spot.label else location
