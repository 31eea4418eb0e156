"""Hard cases of the checks of wiring, and that no plan the schema accepts makes one fall over."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from lampwright import documents, schema
from lampwright.engine import run
from lampwright.findings import Level
from lampwright.layout import Layout
from lampwright.plans import load
from parts import SOUND
from support import all_checks, findings_of, library

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding

HEAD = """
plan: 1
rulebook: gb-colour-light
year: 1990
boards:
  A: {kind: pwm-16, supply: five}
  P: {kind: pins-8bit, supply: five}
supplies: {five: {voltage: 5 V}}
leds:
  red: {kind: red-3mm, resistor: 390 ohm}
  green: {kind: traffic-green-3mm, resistor: 270 ohm}
  yellow: {kind: yellow-3mm, resistor: 390 ohm}
  white: {kind: warm-white-3mm, resistor: 470 ohm}
signals:
"""


def rules(signals: str, *, head: str = HEAD) -> list[str]:
    """Return the rules found in a plan of some signals."""
    return [finding.rule for finding in findings_of(head + signals)]


def only(text: str, rule: str) -> Finding:
    """Return the one finding of a rule; there is no other finding."""
    (found,) = findings_of(text)
    assert found.rule == rule
    return found


@pytest.mark.parametrize(
    ("signals", "found"),
    [
        ("  Q1: {form: shunt-red-white, lamps: {upper-white: A.0, lower-white: A.0, red: A.1}}", False),
        ("  Q1: {form: position-light, lamps: [{white: A.0}, {white: A.0}]}", False),
        ("  Q1: {form: three-aspect, lamps: [{green: A.0}, {yellow: A.0}, {red: A.1}]}", True),
        ("  Q1: {form: searchlight, year: 1955, lamps: {lens: {red: A.0, green: A.0, yellow: A.1}}}", True),
        ("  Q1: {form: three-aspect, carries: {position-1: A.0, position-4: A.0}}", True),
        ("  Q1: {form: three-aspect, carries: {alphanumeric: {M: A.0, B: A.0}}}", True),
        ("  Q1: {lamps: {upper: A.0, lower: A.1}}\n  Q3: {lamps: {upper: A.0, lower: A.2}}", True),
    ],
)
def test_an_output_may_light_only_what_is_always_lit_together(signals: str, found: bool) -> None:  # noqa: FBT001
    """Two whites of a position light are; two aspects, two positions, two characters, two signals are not."""
    assert ("output-used-twice" in rules(signals)) == found


def test_both_colours_of_an_antiparallel_led_share_their_two_outputs() -> None:
    """One way round it is red, the other way green."""
    lamps = "{main: {red: {outputs: [P.2, P.3]}, green: {outputs: [P.3, P.2], led: red-green-3mm-antiparallel}}}"
    head = HEAD.replace("red: {kind: red-3mm,", "red: {kind: red-green-3mm-antiparallel,")
    found = findings_of(head + f"  Q1: {{form: led-two-aspect-stop, year: 2010, lamps: {lamps}}}")
    assert [one.rule for one in found] == ["wrong-led-colour"]  # such LEDs are of the yellowish green


def test_without_a_rulebook_lamps_of_one_colour_may_share() -> None:
    """What cannot be known is not found wrong."""
    head = HEAD.replace("rulebook: gb-colour-light\nyear: 1990\n", "")
    assert rules("  Q1: {lamps: {upper: A.0, lower: A.0}}", head=head) == []


def test_a_mixed_yellow_that_loses_its_red_led_would_read_green() -> None:
    """A signal that clears itself; losing its green it would read red, which is safe, and is not told."""
    lens = "{red: A.0, green: A.1, yellow: {mix: {red: 60 %, green: 100 %}}}"
    head = HEAD.replace("supply: five}\n  P", "supply: five, frequency: 1500 Hz}\n  P").replace("1990", "1955")
    found = only(head + f"  Q1: {{form: searchlight, lamps: {{lens: {lens}}}}}", "unsafe-mix")
    assert found.message == "Q1 would show clear for caution if the red LED of its mixed yellow failed"
    assert found.level is Level.WARNING


def test_so_would_a_mixed_yellow_that_is_a_lens_of_its_own() -> None:
    """What is left is read as the form's own green."""
    lamps = "[{green: A.0}, {yellow: {outputs: [A.1, A.2], mix: {red: 60 %, green: 100 %}}}, {red: A.3}]"
    head = HEAD.replace("supply: five}\n  P", "supply: five, frequency: 1500 Hz}\n  P")
    assert (
        "Q1 would show clear for" in only(head + f"  Q1: {{form: three-aspect, lamps: {lamps}}}", "unsafe-mix").message
    )


