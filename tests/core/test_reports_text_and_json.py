"""The two reports: their whole text, and JSON against its schema."""

from __future__ import annotations

import json
import re
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest

from findings_schema import problems
from lampwright import documents
from lampwright.checks import Skip
from lampwright.findings import Basis, Citation, Finding, Level, Spot
from lampwright.project import Result
from lampwright.reports import Options, ordered
from lampwright.reports import json as json_report
from lampwright.reports import text as text_report
from lampwright.reports.style import wanted

if TYPE_CHECKING:
    from lampwright.layout import Layout

PLAN = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: three-aspect}\n  HF2: {form: x}\n"
CARD = Citation('"Four aspect signal", Network Rail', Basis.VERIFIED)
RECALLED = Citation("from memory", Basis.MEMORY)


def at(*path: str | int, file: str = "plan.yaml", label: str = "") -> Spot:
    """Return a place in the plan."""
    return Spot(file, path, label)


def result(*findings: Finding, skips: tuple[Skip, ...] = (), **counts: Any) -> Result:
    """Return what a run over the plan above might have given."""
    plan = documents.read(PLAN.encode(), "plan.yaml")
    layout: Any = SimpleNamespace(
        rulebook_name="gb-colour-light",
        year_text="1978",
        plan=SimpleNamespace(
            signals={"HF1": SimpleNamespace(routes=[1, 2, 3]), "HF2": SimpleNamespace(routes=[])}, values={}
        ),
    )
    given: dict[str, Any] = {"layouts": [layout], "checks": 41, "files": ["plan.yaml"], **counts}
    return Result(findings=list(findings), skips=list(skips), documents={"plan.yaml": plan}, **given)


def in_text(given: Result, *, colour: bool = False, width: int = 100) -> str:
    """Return the report in text."""
    pieces: list[str] = []
    text_report.report(given, pieces.append, Options(colour, width))
    return "".join(pieces)


def in_json(given: Result) -> dict[str, Any]:
    """Return the report in JSON, which is as its schema says."""
    pieces: list[str] = []
    json_report.report(given, pieces.append, Options())
    whole: dict[str, Any] = json.loads("".join(pieces))
    assert problems(whole) == []
    return whole


WRONG = Finding(
    "unknown-form",
    Level.ERROR,
    "HF2 is of the form x, which gb-colour-light does not have",
    at("signals", "HF2", "form"),
    related=(at("rulebook", label="as the plan says"),),
    citations=(CARD, RECALLED, CARD),
    because="no form of the rulebook has that name",
    tip="did you mean three-aspect?",
)


def test_a_whole_report() -> None:
    """A finding with all its parts, and the summary."""
    assert in_text(result(WRONG)) == (
        "error[unknown-form]: HF2 is of the form x, which gb-colour-light does not have\n"
        " --> plan.yaml:6:15\n"
        "  |\n"
        "2 | rulebook: gb-colour-light\n"
        "  |           --------------- as the plan says\n"
        "...\n"
        "6 |   HF2: {form: x}\n"
        "  |               ^\n"
        "  = because: no form of the rulebook has that name\n"
        '  = source: "Four aspect signal", Network Rail (verified)\n'
        "  = source: from memory (memory)\n"
        "  = tip: did you mean three-aspect?\n"
        "  = explain: lampwright explain unknown-form\n"
        "\n"
        "1 error. gb-colour-light in 1978; 41 checks over 2 signals and 3 routes.\n"
    )


def test_long_texts_are_wrapped_at_a_hundred_columns() -> None:
    """Message and notes alike, each behind its own beginning."""
    words = "a signal with one lamp less than its form has and " * 3
    finding = Finding("lamp-missing", Level.NOTE, words.strip(), at("signals", "HF1"), tip=words.strip())
    lines = in_text(result(finding)).splitlines()
    assert all(len(line) <= 100 for line in lines)
    assert lines[0].startswith("note[lamp-missing]: a signal")
    assert lines[1].startswith("    ")
    (tip,) = (number for number, line in enumerate(lines) if line.startswith("  = tip: "))
    assert lines[tip + 1].startswith("         ")
    assert words.strip() in " ".join(" ".join(lines[:2]).split())


