"""`lampwright export`: what goes to controllers, as programs and people get it."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from command_line import call
from lampwright import schema
from lampwright.placed import lamp_of
from lampwright.rulebooks.displays import reader
from lampwright.tables import tables
from lampwright_wiring.export.formats import FORMATS, Wanted
from parts import layout_of
from support import bundled

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from lampwright.layout import Layout
    from lampwright.rulebooks.displays import FormReader

PLAN = """
plan: 1
rulebook: gb-colour-light
year: 1978
controllers: {east: {kind: microcontroller-8bit, step: 20 ms}}
boards: {A: {kind: pwm-16, controller: east, address: 0x40, drive: sink}}
leds: {yellow: {kind: yellow-3mm, level: 60 %}}
signals:
  HF1: {form: three-aspect, address: 2, fades: filament, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]}
  HF3: {form: four-aspect, lamps: [{yellow: A.3}, {green: A.4}, {yellow: A.5}, {red: A.6}], carries: {position-1: A.7}}
  HF5: {form: three-aspect}
  HF7: {}
"""


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Return a plan of three signals, one of them with an address, and one that is not known."""
    path = tmp_path / "plan.yaml"
    path.write_text(PLAN, encoding="utf-8")
    return path


def rows(text: str) -> list[dict[str, str]]:
    """Return the rows of CSV."""
    return list(csv.DictReader(io.StringIO(text)))


def test_packets_have_the_plan_s_addresses_and_free_ones_for_the_rest(plan: Path) -> None:
    """HF1 says 2: HF3 gets 1, HF5 the next that is free. Bytes by hand from the layout of S-9.2.1."""
    done = call("export", plan, "--as", "accessory-packets")
    found = rows(done.out)
    assert done.code == 0
    assert {row["signal"]: row["address"] for row in found[:-1]} == {"HF1": "2", "HF3": "1", "HF5": "3"}
    first = found[0]
    assert (first["aspect"], first["command"], first["packet"]) == ("0", "danger", "80 75 00 F5")
    assert found[-1]["packet"] == "BF 07 00 B8"
    assert "write `address` into the plan to keep them" in done.err
    assert "HF7 is left out: its form is not known" in done.err
    assert "extra-low voltage only" in done.err


def test_the_first_address_and_what_a_station_adds_can_be_said(plan: Path) -> None:
    """A station that has 1 for what the packet calls 4 adds 3 (memory)."""
    found = rows(call("export", plan, "--as", "accessory-packets", "--first-address", "40").out)
    assert {row["signal"]: row["address"] for row in found[:-1]} == {"HF1": "2", "HF3": "40", "HF5": "41"}
    shifted = rows(call("export", plan, "--as", "accessory-packets", "--address-offset", "2").out)
    plain = rows(call("export", plan, "--as", "accessory-packets", "--first-address", "3").out)
    assert [row["packet"] for row in shifted if row["signal"] == "HF3"] == [
        row["packet"] for row in plain if row["signal"] == "HF3"
    ]


def test_a_choice_of_signals_changes_no_address(plan: Path) -> None:
    """Else a file for one signal would not fit that for all."""
    found = rows(call("export", plan, "--as", "accessory-packets", "--signal", "HF5").out)
    assert {row["address"] for row in found[:-1]} == {"3"}
    assert call("export", plan, "--as", "accessory-packets", "--signal", "HF9").code == 2


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("HF5: {", "HF5: {address: 2, ", "HF1 and HF5 both have address 2: give one of them another"),
        ("HF5: {", "HF5: {address: 2047, ", "HF5 would have address 2047, and packets have 0 to 2046"),
    ],
)
def test_addresses_that_cannot_be_are_refused(plan: Path, old: str, new: str, said: str) -> None:
    """Two signals would answer to one packet; the last address is every signal's."""
    plan.write_text(PLAN.replace(old, new), encoding="utf-8")
    done = call("export", plan, "--as", "accessory-packets")
    assert (done.code, done.out) == (1, "")
    assert said in done.err


