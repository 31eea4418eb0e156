"""``lampwright wire``: loads with their states, the schedule, labels, parts; as text, CSV and JSON."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING, Any

import pytest

from command_line import call
from lampwright.rulebooks.codec import as_text
from lampwright_wiring.lists.schedule import spans
from parts import SOUND, layout_of

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """
plan: 1
rulebook: gb-colour-light
year: 1990
controllers: {east: {supply: five, uses: 50 mA}}
boards: {A: {kind: pwm-16, controller: east, address: 0x40, drive: sink, held-dark: true}}
supplies: {five: {voltage: 5 V, limit: 500 mA}}
leds:
  red: {kind: red-3mm, resistor: 300 ohm}
  yellow: {kind: yellow-3mm, resistor: 290 ohm}
  green: {kind: traffic-green-3mm, resistor: 180 ohm}
  white: {kind: warm-white-3mm, resistor: 900 ohm}
"""
"""At 5 V every lamp takes 10 mA typically, and the white ones 2 mA; board and controller take 60."""
FOUR = "form: four-aspect, lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]"
CAUTION = "extra-low voltage only: a listed supply, a fuse in every branch, local codes followed, mains work"


def told(tmp_path: Path, text: str, *arguments: str) -> dict[str, Any]:
    """Return what the command tells of a plan, as JSON."""
    (tmp_path / "plan.yaml").write_text(text, encoding="utf-8")
    done = call("wire", tmp_path / "plan.yaml", "--format", "json", *arguments)
    assert done.code == 0, done.err
    whole = json.loads(done.out)
    assert whole["format"] == "lampwright-wiring/1"
    assert CAUTION in whole["caution"]
    (plan,) = whole["plans"]
    assert isinstance(plan, dict)
    return plan


def row(rows: list[dict[str, Any]], **wanted: str) -> dict[str, Any]:
    """Return the only row with some values."""
    (found,) = (one for one in rows if all(one.get(key) == value for key, value in wanted.items()))
    return found


# ------------------------------------------------------------------------------------------ loads
def test_loads_on_every_occasion(tmp_path: Path) -> None:
    """Two yellows of 10 mA beside 60 mA of board and controller; four lamps in a test; nothing lit at power-up."""
    plan = told(tmp_path, HEAD + f"signals: {{HF1: {{{FOUR}}}}}")
    five = row(plan["loads"], name="supply five")
    figures = {key: five[f"{key}-mA"] for key in ("limit", "own", "typical", "power-up", "mean")}
    assert figures == {"limit": 500, "own": 60, "typical": 80, "power-up": 60, "mean": 80}
    assert five["figures"] == "exact"
    board = row(plan["loads"], name="board A")
    assert board["limit-mA"] == 400
    assert board["test-mA"] == board["all-on-mA"] > board["most-mA"] >= 20
    assert board["left-mA"] == pytest.approx(400 - board["test-mA"], abs=0.002)


def test_the_state_that_asks_most_is_told_signal_by_signal(tmp_path: Path) -> None:
    """Preliminary caution lights two yellows; in a test of HF1 all of it is lit, and what the other shows counts."""
    other = "HF3: {form: two-aspect-stop, lamps: [{green: A.4}, {red: A.5}]}"
    plan = told(tmp_path, HEAD + f"signals: {{HF1: {{{FOUR}}}, {other}}}")
    standing = row(plan["states"], name="board A", when="standing")
    assert "HF1: preliminary-caution" in standing["state"]
    assert "HF3: " in standing["state"]
    assert row(plan["states"], name="board A", when="lamp test of HF1")["most-mA"] > standing["most-mA"]


def test_what_is_lit_at_power_up_is_told(tmp_path: Path) -> None:
    """A board that is not held off drives all outputs low, which lights lamps that hang on the supply."""
    text = HEAD.replace(", held-dark: true", "") + f"signals: {{HF1: {{{FOUR}}}}}"
    start = row(told(tmp_path, text)["states"], name="board A", when="power-up")
    assert "4 lamps of board A may be lit" in start["state"]


def test_each_output_has_its_limit_and_what_is_left(tmp_path: Path) -> None:
    """A sink of a 16-output board may take 25 mA (its data sheet); a lamp of 10 leaves 15."""
    plan = told(tmp_path, HEAD.replace("5 V,", "5 V, tolerance: 0 %,") + f"signals: {{HF1: {{{FOUR}}}}}")
    red = row(plan["outputs"], output="A.3")
    assert (red["lamps"], red["typical-mA"], red["limit-mA"]) == ("HF1 red", 10, 25)
    assert red["left-mA"] == pytest.approx(25 - red["most-mA"], abs=0.002)


def test_what_is_not_known_is_said_and_not_counted(tmp_path: Path) -> None:
    """An LED of an unknown kind takes what nobody knows."""
    text = HEAD.replace("red: {kind: red-3mm, resistor: 300 ohm}", "red: {kind: red-3mm}")
    plan = told(tmp_path, text + f"signals: {{HF1: {{{FOUR}}}}}")
    assert plan["uncounted"] == ["HF1 red"]
    assert "typical-mA" not in row(plan["outputs"], output="A.3")


# ------------------------------------------------------------------------------------------ schedule
def test_the_schedule_tells_every_wire_with_all_the_plan_says(tmp_path: Path) -> None:
    """Wire, connector and core come from the lamp; the resistor and which lead looks to the output are worked out."""
    detail = "{output: A.3, wire: red, connector: J1-4, core: 7}"
    text = HEAD + f"signals: {{HF1: {{wiring: common-anode, {FOUR.replace('{red: A.3}', f'{{red: {detail}}}')}}}}}"
    assert row(told(tmp_path, text)["schedule"], output="A.3") == {
        "board": "A",
        "output": "A.3",
        "signal": "HF1",
        "lamp": "red",
        "led": "red-3mm",
        "wire": "red",
        "connector": "J1-4",
        "core": "7",
        "resistor": "300 ohm",
        "lead": "cathode",
        "polarity": "common-anode",
    }


def test_wires_come_as_boards_and_outputs_do(tmp_path: Path) -> None:
    """However the plan tells them: A.2 before A.10."""
    lamps = "lamps: [{yellow: A.10}, {green: A.2}, {yellow: A.1}, {red: A.0}]"
    plan = told(tmp_path, HEAD + f"signals: {{HF1: {{form: four-aspect, {lamps}}}}}")
    assert [wire["output"] for wire in plan["schedule"]] == ["A.0", "A.1", "A.2", "A.10"]


def test_an_antiparallel_led_has_two_wires_and_one_resistor(tmp_path: Path) -> None:
    """Its other end goes to an output too, and to no common."""
    text = HEAD.replace("pwm-16", "pins-8bit").replace(", address: 0x40, drive: sink", "")
    text = text.replace("kind: red-3mm", "kind: red-green-3mm-antiparallel")
    plan = told(tmp_path, text + "signals: {HF1: {form: three-aspect, lamps: {red: {outputs: [A.2, A.3]}}}}")
    assert [(wire["output"], wire["resistor"], wire["lead"]) for wire in plan["schedule"]] == [
        ("A.2", "300 ohm", "anode"),
        ("A.3", "", "cathode"),
    ]
    assert [label["wire"] for label in plan["labels"]] == ["W1", "W2"]


def test_every_wire_has_a_label_at_each_end_and_every_head_its_common(tmp_path: Path) -> None:
    """No two labels are alike; an arm on a supply of its own has a common of its own."""
    plan = told(tmp_path, SOUND)
    labels = plan["labels"]
    assert row(labels, wire="W1") == {
        "wire": "W1",
        "board-end": "A.0 OS1 upper-yellow",
        "signal-end": "OS1 upper-yellow A.0",
    }
    ends = [label[end] for label in labels for end in ("board-end", "signal-end")]
    assert len(set(ends)) == len(ends)
    commons = [label["signal-end"] for label in labels if label["wire"].startswith("C")]
    assert commons == [
        "OS1 common + usb",
        "OS7 common + usb",
        "OS3 common 0 V usb",
        "OS1 common + twelve",
        "OS5 common + usb",
    ]


def test_boards_tell_what_is_free_and_kept(tmp_path: Path) -> None:
    """Of sixteen outputs two drive servos and three light lamps."""
    boards = told(tmp_path, SOUND)["boards"]
    assert row(boards, board="B")["free"] == "3 to 13"
    assert row(boards, board="B")["servos"] == "14, 15"
    assert row(boards, board="A") | {"reserved": "15", "used": "5 of 16", "address": "0x40"} == row(boards, board="A")


def test_spans_of_outputs_that_have_letters() -> None:
    """Runs go by the order of the board."""
    names = ("2", "3", "4", "A0", "A1", "A2")
    assert spans(names, {"2", "3", "4", "A0"}) == "2 to A0"
    assert spans(names, {"2", "4", "A1", "A2"}) == "2, 4, A1, A2"
    assert spans(names, ()) == ""


def test_a_lamp_without_output_is_named(tmp_path: Path) -> None:
    """It is in no schedule; a dummy is not missed."""
    lamps = "lamps: [{green: A.0}, yellow, {red: dummy}]"
    plan = told(tmp_path, HEAD + f"signals: {{HF1: {{form: three-aspect, {lamps}}}}}")
    assert plan["unwired"] == ["HF1 yellow"]


# ------------------------------------------------------------------------------------------ parts
def test_the_parts_list_counts_built_ones_and_stock(tmp_path: Path) -> None:
    """Five LEDs of an arm have five resistors; what is built is not to be had again, nor what is at hand."""
    stock = "stock: {resistors: {300 ohm: 1, 900 ohm: 2}, leds: {red-3mm: 5}}\n"
    arm = "carries: {position-1: {output: A.4, leds: 5 parallel}}"
    three = "form: three-aspect, lamps: [{green: A.5}, {yellow: A.6}, {red: A.7}]"
    signals = f"signals: {{HF1: {{stage: built, {FOUR}}}, HF3: {{{three}, {arm}}}, HF5: {{form: two-aspect-stop}}}}"
    parts = told(tmp_path, HEAD + stock + signals)["parts"]
    white = row(parts, part="LED", kind="warm-white-3mm")
    assert (white["number"], white["get"]) == (5, 5)
    arms = row(parts, part="resistor", kind="900 ohm")
    assert (arms["number"], arms["stock"], arms["get"]) == (5, 2, 3)
    red = row(parts, part="LED", kind="red-3mm")
    assert (red["number"], red["built"], red["stock"], red["get"]) == (3, 1, 5, 0)
    assert row(parts, part="LED", kind="all together")["number"] == 4 + 3 + 5 + 2
    assert row(parts, part="resistor", kind="300 ohm")["number"] == 3


def test_an_led_of_two_colours_is_one_part(tmp_path: Path) -> None:
    """Both of its colours have a resistor; a mixed colour adds nothing."""
    bicolour = HEAD.replace("red-3mm", "red-green-3mm-common-anode").replace(
        "traffic-green-3mm", "red-green-3mm-common-anode"
    )
    lens = "lamps: {lens: {red: A.0, green: A.1, yellow: {mix: {red: 60 %, green: 100 %}}}}"
    parts = told(tmp_path, f"{bicolour}signals: {{HF1: {{form: searchlight, year: 1955, {lens}}}}}")["parts"]
    assert row(parts, part="LED")["number"] == 1
    assert [one["number"] for one in parts if one["part"] == "resistor" and one["kind"] != "all together"] == [1, 1]


def test_an_led_through_fibres_is_one_part(tmp_path: Path) -> None:
    """Two lamps of a position light, one LED."""
    lamps = "lamps: {upper: A.0, lower: {fibre: upper}}"
    parts = told(tmp_path, HEAD + f"signals: {{HF1: {{form: position-light, {lamps}}}}}")["parts"]
    assert row(parts, part="LED")["number"] == 1


def test_drivers_are_counted_by_their_channels(tmp_path: Path) -> None:
    """Four lamps behind transistors take four of them, behind a driver of eight channels one."""
    for switch, number in (("npn-transistor", 4), ("sink-driver-8", 1)):
        text = HEAD.replace("drive: sink", f"switch: {switch}") + f"signals: {{HF1: {{{FOUR}}}}}"
        assert row(told(tmp_path, text)["parts"], part="switch", kind=switch)["number"] == number


def test_heat_of_a_resistor_is_that_of_the_worst_lamp(tmp_path: Path) -> None:
    """I x I x R with the LED of least voltage: 5 V less the red LED's least, over 300 ohm."""
    text = HEAD + f"signals: {{HF1: {{{FOUR}}}}}"
    heat = row(told(tmp_path, text)["parts"], part="resistor", kind="300 ohm")["heat-mW"]
    most = row(told(tmp_path, text)["outputs"], output="A.3")["most-mA"]
    assert heat == pytest.approx(most**2 * 300 / 1000, rel=1e-3)