def test_a_source_of_ten_milliamperes_cannot_drive_a_lamp_at_twenty() -> None:
    """Common practice; with what would: a larger resistor, the other polarity, a transistor, each with its figures."""
    head = HEAD.replace("pwm-16, ", "pwm-16, drive: source, ").replace(
        "red-3mm, resistor: 390 ohm", "red-3mm, resistor: 160 ohm"
    )
    found = only(head + "  Q1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}", "output-overloaded")
    assert found.message == "red of Q1 takes 18.8 mA, and A.1 of a 16-output 12-bit PWM board may give 10 mA"
    assert found.level is Level.ERROR
    assert found.tip == (
        "330 ohm keeps it at 9.7 mA at most; or common-anode heads on outputs that sink may take 25 mA; "
        "or behind a transistor the output gives 1 mA, and the LEDs count on their supply"
    )


def test_lamps_that_share_an_output_are_counted_together() -> None:
    """Two LEDs of 4 mA would do on an output that gives 10, and four would not."""
    head = HEAD.replace("pwm-16, ", "pwm-16, drive: source, ")
    assert rules("  Q1: {form: position-light, lamps: {upper: A.0, lower: A.0}}", head=head) == []
    more = head.replace("warm-white-3mm,", "warm-white-3mm, leds: 2 parallel,")
    assert rules("  Q1: {form: position-light, lamps: {upper: A.0, lower: A.0}}", head=more) == ["output-overloaded"]


def test_what_a_tip_proposes_is_at_hand() -> None:
    """From the modeller's stock, not from a series."""
    head = HEAD.replace("red-3mm, resistor: 390 ohm", "red-3mm, resistor: 100 ohm") + "STOCK"
    text = head.replace("STOCK", "  Q1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}\n")
    found = only(text + "stock: {resistors: {120 ohm: 5, 510 ohm: 2}}", "resistor-too-small")
    assert found.tip == "510 ohm keeps it at 6.27 mA at most"


def test_one_line_that_is_wrong_for_many_lamps_is_one_finding() -> None:
    """At that line, with the lamps counted."""
    signals = "\n".join(
        f"  Q{number}: {{form: two-aspect-stop, lamps: [{{green: A.{number}}}, {{red: A.{number + 1}}}]}}"
        for number in range(0, 12, 2)
    )
    found = only(
        HEAD.replace("red-3mm, resistor: 390 ohm", "red-3mm, resistor: 100 ohm") + signals, "resistor-too-small"
    )
    assert found.message.startswith("red of Q0 (like 5 more lamps) takes 30 mA")
    assert found.spot.path == ("leds", "red", "resistor")
    assert len(found.related) == 4  # three lamps, and the datum


@pytest.mark.parametrize(
    ("board", "level"), [("pwm-16, drive: sink", "are"), ("shift-register-8, drive: sink", "may be")]
)
def test_what_is_lit_at_power_up(board: str, level: str) -> None:
    """A board that starts low lights what sinks into it; of one whose start is not defined it may be so."""
    head = HEAD.replace("pwm-16", board)
    found = only(head + "  Q1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}", "lit-at-power-up")
    assert f"all 2 lamps on board A {level} lit from power-up" in found.message
    assert found.level is Level.NOTE


