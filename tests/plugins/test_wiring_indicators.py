"""Indicators in the wiring: none is left out, and each counts with all of its lamps."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from command_line import call
from support import findings_of, rules_of

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """
plan: 1
rulebook: gb-colour-light
year: 1990
boards: {A: {kind: pwm-16, address: 0x40, drive: sink, held-dark: true, supply: five}}
supplies: {five: {voltage: 5 V, limit: 500 mA}}
leds:
  red: {kind: red-3mm, resistor: 390 ohm}
  yellow: {kind: yellow-3mm, resistor: 390 ohm}
  green: {kind: traffic-green-3mm, resistor: 270 ohm}
ends:
  main: {kind: off-stage, assume: [danger, clear]}
  branch: {kind: off-stage, assume: [danger, clear]}
signals:
"""
LIT = """
  HF3:
    form: three-aspect
    wiring: common-anode
    lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]
    routes:
      - {to: main, turns: straight}
      - {to: branch, turns: left, indicator: position-1, speed: 25 mph}
"""
LETTERS = LIT.replace("position-1", "{alphanumeric: M}").replace(
    "speed: 25 mph}", "speed: 25 mph}\n      - {to: yard, turns: right, indicator: {alphanumeric: Y}}"
)


def written(tmp_path: Path, text: str) -> Path:
    """Write a plan and return its path."""
    path = tmp_path / "plan.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_an_indicator_that_only_a_route_names_is_in_every_list(tmp_path: Path) -> None:
    """It hangs on the post: wire says it is not wired, and export and the bench card have it, dark and lit."""
    plan = written(tmp_path, HEAD + LIT)
    assert "Not wired yet: position-1 of HF3." in call("wire", plan).out
    assert json.loads(call("wire", plan, "--format", "json").out)["plans"][0]["unwired"] == ["HF3 position-1"]
    assert "clear with junction position-1,,yes,position-1,white,lit" in call("export", plan, "--as", "csv").out
    assert "HF3: no output for position-1" in call("export", plan, "--as", "c-header").err
    assert "clear with junction position-1" in call("prove", plan).out


def test_on_a_wired_signal_it_is_found() -> None:
    """One finding at the route that lights it; none on a signal that is not wired at all."""
    (found,) = findings_of(HEAD + LIT)
    assert found.rule == "unwired-lamp"
    assert found.message == "position-1 of HF3 has no output, and other lamps of it do"
    assert found.spot.path == ("signals", "HF3", "routes", 1, "indicator")
    assert "say under `carries` of HF3 where it is wired" in found.tip
    bare = LIT.replace("[{green: A.0}, {yellow: A.1}, {red: A.2}]", "[green, yellow, red]")
    assert rules_of(HEAD + bare) == []
    assert rules_of(HEAD + LIT.replace("    routes", "    carries: {position-1: A.3}\n    routes")) == []


def test_a_wrong_indicator_is_one_finding() -> None:
    """What the route names wrongly is no lamp that lacks an output."""
    assert rules_of(HEAD + LIT.replace("position-1", "postion-1")) == ["unknown-indicator"]


def test_allocation_writes_what_is_carried(tmp_path: Path) -> None:
    """Positions by name, letters below their indicator; then nothing is found any more."""
    plan = written(tmp_path, HEAD + LIT)
    assert call("wire", plan, "--allocate", "--write").code == 0
    assert "    carries: {position-1: A.3}\n" in plan.read_text(encoding="utf-8")
    assert rules_of(plan.read_text(encoding="utf-8")) == []
    yard = HEAD.replace("ends:\n", "ends:\n  yard: {kind: unsignalled}\n")
    letters = written(tmp_path, yard + LETTERS)
    assert call("wire", letters, "--allocate", "--write").code == 0
    assert "    carries:\n      alphanumeric: {M: A.3, Y: A.4}\n" in letters.read_text(encoding="utf-8")
    assert rules_of(letters.read_text(encoding="utf-8")) == []


ARM = HEAD.partition("ends:")[0] + "signals:\n"
ARM = ARM.replace("leds:\n", "leds:\n  white: {kind: warm-white-3mm, resistor: 1.5 kohm}\n")


@pytest.mark.parametrize(
    ("carries", "found"),
    [
        ("{position-1: A.3}", ["uncounted-lights"]),
        ("{position-1: A.3, position-4: A.4}", ["uncounted-lights"]),
        ("{position-1: {output: A.3, leds: 5 parallel}}", []),
        ("{position-1: {output: A.3, leds: 1}}", []),
        ("[position-1]", []),
        ("{alphanumeric: A.3}", []),
    ],
)
def test_an_arm_of_five_lights_says_its_leds(carries: str, found: list[str]) -> None:
    """The rulebook has five lights in an arm; a box of letters, and what is not wired, do not count."""
    findings = findings_of(ARM + f"  HF3: {{form: three-aspect, carries: {carries}}}\n")
    assert [one.rule for one in findings] == found
    assert all("5 lights" in one.message and "leds: 5 parallel" in one.tip for one in findings)