def test_a_command_beyond_the_last_aspect_has_no_packet_and_is_named(plan: Path) -> None:
    """Six positions beside eleven commands are more than 32."""
    every = "{" + ", ".join(f"position-{number}: A.{6 + number}" for number in range(1, 7)) + "}"
    plan.write_text(PLAN.replace("{position-1: A.7}", every), encoding="utf-8")
    done = call("export", plan, "--as", "accessory-packets", "--signal", "HF3")
    lacking = [row["command"] for row in rows(done.out) if not row["packet"]]
    numbers = {one.name: one.number for one in tables(layout_of(plan.read_text("utf-8"))).signals["HF3"].commands}
    assert lacking == [name for name, number in numbers.items() if number > 31]
    assert lacking
    assert f"HF3: a packet has aspects 0 to 31, so there is none for {lacking[0]}" in done.err


def plan_as_json(path: Path) -> dict[str, Any]:
    """Return the one plan of the export as JSON, which is as the schema has it."""
    done = call("export", path, "--as", "json")
    whole = json.loads(done.out)
    assert done.code == 0
    assert not list(Draft202012Validator(schema.load("tables")).iter_errors(whole))
    found: dict[str, Any] = whole["plans"][0]
    return found


def test_json_tells_every_command_in_the_steps_of_its_board(plan: Path) -> None:
    """L* 60 is 1152 of 4095 (e-ILV 17-23-076, verified; the count derived); 100 is the last step."""
    found = plan_as_json(plan)
    signal = found["controllers"][0]["signals"][0]
    assert [one["output"] for one in signal["outputs"]] == ["A.0", "A.1", "A.2"]
    assert {one["number"]: one["levels"] for one in signal["commands"]} == {
        0: [0, 0, 4095],
        1: [0, 1152, 0],
        2: [4095, 0, 0],
        3: [0, 1152, 0],
    }
    assert signal["commands"][3]["flashing"] == [0, 1, 0]
    assert [one["lit"] for one in signal["outputs"]] == ["low"] * 3
    assert found["left-out"] == [{"signal": "HF7", "because": "its form is not known"}]


def test_rounding_is_told(plan: Path) -> None:
    """Y(60) = 0.28123334 (electrics: CIE 1976, exact constants), so 1151.65 of 4095 steps."""
    (yellow, full) = plan_as_json(plan)["steps"]
    assert (yellow["light"], yellow["level"], yellow["of"]) == (0.28123334, 1152, 4095)
    assert yellow["off"] == pytest.approx(1152 - 4095 * 0.28123334, abs=1e-4)
    assert (full["level"], full["off"]) == (4095, 0)


def test_flashing_is_in_whole_milliseconds(plan: Path) -> None:
    """60 to 80 a minute, lit for over half of the time (the rulebook): 70, three quarters."""
    (way,) = plan_as_json(plan)["controllers"][0]["flashing"]
    assert (way["turn-ms"], way["lit-ms"], way["starts-ms"], way["assumed"]) == (857, 643, 0, [])


def test_a_filament_comes_after_a_while_and_goes_with_a_tail(plan: Path) -> None:
    """Units with bulbs rise in 90 to 200 ms (LRC 2000, verified), nothing for about 50 ms (secondary)."""
    controller = plan_as_json(plan)["controllers"][0]
    at_once, filament = controller["fades"]
    assert (at_once["rise"], at_once["fall"]) == ([at_once["whole"]], [at_once["whole"]])
    rise = [one / filament["whole"] for one in filament["rise"]]
    fall = [one / filament["whole"] for one in filament["fall"]]
    assert rise == sorted(rise)
    assert fall == sorted(fall)
    assert rise[1] < 0.05  # after 40 ms next to nothing
    assert fall[0] > 0.5  # after 20 ms of falling most is gone
    nine_tenths = controller["step-ms"] * next(at for at, one in enumerate(rise, 1) if one >= 0.9)
    assert 90 <= nine_tenths <= 200


