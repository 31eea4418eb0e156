"""The aspect sequence chart: what signals show by what stands ahead, and the stories behind it."""

from __future__ import annotations

import json
from pathlib import Path

from command_line import call
from lampwright_working.printing.chart import charts
from support import findings_of, result_of

EXAMPLE = Path(__file__).parents[2] / "rulesets/gb-colour-light/examples/merrowdale-junction.yaml"

LINE = """
plan: 1
name: Sedgeholm
rulebook: gb-colour-light
year: 1986
sections: {AA: {}, AB: {}, AC: {}, AD: {}}
ends: {main: {kind: off-stage, assume: [danger, caution, clear]}, loop: {kind: buffer-stop}}
signals:
  SH1: {form: four-aspect, from: off-stage, routes: [{to: SH3, over: [AA]}]}
  SH3: {form: four-aspect, routes: [{to: SH5, over: [AB]}]}
  SH5:
    form: four-aspect
    routes:
      - {to: main, over: [AC], turns: straight}
      - {to: loop, over: [AD], turns: left, indicator: position-1, release: {flashing: true, occupied: AB}}
"""


def shown(text: str, signal: str) -> dict[str, dict[str, tuple[str, ...]]]:
    """Return what a signal shows: by way, each aspect with what may stand ahead."""
    (layout,) = result_of(text).layouts
    rows = next(chart.rows for chart in charts(layout) if chart.signal.name == signal)
    return {way: {row.shows: row.ahead for row in rows if row.way == way} for way in dict.fromkeys(r.way for r in rows)}


def test_four_aspects_by_what_stands_ahead() -> None:
    """R before Y, Y before YY, YY and G before G: RS521/S7 cards, a Southern enthusiasts' group (secondary)."""
    way = shown(EXAMPLE.read_text(encoding="utf-8"), "MJ5")["route MJ5 to MJ7"]
    assert way == {
        "caution": ("danger",),
        "preliminary-caution": ("caution",),
        "clear": ("preliminary-caution", "clear"),
    }


def test_flashing_yellows_before_a_junction_signal() -> None:
    """Flashing double yellow, flashing yellow, yellow with the indicator: driver's flash-cards (secondary)."""
    assert shown(LINE, "SH3")["route SH3 to SH5"]["flashing-caution"] == ("caution",)
    assert shown(LINE, "SH1")["route SH1 to SH3"]["flashing-preliminary-caution"] == ("flashing-caution",)
    (layout,) = result_of(LINE).layouts
    junction = next(chart for chart in charts(layout) if chart.signal.name == "SH5")
    assert {row.indicator for row in junction.rows if "loop" in row.way} == {("position-1",)}


def test_what_one_aspect_ahead_does_not_tell_its_route_does(tmp_path: Path) -> None:
    """Double yellow and flashing yellow both before a single one: drivers know by the road (secondary, as above)."""
    plan = tmp_path / "sedgeholm.yaml"
    plan.write_text(LINE, encoding="utf-8")
    told = " ".join(call("sequence", str(plan), "--signal", "SH3").out.split())
    assert "preliminary-caution with caution (route to main) ahead" in told
    assert "flashing-caution with caution (route to loop) ahead" in told
    assert "caution with danger ahead" in told


def test_the_chart_and_its_stories_in_the_terminal(tmp_path: Path) -> None:
    """Text for people, JSON for programs, and why a signal comes to show an aspect."""
    plan = tmp_path / "sedgeholm.yaml"
    plan.write_text(LINE, encoding="utf-8")
    text = call("sequence", str(plan), "--signal", "SH1")
    assert text.code == 0
    assert "  route SH1 to SH3\n    caution " in text.out
    assert "SH3" not in [line.split()[0] for line in text.out.splitlines() if line and not line.startswith(" ")]
    record = json.loads(call("sequence", str(plan), "--format", "json").out)
    assert record["format"] == "lampwright-aspect-sequence/1"
    assert [signal["signal"] for signal in record["plans"][0]["signals"]] == ["SH1", "SH3", "SH5"]
    why = call("sequence", str(plan), "--why", "SH1", "caution")
    assert why.out == "caution: route SH1 to SH3 may be set while SH3 stands at danger\n"


