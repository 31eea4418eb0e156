"""``lampwright table``: what each line says, in text, for a spreadsheet and for programs."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from command_line import call

EXAMPLES = Path(__file__).parents[2] / "rulesets/gb-colour-light/examples"
CORVEL = EXAMPLES / "corvel-bridge.yaml"
MERROW = EXAMPLES / "merrowdale-junction.yaml"


def record(plan: Path, route: str, *, kind: str = "main") -> dict[str, Any]:
    """Return one route of the table as JSON has it."""
    done = call("table", plan, "--format", "json")
    assert (done.code, done.err) == (0, "")
    told = json.loads(done.out)
    assert told["format"] == "lampwright-control-table/1"
    (found,) = [one for one in told["plans"][0]["routes"] if (one["route"], one["class"]) == (route, kind)]
    assert isinstance(found, dict)
    return found


def test_a_route_with_all_that_a_control_table_holds() -> None:
    """Points, sections, overlap, flank, exclusions with reasons, release, indicator (columns: IRSE News, fig. 2)."""
    found = record(CORVEL, "CB3 to CB7")
    assert (found["signal"], found["exit"], found["turns"], found["speed"]) == ("CB3", "CB7", "left", "25 mph")
    assert found["points"] == {"101": "reverse"}
    assert found["clear"] == ["DC", "JX", "BA"]
    assert found["overlaps"] == [{"clear": ["BB"], "points": {}}]
    assert found["flank"] == {"points": {"102": "reverse"}, "at_stop": []}
    assert found["indicator"] == ["position-1"]
    assert found["release"] == "from red, DB occupied"
    reasons = {
        one["route"]: [" ".join((why["kind"], *why["on"])) for why in one["reasons"]] for one in found["excludes"]
    }
    assert reasons == {
        "CB3 to CB5": ["signal CB3", "points 101", "section DC", "declared"],
        "CB2 to CB4": ["overlap JX", "declared"],
        "CB4 to CB8": ["crossing JX", "flank 102", "flank 101", "declared"],
    }


def shown(found: dict[str, Any]) -> set[tuple[str, str, bool]]:
    """Return what is shown, by what stands ahead, and whether only with a train near."""
    return {(one["aspect"], ahead, one["released"]) for one in found["shows"] for ahead in one["ahead"]}


def test_the_aspect_here_by_the_aspect_ahead() -> None:
    """The maps of a four-aspect and of a three-aspect signal (rule book cards on RS521; both secondary)."""
    assert shown(record(MERROW, "MJ7 to MJ9")) == {
        ("caution", "danger", False),
        ("preliminary-caution", "caution", False),
        ("clear", "preliminary-caution", False),
        ("clear", "clear", False),
    }
    assert shown(record(CORVEL, "CB4 to CB8")) == {
        ("caution", "danger", False),
        ("clear", "caution", False),
        ("clear", "clear", False),
    }


def test_a_released_route_is_at_danger_until_a_train_is_near() -> None:
    """Approach release from red: held at danger whatever stands ahead, then the best aspect."""
    found = shown(record(CORVEL, "CB3 to CB7"))
    assert {("danger", ahead, False) for ahead in ("danger", "caution", "clear")} <= found
    assert ("caution", "danger", True) in found
    assert ("clear", "clear", True) in found
    assert not any(aspect != "danger" for aspect, _, released in found if not released)


def test_a_shunt_leaves_the_main_aspect_at_danger() -> None:
    """The position light stands with it."""
    found = record(MERROW, "MJ7 to yard", kind="shunt")
    assert {one["aspect"] for one in found["shows"]} == {"danger + shunt-proceed"}


def test_text_has_a_block_for_each_route() -> None:
    """Only what is said; nothing wider than a terminal; the caution at the end."""
    done = call("table", CORVEL, "--signal", "CB4", "--signal", "CB21")
    assert done.code == 0
    lines = done.out.splitlines()
    assert lines[0] == "Corvel Bridge"
    assert [line for line in lines if line.startswith(("route", "shunt route"))] == [
        "shunt route CB21 to CB4",
        "route CB4 to CB8",
    ]
    assert "  overlap   UE" in lines
    assert "  flank     101 normal" in lines
    assert "            CB6 to CB8: points 102, section UC UD, flank CB4, declared" in lines
    assert max(map(len, lines)) <= 100
    assert lines[-1] == "For model railways only: nothing here is fit for a real one."


def test_csv_has_a_row_for_each_route() -> None:
    """With a head, the same columns in every row, and several things in one cell set apart."""
    done = call("table", CORVEL, MERROW, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(done.out)))
    assert len(rows) == 11 + 31
    row = next(row for row in rows if row["route"] == "CB3 to CB5")
    assert (row["points normal"], row["points reverse"], row["sections clear"]) == ("101 103", "", "DC DD DF")
    assert row["excludes"].startswith("CB3 to CB7 (signal CB3, points 101, section DC, declared); shunt CB21 to CB4 (")
    assert row["shows"] == "caution with CB5 at danger; clear with CB5 at caution or clear"


def test_no_cell_is_a_formula(tmp_path: Path) -> None:
    """A name out of a file stays a name in a spreadsheet."""
    plan = tmp_path / "plan.yaml"
    plan.write_text('plan: 1\nsignals: {"=1+1": {routes: [{to: "@x", over: "-2"}]}, "@x": {}}\n', encoding="utf-8")
    row = next(csv.DictReader(io.StringIO(call("table", plan, "--format", "csv").out)))
    assert (row["signal"], row["exit"], row["sections clear"]) == ("'=1+1", "'@x", "'-2")


def test_what_a_route_leaves_out_is_taken_from_the_track(tmp_path: Path) -> None:
    """Without a rulebook nothing is shown; the rest stands."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(
        """\
plan: 1
ends: {out: {kind: off-stage}, bay: {kind: buffer-stop}}
track:
  AA: {next: [out, 11], signals: {P2: out}}
  11: {toe: AA, normal: AB, reverse: AC}
  AB: {next: [11, bay], signals: {P1: 11}}
  AC: {next: 11}
signals:
  P1: {routes: [{to: P2}]}
  P2: {routes: [{to: out}]}
""",
        encoding="utf-8",
    )
    done = call("table", plan)
    assert "route P1 to P2\n  points  11 normal\n  clear   AA\n\nroute P2 to out\n\n" in done.out