# ------------------------------------------------------------------------------------------ forms
def test_text_is_plain_tables_with_the_caution(tmp_path: Path) -> None:
    """No line is wider than a page, columns that say nothing are left out, and the caution ends it."""
    (tmp_path / "plan.yaml").write_text(SOUND, encoding="utf-8")
    done = call("wire", tmp_path / "plan.yaml")
    assert done.code == 0
    lines = done.out.splitlines()
    assert max(map(len, lines)) <= 100
    assert "  output  signal  lamp          LED" in done.out
    assert "connector" not in done.out
    assert " ".join(lines[-2:]).lower().startswith(CAUTION)


def test_text_names_what_is_lacking(tmp_path: Path) -> None:
    """Lamps without outputs come after the tables."""
    (tmp_path / "plan.yaml").write_text("plan: 1\nrulebook: gb-colour-light\nsignals: {HF1: {form: two-aspect-stop}}\n")
    assert "Not wired yet: green and red of HF1." in call("wire", tmp_path / "plan.yaml").out


def test_csv_has_one_table_and_no_formula(tmp_path: Path) -> None:
    """The schedule, unless another is named; what a spreadsheet would work out is made a text."""
    text = HEAD + f"signals: {{HF1: {{{FOUR}}}}}".replace("{red: A.3}", '{red: {output: A.3, wire: "=1+1"}}')
    (tmp_path / "plan.yaml").write_text(text, encoding="utf-8")
    done = call("wire", tmp_path / "plan.yaml", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(done.out)))
    assert [one["output"] for one in rows] == ["A.0", "A.1", "A.2", "A.3"]
    assert rows[3]["wire"] == "'=1+1"
    assert CAUTION in done.err
    loads = call("wire", tmp_path / "plan.yaml", "--format", "csv", "--table", "loads").out
    assert next(csv.reader(io.StringIO(loads)))[:3] == ["plan", "where", "limit mA"]
    both = call("wire", tmp_path / "plan.yaml", "--format", "csv", "--table", "loads", "--table", "parts")
    assert both.code == 2
    assert "one table" in both.err