def test_what_is_not_there_is_a_wrong_call(tmp_path: Path) -> None:
    """A signal of no plan, an aspect that is never asked."""
    plan = tmp_path / "sedgeholm.yaml"
    plan.write_text(LINE, encoding="utf-8")
    for arguments, told in (
        (("--signal", "SH33"), "there is no signal SH33: did you mean SH3?"),
        (("--why", "SH1", "unlit"), "it is never asked to show unlit"),
    ):
        done = call("sequence", str(plan), *arguments)
        assert done.code == 2
        assert told in done.err


OPEN = """
plan: 1
rulebook: gb-colour-light
year: 1986
ends:
  branch: {kind: off-stage}
  bay: {kind: buffer-stop}
  yard: {kind: unsignalled}
  main: {kind: off-stage, assume: [danger, clear]}
signals:
  SH1: {form: three-aspect, routes: [{to: SH3}]}
  SH3: {form: three-aspect, routes: [{to: branch, turns: left, indicator: position-1}, {to: bay, turns: straight}]}
  SH5: {form: three-aspect, routes: [{to: yard}]}
  SH7: {form: three-aspect, routes: [{to: main}]}
"""
"""Of the branch nothing is said; at the other ends their kind, or `assume`, says what stands there."""


def possible(signal: str) -> dict[tuple[str, str], bool]:
    """Return what a signal of the plan shows on which way, and whether that is only possible."""
    (layout,) = result_of(OPEN).layouts
    rows = next(chart.rows for chart in charts(layout) if chart.signal.name == signal)
    return {(row.way, row.shows): row.possible for row in rows}


def test_what_rests_on_what_is_not_said_is_possible() -> None:
    """Towards the branch anything may stand; what follows at SH1 is as open. What is certain stays so."""
    assert possible("SH3") == {
        ("no route set", "danger"): False,
        ("route SH3 to bay", "caution"): False,
        ("route SH3 to branch", "caution"): True,
        ("route SH3 to branch", "clear"): True,
    }
    assert possible("SH1") == {
        ("no route set", "danger"): False,
        ("route SH1 to SH3", "caution"): False,
        ("route SH1 to SH3", "clear"): False,
    }
    assert possible("SH5") == {("no route set", "danger"): False, ("route SH5 to yard", "caution"): False}
    assert possible("SH7")["route SH7 to main", "clear"] is False


def test_what_is_not_known_is_said_with_what_would_say_it(tmp_path: Path) -> None:
    """In the text before all, in JSON by name; a plan that says all says nothing of it."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(OPEN, encoding="utf-8")
    text = call("sequence", plan).out
    assert "Not known: what is seen at branch (say `assume` for that end)." in text
    assert "    clear    with " in text
    assert "(possible)" in text
    assert json.loads(call("sequence", plan, "--format", "json").out)["plans"][0]["unknown"] == {
        "branch": "say `assume` for that end"
    }
    why = call("sequence", plan, "--why", "SH3", "clear").out
    assert "while branch is taken to show" in why
    plan.write_text(LINE, encoding="utf-8")
    assert "Not known" not in call("sequence", plan).out


def test_idle_aspects_rest_on_the_same_as_the_chart() -> None:
    """What an end says under `assume` is all that is seen there; one that says nothing leaves all open."""
    head = "plan: 1\nrulebook: gb-colour-light\nyear: 1986\nends: {main: {kind: off-stage, assume: clear}}\n"
    text = head + "signals: {S1: {form: three-aspect, routes: [{to: main}]}}\n"
    (finding,) = findings_of(text)
    assert finding.message == "S1 never shows caution, so its yellow is never lit"
    assert finding.tip == (
        "two-aspect-stop is the smallest form that can say all S1 is asked: danger, clear; "
        "or name under `assume` what else may be seen at main"
    )
    assert findings_of(text.replace(", assume: clear", "")) == []
    assert findings_of(text.replace("assume: clear", "assume: [danger, clear]")) == []


EXIT = """
plan: 1
rulebook: de-hv
year: 1985
ends: {east: {kind: off-stage}}
signals:
  P1: {form: hp-exit, routes: [{to: east, turns: straight}]}
  P2: {form: hp-exit, blanked: [yellow], routes: [{to: east, turns: straight}]}