@pytest.mark.parametrize(
    ("text", "arguments", "code", "words"),
    [
        ("plan: 1\nsignals: {P1: {}}\n", [], 0, "no routes to tell of"),
        ("plan: 1\nsignals: {P1: {}}\n", ["--signal", "P2"], 2, "there is no signal P2: the signals are P1"),
        ("plan: 1\nsignals: {P1: {rotes: []}}\n", [], 1, "malformed"),
        ("rulebook: 1\n", [], 1, ""),
    ],
)
def test_what_cannot_be_told(tmp_path: Path, text: str, arguments: list[str], code: int, words: str) -> None:
    """No routes, no such signal, no plan that can be used."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(text, encoding="utf-8")
    done = call("table", plan, *arguments)
    assert done.code == code
    assert words in done.out + done.err


def test_what_is_not_known_ahead_is_said(tmp_path: Path) -> None:
    """Nothing is shown towards an end of which nothing is said; before a signal without routes, only danger is sure."""
    text = """
plan: 1
rulebook: gb-colour-light
year: 1986
ends: {branch: {kind: off-stage}, bay: {kind: buffer-stop}}
signals:
  S1: {form: three-aspect, routes: [{to: S3}, {to: branch}, {to: bay}]}
  S3: {form: three-aspect}
"""
    plan = tmp_path / "plan.yaml"
    plan.write_text(text, encoding="utf-8")
    printed = " ".join(call("table", plan).out.split())
    assert (
        "shows caution with S3 at danger more is not known: nothing says what is seen at S3 (no route leads" in printed
    )
    assert "shows it is not known: nothing says what is seen at branch (say `assume` for that end)" in printed
    assert printed.count("not known") == 2
    routes = json.loads(call("table", plan, "--format", "json").out)["plans"][0]["routes"]
    assert [list(route["unknown"]) for route in routes] == [["S3"], ["branch"], []]