def test_pins_of_a_microcontroller_stay_off_till_they_are_set() -> None:
    """They are inputs at reset (common practice)."""
    assert rules("  Q1: {form: two-aspect-stop, wiring: common-anode, lamps: [{green: P.2}, {red: P.3}]}") == []


def test_a_transistor_turns_the_sense_of_a_board_round() -> None:
    """An NPN transistor wants the output high: a board that starts low keeps its lamps dark."""
    head = HEAD.replace("pwm-16, ", "pwm-16, switch: npn-transistor, ")
    assert (
        rules("  Q1: {form: two-aspect-stop, wiring: common-anode, lamps: [{green: A.0}, {red: A.1}]}", head=head) == []
    )
    assert rules(
        "  Q1: {form: two-aspect-stop, wiring: common-cathode, lamps: [{green: A.0}, {red: A.1}]}", head=head
    ) == ["wrong-polarity"]


STEPS = """
controllers: {east: {}, west: {}}
boards:
  A: {kind: pwm-16, controller: east}
  B: {kind: pwm-16, controller: west}
signals:
  Q1:
    form: four-aspect
    lamps: [{yellow: A.0}, {green: A.1}, {yellow: B.0}, {red: A.2}]
"""


@pytest.mark.parametrize(
    ("gives", "found"),
    [("", ["lamps-out-of-step"]), ("    gives: [danger, caution, preliminary-caution, clear]\n", [])],
)
def test_lamps_out_of_step_matter_only_where_they_flash(gives: str, found: list[str]) -> None:
    """Aspects that the signal is not meant to give are left out."""
    assert rules(gives, head="plan: 1\nrulebook: gb-colour-light\nyear: 1990\n" + STEPS) == found


LONG = """
plan: 1
rulebook: gb-colour-light
boards:
  A: {kind: sink-driver-8, supply: five, length: LENGTH, wire: 0.14 mm2}
  B: {kind: sink-driver-8, after: A}
supplies: {five: {voltage: 5 V}}
leds: {red: {kind: red-3mm, resistor: 160 ohm}}
signals:
  Q1: {form: two-aspect-stop, lamps: {red: A.0}}
  Q3: {form: two-aspect-stop, lamps: {red: B.0}}
"""


def lost(text: str) -> list[str]:
    """Return what is said of wires to boards."""
    return [one.message for one in findings_of(text) if one.rule == "wire-drop"]


def test_the_wires_to_a_board_carry_the_chain_behind_it() -> None:
    """Two reds of (5 - 1.8 - 0.7) / 160 A and 1.4 mA each for the driver: a tenth of 5 V is lost at 57.7 m one way.

    NEM 604 (verified): 0.0178 ohm mm2/m.
    """
    assert lost(LONG.replace("LENGTH", "57 m")) == []
    assert lost(LONG.replace("LENGTH", "58 m")) == ["the wires to board A lose 502 mV of 5 V at 34 mA, out and back"]


def test_a_board_with_wires_of_its_own_does_not_load_those_of_the_one_before_it() -> None:
    """It has its own, of which nothing else is said."""
    assert lost(LONG.replace("LENGTH", "100 m").replace("after: A", "after: A, length: 1 m")) == []


def test_what_is_no_size_of_wire_is_told() -> None:
    """A colour is no size."""
    found = [
        one for one in findings_of(LONG.replace("LENGTH", "1 m").replace("0.14 mm2", "green")) if "wire" in one.message
    ]
    assert [(one.rule, one.message) for one in found] == [
        ("unknown-part", "green is no size of wire that the parts data know")
    ]