def test_a_bus_that_cannot_keep_up_is_told(plan: Path) -> None:
    """594 clocks at 100 kHz are 5.94 ms (data sheet of the class, derived)."""
    assert "its bus takes" not in call("export", plan, "--as", "json").err
    plan.write_text(PLAN.replace("step: 20 ms", "step: 5 ms"), encoding="utf-8")
    assert "fades of east step every 5 ms, and its bus takes 5.94 ms" in call("export", plan, "--as", "json").err


def test_a_plan_without_wires_still_tells_its_lamps(tmp_path: Path) -> None:
    """Who has software of their own wants the commands before there is a board."""
    path = tmp_path / "plan.yaml"
    path.write_text("plan: 1\nrulebook: gb-colour-light\nsignals: {A: {form: searchlight}}\n", encoding="utf-8")
    found = plan_as_json(path)
    assert found["controllers"] == []
    lit = [
        (command["name"], lamp["colour"])
        for command in found["signals"][0]["commands"]
        for lamp in command["lamps"]
        if lamp["lightness"]
    ]
    assert lit == [("danger", "red"), ("caution", "yellow"), ("clear", "green")]
    lines = [row for row in rows(call("export", path, "--as", "csv").out) if row["state"] == "lit"]
    assert [(row["command"], row["colour"], row["output"]) for row in lines] == [(*one, "") for one in lit]


def test_csv_has_what_json_has(plan: Path) -> None:
    """A line for every lamp under every command."""
    found = plan_as_json(plan)
    lines = rows(call("export", plan, "--as", "csv").out)
    levels = {(row["signal"], int(row["number"]), row["output"]): row["level"] for row in lines if row["output"]}
    for signal in found["controllers"][0]["signals"]:
        for command in signal["commands"]:
            for output, level in zip(signal["outputs"], command["levels"], strict=True):
                assert levels[signal["signal"], command["number"], output["output"]] == str(level)
    assert {row["fingerprint"] for row in lines if row["signal"] == "HF1"} == {found["signals"][0]["fingerprint"]}


def test_a_plan_that_no_controller_can_play_is_refused_with_the_reason(plan: Path) -> None:
    """An output of two signals would be lit for one and dark for the other."""
    twice = PLAN.replace("HF5: {form: three-aspect}", "HF5: {form: three-aspect, lamps: [green: A.0, yellow, red]}")
    plan.write_text(twice, encoding="utf-8")
    done = call("export", plan, "--as", "json")
    assert (done.code, done.out) == (1, "")
    assert "A.0 is used by HF1 and by HF5" in done.err


FORMS = sorted(bundled("gb-colour-light").forms)
BOARDS = "{A: {kind: pwm-16}, B: {kind: pwm-16}, C: {kind: pwm-16}, D: {kind: pwm-16}}"


def layout_wired(form: str, outputs: dict[tuple[str, str], str]) -> Layout:
    """Return a plan of one signal, its lamps by name and colour on outputs."""
    lamps: dict[str, Any] = {}
    for (name, colour), output in outputs.items():
        lamps.setdefault(name, {})[colour] = output
    said = json.dumps({name: of if len(of) > 1 else next(iter(of.values())) for name, of in lamps.items()})
    return layout_of(
        f"plan: 1\nrulebook: gb-colour-light\nboards: {BOARDS}\nsignals: {{X: {{form: {form}, lamps: {said}}}}}"
    )


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(FORMS), st.permutations([f"{board}.{number}" for board in "ABCD" for number in range(16)]))
def test_what_is_exported_lights_the_lamps_of_the_display_and_no_other(form: str, chance: list[str]) -> None:
    """Oracle: the displays of the form, and the wiring looked up by hand; a shared lamp is wired once."""
    reads = reader(bundled("gb-colour-light"), form)
    names = [name for name in reads.lamps if not any(name in group[1:] for group in reads.form.shared)]
    lamps = [(name, colour) for name in names for colour in lamp_of(reads, name).colours]
    outputs = dict(zip(lamps, chance, strict=False))
    text = FORMATS["json"]([layout_wired(form, outputs)], Wanted()).text
    plan = json.loads(text)["plans"][0]
    (played,) = plan["controllers"][0]["signals"]
    aspects = {command["number"]: command["aspects"] for command in plan["signals"][0]["commands"]}
    for command in played["commands"]:
        lit = {one["output"] for one, level in zip(played["outputs"], command["levels"], strict=True) if level}
        assert lit in wanted(reads, aspects[command["number"]], outputs)