def test_one_table_may_be_asked_for(tmp_path: Path) -> None:
    """The others are not told."""
    plan = told(tmp_path, SOUND, "--table", "parts")
    assert {"loads", "schedule"}.isdisjoint(plan)
    assert plan["parts"]


def test_a_plan_without_electrics_has_only_parts_to_choose(tmp_path: Path) -> None:
    """Nothing falls over where a plan says nothing."""
    plan = told(tmp_path, "plan: 1\nrulebook: gb-colour-light\nsignals: {HF1: {form: two-aspect-stop}}\n")
    assert plan["loads"] == plan["schedule"] == []
    assert next((one["part"], one["kind"]) for one in plan["parts"]) == ("LED", "green, not chosen yet")


def test_the_schedule_agrees_with_the_plan() -> None:
    """Each output that the plan's lamps name is in it, and no other."""
    from lampwright_wiring.lists import schedule
    from lampwright_wiring.model import bind

    layout = layout_of(SOUND)
    table = next(iter(schedule.tables(bind(layout))))
    names = {one["output"] for one in table.rows}
    assert names == set(_outputs(layout.plan.values["signals"]))


def _outputs(value: Any) -> list[str]:
    """Return everything in values that is written as an output: a board of the plan and a number."""
    if isinstance(value, dict):
        return [one for held in value.values() for one in _outputs(held)]
    if isinstance(value, list):
        return [one for held in value for one in _outputs(held)]
    text = as_text(value)
    return [text] if text[:2] in ("A.", "B.", "C.", "D.") else []


