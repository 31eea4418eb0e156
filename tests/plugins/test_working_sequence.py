"""The aspect sequence chart: what signals show by what stands ahead, and the stories behind it."""

from __future__ import annotations

import json
from pathlib import Path

from command_line import call
from lampwright_working.chart import charts
from support import result_of

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