def test_findings_come_by_file_line_column_level_and_rule() -> None:
    """Whatever order the checks found them in."""
    first = Finding("b", Level.ERROR, "", at("signals", "HF1", "form"))
    findings = [
        Finding("c", Level.NOTE, "", at("signals", "HF2", "form")),
        Finding("b", Level.WARNING, "", at("signals", "HF2", "form")),
        Finding("a", Level.WARNING, "", at("signals", "HF2", "form")),
        first,
        Finding("z", Level.NOTE, "", at(file="a.yaml")),
        Finding("y", Level.NOTE, "", Spot("", ())),
    ]
    assert [finding.rule for finding, _ in ordered(result(*findings))] == ["y", "z", "b", "a", "b", "c"]
    assert [finding.rule for finding, _ in ordered(result(*reversed(findings)))] == ["y", "z", "b", "a", "b", "c"]


def summary(given: Result) -> str:
    """Return the last line of the report in text, unwrapped."""
    return in_text(given, width=1000).splitlines()[-1]


def test_a_clean_run_has_a_summary_too() -> None:
    """So that the reader sees what was checked."""
    assert in_text(result()) == "No findings. gb-colour-light in 1978; 41 checks over 2 signals and 3 routes.\n"


def test_the_summary_counts_levels() -> None:
    """Only those that were found."""
    notes = [Finding("n", Level.NOTE, "", at()) for _ in range(2)]
    assert summary(result(*notes, Finding("w", Level.WARNING, "", at()))).startswith("1 warning, 2 notes. gb-")


def test_the_summary_says_what_was_skipped_and_why() -> None:
    """By signal if another finding is the reason, once for a whole plan if something was not given."""
    skips = [Skip(f"check-{number}", ("signals", "HF3"), "unknown-form", "plan.yaml") for number in range(14)]
    skips += [
        Skip("too-close", (), "no lengths given", "plan.yaml"),
        Skip("too-close", (), "no lengths given", "b.yaml"),
        Skip("too-bright", (), "no boards given", "plan.yaml"),
    ]
    skips += [Skip("wrong-route", ("signals", "HF4", "routes", 0), "no-such-signal", "plan.yaml")]
    assert summary(result(skips=tuple(skips))).partition("routes; ")[2] == (
        "14 checks skipped for HF3 (unknown-form), 1 check skipped for HF4.routes.0 (no-such-signal), "
        "2 checks skipped (no boards or lengths given)."
    )


def test_many_reasons_for_skipping_are_counted() -> None:
    """A plan with forty unknown forms does not get forty reasons."""
    skips = tuple(Skip("a-check", ("signals", f"HF{number}"), "unknown-form") for number in range(40))
    assert summary(result(skips=skips)).endswith("1 check skipped for HF3 (unknown-form), and 36 more such groups.")


def test_the_summary_of_several_plans_and_rulebooks() -> None:
    """Each rulebook with the years it was asked about."""
    one = result()
    other: Any = SimpleNamespace(rulebook_name="norway", year_text="", plan=SimpleNamespace(signals={}, values={}))
    third: Any = SimpleNamespace(
        rulebook_name="gb-colour-light", year_text="1965", plan=SimpleNamespace(signals={}, values={})
    )
    layouts: list[Layout] = [*one.layouts, other, third]
    rulebooks: Any = [object()]
    assert summary(result(layouts=layouts, rulebooks=rulebooks)) == (
        "No findings. gb-colour-light in 1978 and 1965 and norway; "
        "41 checks over 2 signals, 3 routes and 1 rulebook in 3 plans."
    )


@pytest.mark.parametrize(("written", "told"), [(4, "1:4"), ("1:3.5", "1:3.5"), ("30 %", "1:3.33")])
def test_the_summary_says_once_what_is_compressed(written: object, told: str) -> None:
    """Distances were compared with what lengths stand for; a plan that says nothing of it is not spoken of."""
    given = result()
    squeezed: Any = given.layouts[0]
    squeezed.plan.values = {"compression": written}
    text = summary(result(layouts=[squeezed, squeezed]))
    assert text.startswith(f"No findings. gb-colour-light in 1978; lengths compressed {told}; 41 checks over")
    assert in_json(result(layouts=[squeezed]))["summary"]["compression"] == [told]


def test_the_summary_when_nothing_could_be_read() -> None:
    """No count of checks that never ran."""
    finding = Finding("bad-yaml", Level.ERROR, "", at())
    assert summary(result(finding, layouts=[], checks=0)) == "1 error. Nothing could be checked."