# ------------------------------------------------------------------------------------- what is not known, and width
def test_common_wires_that_are_not_known_are_said(tmp_path: Path) -> None:
    """Neither signal nor board says how heads are wired, or the board names no supply: each with what would say it."""
    open_ended = HEAD.replace(", drive: sink", "")
    signals = f"signals: {{HF1: {{{FOUR}}}, HF3: {{wiring: common-anode, form: two-aspect-stop, lamps: {{red: A.4}}}}}}"
    plan = told(tmp_path, open_ended + signals)
    assert plan["without-common"] == ["HF1"]
    assert [label["signal-end"] for label in plan["labels"] if label["wire"].startswith("C")] == ["HF3 common + five"]
    text = " ".join(call("wire", tmp_path / "plan.yaml").out.split())
    assert "No common wire is listed for HF1: say `wiring: common-anode` or `common-cathode` of the signal, or" in text
    told(tmp_path, HEAD.replace("supply: five, ", "") + signals)
    assert (
        "No common wire is listed for HF1 and HF3: say `supply` of board A." in call("wire", tmp_path / "plan.yaml").out
    )
    assert told(tmp_path, HEAD + signals)["without-common"] == []


def test_no_schedule_is_wider_than_the_page(tmp_path: Path) -> None:
    """What all rows say is said once; texts are folded between words, and long names after a hyphen."""
    board, signal = "signal-bridge-at-the-north-end", "the-home-signal-of-the-branch-from-merrowdale"
    wire = "wire: green with a white stripe, connector: terminal strip at the left, core: 12"
    lamps = ", ".join(f"{{{colour}: {{output: {board}.{n}, {wire}}}}}" for n, colour in enumerate(("green", "red")))
    text = HEAD.replace("boards: {A:", f"boards: {{{board}:")
    text += f"signals: {{{signal}: {{form: two-aspect-stop, wiring: common-anode, lamps: [{lamps}]}}}}"
    (tmp_path / "plan.yaml").write_text(text, encoding="utf-8")
    lines = call("wire", tmp_path / "plan.yaml").out.splitlines()
    assert max(map(len, lines)) <= 100
    schedule = lines[lines.index("Schedule") : lines.index("Boards")]
    assert "In every row:" in schedule[1]
    assert "".join(schedule).count("common-anode") == 1
    assert all(f"{n}  " in " ".join(schedule) or f".{n}" in " ".join(schedule) for n in range(2))


def test_each_column_of_the_loads_says_what_it_is(tmp_path: Path) -> None:
    """One line each, only those that are there; JSON has the same figures without."""
    (tmp_path / "plan.yaml").write_text(HEAD + f"signals: {{HF1: {{{FOUR}}}}}", encoding="utf-8")
    lines = call("wire", tmp_path / "plan.yaml", "--table", "loads").out.splitlines()
    meanings = [line.split("  ")[2] for line in lines if line.startswith("    ")]
    assert meanings == [
        "limit",
        "own",
        "usual",
        "worst",
        "change",
        "test",
        "power-up",
        "all on",
        "mean",
        "left",
    ]