def wanted(reads: FormReader, aspects: dict[str, str], outputs: dict[tuple[str, str], str]) -> list[set[str]]:
    """Return the outputs that may be lit for aspects of parts: one set for each way of showing them."""
    ways: list[set[str]] = [set()]
    for part, aspect in aspects.items():
        shown = reads.displays(aspect if part == "signal" else f"{part}.{aspect}") or ({},)
        ways = [way | outputs_of(reads, display, outputs) for way in ways for display in shown]
    return ways


def outputs_of(reads: FormReader, display: Mapping[str, str], outputs: dict[tuple[str, str], str]) -> set[str]:
    """Return the outputs of the lamps that a display lights."""
    found = set()
    for name, state in display.items():
        if name in reads.lamps and state != "dark":
            colours = lamp_of(reads, name).colours
            colour = state.split()[-1] if len(colours) > 1 else colours[0]
            one = next((group[0] for group in reads.form.shared if name in group), name)
            found.add(outputs[one, colour])
    return found


ASKED = """
plan: 1
rulebook: gb-colour-light
year: 1978
controllers: {east: {kind: microcontroller-8bit, step: 20 ms}}
boards: {A: {kind: pwm-16, controller: east, address: 0x40, drive: sink}}
ends: {branch: {kind: off-stage}, bay: {kind: buffer-stop}}
signals:
  HF1:
    form: three-aspect
    lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]
    carries: {position-1: A.3}
    routes: [{to: bay}, {to: branch, turns: left, indicator: position-1}]
  HF5: {form: three-aspect, lamps: [{green: A.4}, {yellow: A.5}, {red: A.6}]}
"""
"""Before the bay nothing but caution; towards the branch, of which nothing is known, all but the flashing one."""


def test_what_no_route_asks_for_is_told(tmp_path: Path) -> None:
    """In CSV, JSON, header and packets; of HF5, from which no route leads, nothing is known."""
    path = tmp_path / "plan.yaml"
    path.write_text(ASKED, encoding="utf-8")
    asked = {
        "danger": True,
        "caution": True,
        "clear": False,
        "flashing-caution": False,
        "caution with junction position-1": True,
        "clear with junction position-1": True,
        "flashing-caution with junction position-1": False,
    }
    signals = json.loads(call("export", path, "--as", "json").out)["plans"][0]["signals"]
    assert {one["name"]: one["asked"] for one in signals[0]["commands"]} == asked
    assert {one["asked"] for one in signals[1]["commands"]} == {None}
    words = {name: "yes" if ever else "no" for name, ever in asked.items()}
    for form in ("csv", "accessory-packets"):
        lines = rows(call("export", path, "--as", form).out)
        assert {line["command"]: line["asked for"] for line in lines if line["signal"] == "HF1"} == words
        assert {line["asked for"] for line in lines if line["signal"] == "HF5"} == {""}
    header = call("export", path, "--as", "c-header").out
    assert "#define LW_SHOW_HF1_CLEAR 2u /* green; no route asks for it */" in header
    assert "#define LW_SHOW_HF1_CAUTION 1u /* yellow */" in header
    assert "#define LW_SHOW_HF5_CLEAR 2u /* green */" in header