def test_nothing_from_a_file_acts_on_the_terminal() -> None:
    """Message, tip, source, name of the file: all of it may come from the plan."""
    nasty = "\x1b]0;title\x07\u202eABC\u2028\r"
    spot = Spot(nasty, (), nasty)
    finding = Finding("a-rule", Level.ERROR, nasty, spot, (spot,), (Citation(nasty, Basis.MEMORY),), nasty, nasty)
    shown = in_text(result(finding, skips=(Skip("a", ("signals", nasty), nasty),)))
    assert shown.replace("\n", "").isprintable()
    assert shown.count(r"\x1b]0;title\x07\u202eABC\u2028\r") >= 5
    pieces: list[str] = []
    json_report.report(result(finding), pieces.append, Options())
    assert "".join(pieces).replace("\n", "").isprintable()


def test_colour_is_only_an_addition() -> None:
    """Without its codes the coloured report is the plain one."""
    coloured = in_text(result(WRONG), colour=True)
    assert coloured.startswith("\x1b[1;31merror[unknown-form]\x1b[0m")
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == in_text(result(WRONG))


@pytest.mark.parametrize(
    ("environment", "terminal", "colour"),
    [
        ({}, True, True),
        ({}, False, False),
        ({"TERM": "dumb"}, True, False),
        ({"NO_COLOR": "1"}, True, False),
        ({"NO_COLOR": ""}, True, True),
        ({"FORCE_COLOR": "1"}, False, True),
        ({"FORCE_COLOR": "1", "TERM": "dumb"}, False, True),
        ({"FORCE_COLOR": "1", "NO_COLOR": "1"}, True, False),
    ],
)
def test_who_wants_colour(environment: dict[str, str], terminal: bool, colour: bool) -> None:  # noqa: FBT001  (cases)
    """no-color.org: set and not empty means none. FORCE_COLOR is its opposite, by common practice."""
    assert wanted(environment, terminal=terminal) == colour


def test_a_finding_in_json() -> None:
    """Lines and columns count from 1, the end is the first column after the span."""
    (finding,) = in_json(result(WRONG))["findings"]
    assert finding == {
        "rule": "unknown-form",
        "level": "error",
        "message": "HF2 is of the form x, which gb-colour-light does not have",
        "file": "plan.yaml",
        "path": ["signals", "HF2", "form"],
        "line": 6,
        "column": 15,
        "end_line": 6,
        "end_column": 16,
        "label": "",
        "basis": "memory",
        "source": '"Four aspect signal", Network Rail; from memory',
        "because": "no form of the rulebook has that name",
        "tip": "did you mean three-aspect?",
        "related": [
            {
                "file": "plan.yaml",
                "path": ["rulebook"],
                "line": 2,
                "column": 11,
                "end_line": 2,
                "end_column": 26,
                "label": "as the plan says",
            }
        ],
    }


def test_the_summary_in_json() -> None:
    """The same counts, for programs."""
    skips = (
        Skip("a-check", ("signals", "HF2"), "unknown-form", "plan.yaml"),
        Skip("b-check", (), "no year", "plan.yaml"),
    )
    assert in_json(result(WRONG, skips=skips))["summary"] == {
        "files": ["plan.yaml"],
        "rulebook": ["gb-colour-light"],
        "year": ["1978"],
        "compression": [],
        "signals": 2,
        "routes": 3,
        "checks_run": 41,
        "skipped": [
            {"rule": "a-check", "about": "HF2", "reason": "unknown-form"},
            {"rule": "b-check", "about": "plan.yaml", "reason": "no year"},
        ],
        "errors": 1,
        "warnings": 0,
        "notes": 0,
        "allowed": 0,
        "in_baseline": 0,
        "switched_off": 0,
        "not_shown": [],
    }


def test_what_has_no_place_has_none_in_json() -> None:
    """A finding about a plugin stands in no file; one about a file that is no text stands at its beginning."""
    plugin = Finding("failed-plugin", Level.ERROR, "plugin bad 1: cannot be imported", Spot("", ()))
    binary = Finding("not-text", Level.ERROR, "binary", Spot("b.yaml", (), span=(1, 1, 1, 1)))
    first, second = in_json(result(plugin, binary))["findings"]
    assert (first["file"], first["line"], first["end_column"]) == ("", None, None)
    assert (second["file"], second["line"], second["end_column"]) == ("b.yaml", 1, 1)
    assert first["basis"] is None


def test_a_clean_report_in_json() -> None:
    """Nothing found is an empty list."""
    whole = in_json(result())
    assert whole["format"] == "lampwright-findings/1"
    assert whole["findings"] == []