def pieces(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the path of every value below one."""
    for step, inner in (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    ):
        yield (*path, step)
        yield from pieces(inner, (*path, step))


def without(values: Any, path: tuple[str | int, ...]) -> Any:
    """Return values with one taken out."""
    changed = deepcopy(values)
    holder = changed
    for step in path[:-1]:
        holder = holder[step]
    del holder[path[-1]]
    return changed


OURS = [check for check in all_checks() if type(check).__module__.startswith("lampwright_wiring.")]
ELECTRICAL = ("signals", "controllers", "boards", "supplies", "leds", "stock", "rulebook")
SAMPLE = Path(__file__).parents[1] / "schemas" / "plan.yaml"


@pytest.mark.parametrize("source", [SOUND.encode(), SAMPLE], ids=["a sound plan", "every key of the format"])
def test_no_plan_makes_a_check_fall_over(source: bytes | Path) -> None:
    """A plan with anything taken out is still judged, as long as the schema lets it through."""
    values = documents.read(source, "plan.yaml").values
    tried = 0
    for path in [(), *(path for path in pieces(values) if path[0] in ELECTRICAL)]:
        changed = without(values, path) if path else values
        changed = {key: said for key, said in changed.items() if key != "forms"}  # of its own: slow, and not our matter
        if not schema.faults("plan", changed):
            outcome = run(OURS, Layout(load(changed, "plan.yaml"), library()), "plan", "plan.yaml")
            assert outcome.raised == [], path
            tried += 1
    assert tried > 50


def test_a_resistor_of_nought_is_none() -> None:
    """It limits nothing, and burns what `none` burns."""
    text = """\
plan: 1
rulebook: gb-colour-light
year: 1975
boards: {A: {kind: pwm-16, supply: usb}}
supplies: {usb: {kind: usb-2}}
leds: {red: {kind: red-3mm, resistor: 0 ohm}, green: {kind: traffic-green-3mm, resistor: 180 ohm}}
signals:
  HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
"""
    assert "missing-resistor" in [finding.rule for finding in findings_of(text)]


@pytest.mark.parametrize(
    ("led", "found"),
    [
        ("kind: red-3mm, resistor: 330 kohm", ["resistor-too-large"]),  # 3 V over it: 9 uA
        ("kind: red-3mm, resistor: 6.2 kohm", ["resistor-too-large"]),  # 0.484 mA
        ("kind: red-3mm, resistor: 5.6 kohm", []),  # 0.536 mA
        ("kind: red-3mm, resistor: 1 kohm, current: 10 mA", ["resistor-too-large"]),  # 3 mA of 10
        ("kind: red-3mm, resistor: 1 kohm, current: 5 mA", []),  # 3 mA of 5
        ("kind: red-3mm, current: 10 mA", []),  # its one lamp has a resistor of its own below
    ],
)
def test_a_resistor_that_leaves_the_lamp_dark(led: str, found: list[str]) -> None:
    """Below 0.5 mA (common practice), or below half of the current that is meant; a red LED takes 2 V of 5."""
    text = HEAD.replace("red: {kind: red-3mm, resistor: 390 ohm}", f"red: {{{led}}}")
    red = "{output: A.1, resistor: 2.2 kohm}" if "resistor" not in led else "A.1"
    assert rules(f"  HF1: {{form: two-aspect-stop, lamps: [{{green: A.0}}, {{red: {red}}}]}}", head=text) == found


def test_signals_of_one_address_are_found_before_they_are_exported() -> None:
    """One finding for each address, whoever is like whom; dummies listen to nothing."""
    text = """
plan: 1
rulebook: gb-colour-light
signals:
  HF1: {form: three-aspect, address: 2}
  HF3: {like: HF1}
  HF5: {form: three-aspect, address: 7}
  HF7: {form: three-aspect, address: 2}
  HF9: {form: three-aspect, address: 2}
  HF11: {form: three-aspect, address: 7, stage: dummy}
"""
    finding = only(text, "signal-address-clash")
    assert finding.message == "HF1, HF7 and HF9 all have address 2"
    assert (finding.spot.path, finding.level) == (("signals", "HF7", "address"), Level.ERROR)
    assert finding.tip == "8 is free"
    assert (
        findings_of(text.replace("HF7: {form: three-aspect, address: 2", "HF7: {form: three-aspect, address: 3")) != []
    )