"""


def test_the_tip_for_an_exit_signal_keeps_it_one() -> None:
    """Without shunting routes Sh 1 is not judged, and no block signal is proposed, for that has no Sh 1."""
    (finding,) = findings_of(EXIT)
    assert finding.message == "P1 never shows hp2, so its yellow is never lit"
    assert finding.tip == "`blanked: [yellow]` leaves this place empty"
    with_yard = EXIT.replace("off-stage}}", "off-stage}, yard: {kind: unsignalled}}")
    shunting = with_yard.replace(
        "[{to: east, turns: straight}]}\n  P2", "[{to: east, turns: straight}, {to: yard, class: shunt}]}\n  P2"
    )
    found = [one for one in findings_of(shunting) if one.rule == "idle-aspect"]
    assert [one.message for one in found] == [
        "P1 never shows hp2, so its yellow is never lit",
        "P2 never shows hp0-sh1, so its lower-white and upper-white are never lit",
    ]
    assert found[1].tip == "hp-block is the smallest form that can say all P2 is asked: hp0, hp1"


DISTANTS = """
plan: 1
rulebook: de-ks
year: 2005
lines: {main: {speed: 120 km/h}}
sections: {S: {line: main}, T: {line: main}}
ends: {east: {kind: off-stage, assume: [hp0, ks1]}}
signals:
  av: {form: ks-distant, repeats: A, from: off-stage, carries: [zs3v]}
  A:
    form: ks-combined
    from: off-stage
    carries: [zs3, zs3v]
    routes:
      - {to: B, over: [S], turns: straight}
      - {to: C, over: [S], turns: left, speed: 60 km/h, indicator: {zs3: 6}}
  B: {form: ks-main, routes: [{to: east, over: [T]}]}
  C: {form: ks-main, carries: [zs3], routes: [{to: east, over: [T], speed: 40 km/h, indicator: {zs3: 4}}]}
"""


def test_an_aspect_stands_in_one_row_of_each_way() -> None:
    """Ks 1 is asked with Ks 1 ahead, and allowed with one that announces a speed: both in the row of Ks 1."""
    (layout,) = result_of(DISTANTS).layouts
    for chart in charts(layout):
        rows = [(row.way, row.shows, row.released) for row in chart.rows]
        assert len(rows) == len(set(rows)), chart.signal.name
    (row,) = [row for row in charts(layout)[0].rows if row.shows == "ks1"]
    assert (row.allowed, row.ahead, row.also) == (False, ("ks2", "ks1"), ("ks2", "ks1-announcing"))


def test_a_distant_that_repeats_a_distant() -> None:
    """It would never warn: one finding, with the signal to repeat; no note that its yellow is idle."""
    distants = """
  D1: {form: two-aspect-distant, repeats: D2, from: off-stage}
  D2: {form: two-aspect-distant, repeats: S1}
  S1: {form: three-aspect, from: off-stage, routes: [{to: main}]}
"""
    head = "plan: 1\nrulebook: gb-colour-light\nyear: 1986\nends: {main: {kind: off-stage, assume: [danger, clear]}}\n"
    (finding,) = findings_of(f"{head}signals:{distants}")
    assert finding.rule == "distant-of-distant"
    assert finding.message == (
        "D1 is a two-aspect distant and repeats D2, another distant: it never shows anything but clear"
    )
    assert finding.tip == "repeat S1, the signal that D2 tells of"
    assert findings_of(f"{head}signals:{distants.replace('repeats: D2', 'repeats: S1')}") == []
