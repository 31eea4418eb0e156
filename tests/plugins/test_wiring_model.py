"""The electrics of a plan: what is said, what follows, and what is not known."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lampwright_wiring.kinds import Spread
from lampwright_wiring.model import Output, Resistor
from parts import lamp_of, wiring_of

HEAD = """
plan: 1
rulebook: gb-colour-light
controllers: {east: {supply: usb}}
boards:
  A: {kind: pwm-16, controller: east, drive: sink}
  B: {kind: pwm-16, after: A, drive: source}
  P: {kind: pins-8bit, controller: east, switch: npn-transistor, led-supply: twelve}
supplies: {usb: {kind: usb-2}, twelve: {voltage: 12 V, tolerance: 5 %}}
leds:
  red: {kind: red-3mm, resistor: 330 ohm}
  yellow: {kind: yellow-3mm, current: 10 mA, level: 80 %}
  green: {kind: traffic-green-3mm, resistor: 180 ohm}
  white: {kind: warm-white-3mm, current: 5 mA}
"""


def milliamps(spread: Spread | None) -> tuple[float, float, float]:
    """Return a current's corners in mA, rounded as tables are."""
    assert spread is not None
    least, typical, most = (round(float(value) * 1000, 3) for value in (spread.least, spread.typical, spread.most))
    return least, typical, most


def test_a_lamp_of_a_list_has_its_name_in_the_form_and_draws_what_the_corners_allow() -> None:
    """4.75 to 5.25 V and 1.8 to 2.1 V: (4.75 - 2.1) / 330 to (5.25 - 1.8) / 330."""
    wiring = wiring_of(HEAD + "signals: {HF1: {form: three-aspect, lamps: [{green: A.0}, yellow, {red: A.2}]}}")
    red = lamp_of(wiring, "HF1 red")
    assert red.outputs == (Output("A", "2"),)
    draw = red.feeds[0].draw
    assert (draw.way, draw.supply, draw.resistor) == ("sink", "usb", Resistor(Fraction(330), "said"))
    assert draw.each == Spread(Fraction("2.65") / 330, Fraction(3, 330), Fraction("3.45") / 330)
    assert draw.of_supplies == (("usb", draw.each),)


def test_a_resistor_that_is_not_said_is_chosen_for_the_current_that_is_meant() -> None:
    """(5 - 2.1) / 10 mA is 290 ohm, and the next of E12 is 330."""
    wiring = wiring_of(HEAD + "signals: {HF1: {form: three-aspect, lamps: [green, {yellow: A.1}, red]}}")
    yellow = lamp_of(wiring, "HF1 yellow")
    assert yellow.feeds[0].draw.resistor == Resistor(Fraction(330), "sized")
    assert yellow.level == Fraction(4, 5)


def test_it_is_chosen_from_what_is_at_hand() -> None:
    """Values of which none is left do not count."""
    stock = "stock: {resistors: {330 ohm: 0, 390 ohm: 12, 1 kohm: 5}}\n"
    wiring = wiring_of(HEAD + stock + "signals: {HF1: {form: three-aspect, lamps: [green, {yellow: A.1}, red]}}")
    assert lamp_of(wiring, "HF1 yellow").feeds[0].draw.resistor.ohms == 390


def test_behind_a_switch_the_leds_count_on_their_supply_and_the_control_on_the_boards() -> None:
    """12 V, 2.1 V, 0.1 V lost in the transistor, 10 mA: 980 ohm, so 1 kohm; the pin gives 1 mA."""
    wiring = wiring_of(HEAD + "signals: {HF1: {form: three-aspect, lamps: [green, {yellow: P.2}, red]}}")
    draw = lamp_of(wiring, "HF1 yellow").feeds[0].draw
    assert (draw.way, draw.output_way, draw.supply) == ("sink", "source", "twelve")
    assert draw.resistor.ohms == 1000
    assert draw.at_output == Spread.exactly(Fraction(1, 1000))
    assert [(name, float(taken.typical)) for name, taken in draw.of_supplies] == [("twelve", 0.0098), ("usb", 0.001)]


def test_a_board_in_a_chain_runs_on_what_the_one_before_it_runs_on() -> None:
    """Controller and supply come down the chain, unless a board says its own."""
    board = wiring_of(HEAD).boards["B"]
    assert (board.controller, board.supply, board.led_supply) == ("east", "usb", "usb")


def test_a_mixed_colour_uses_the_leds_of_the_same_lens() -> None:
    """Each die keeps its output; the lens in yellow lights both, each at its share."""
    lens = "lens: {red: A.3, green: A.4, yellow: {mix: {red: 60 %, green: 100 %}}}"
    wiring = wiring_of(HEAD + f"signals: {{HF3: {{form: searchlight, lamps: {{{lens}}}}}}}")
    red, yellow = lamp_of(wiring, "HF3 lens red"), lamp_of(wiring, "HF3 lens yellow")
    assert [(str(feed.output), feed.load.level) for feed in yellow.feeds] == [("A.3", Fraction(3, 5)), ("A.4", 1)]
    assert yellow.feeds[0].light == red.feeds[0].light
    assert [lamp.state({"lens": "yellow"}) for lamp in (red, yellow)] == ["", "lit"]
    assert yellow.state({"lens": "flash yellow"}) == "flash"


def test_an_antiparallel_led_stands_between_two_outputs_and_loses_voltage_in_both() -> None:
    """One output gives, the other takes in: 0.4 V typical in each pin (memory)."""
    text = HEAD.replace(", switch: npn-transistor, led-supply: twelve", "").replace(
        "red-3mm", "red-green-3mm-antiparallel"
    )
    wiring = wiring_of(
        text + "signals: {HF1: {form: three-aspect, lamps: [green, yellow, {red: {outputs: [P.2, P.3]}}]}}"
    )
    red = lamp_of(wiring, "HF1 red")
    assert red.outputs == (Output("P", "2"), Output("P", "3"))
    draw = red.feeds[0].draw
    assert draw.each is not None
    assert draw.each.typical == (5 - 2 - Fraction("0.8")) / 330


@pytest.mark.parametrize(("said", "each", "total"), [("5 parallel", 5.455, 27.273), ("5", 5.455, 5.455)])
def test_several_leds_in_parallel_each_have_their_resistor(said: str, each: float, total: float) -> None:
    """(5 - 3.2) / 330 for each."""
    arm = f"{{output: A.14, leds: {said}, resistor: 330 ohm}}"
    wiring = wiring_of(HEAD + f"signals: {{HF1: {{form: three-aspect, carries: {{position-1: {arm}}}}}}}")
    draw = lamp_of(wiring, "HF1 position-1").feeds[0].draw
    assert (milliamps(draw.each)[1], milliamps(draw.total)[1]) == (each, total)


def test_leds_that_share_a_resistor_share_its_current() -> None:
    """(5 - 3.2) / 68 for all five."""
    arm = "{output: A.14, leds: 5 parallel, resistor: 68 ohm shared}"
    wiring = wiring_of(HEAD + f"signals: {{HF1: {{form: three-aspect, carries: {{position-1: {arm}}}}}}}")
    draw = lamp_of(wiring, "HF1 position-1").feeds[0].draw
    assert draw.total is not None
    assert draw.total.typical == Fraction("1.8") / 68


def test_leds_in_series_share_one_current_and_add_their_voltages() -> None:
    """Three of 3.2 V at 12 V: 2.3 V are left for the resistor, less 0.1 V in the transistor."""
    arm = "{output: P.4, leds: 3 series}"
    wiring = wiring_of(HEAD + f"signals: {{HF1: {{form: three-aspect, carries: {{position-1: {arm}}}}}}}")
    draw = lamp_of(wiring, "HF1 position-1").feeds[0].draw
    assert draw.resistor.ohms == 470
    assert draw.total == draw.each
    assert draw.each is not None
    assert draw.each.typical == (12 - Fraction("9.6") - Fraction("0.1")) / 470


def test_a_lamp_lit_through_a_fibre_has_the_led_of_another_and_is_not_counted_again() -> None:
    """One LED, two lamps."""
    lamps = "{upper: {output: A.5}, lower: {fibre: upper}}"
    wiring = wiring_of(HEAD + f"signals: {{HF1: {{form: position-light, lamps: {lamps}}}}}")
    upper, lower = lamp_of(wiring, "HF1 upper"), lamp_of(wiring, "HF1 lower")
    assert lower.feeds == upper.feeds
    assert [lamp.label for lamp, _ in wiring.by_output[Output("A", "5")]] == ["HF1 upper"]


def test_like_lends_lamps_and_not_their_outputs() -> None:
    """An output is a signal's own."""
    wiring = wiring_of(
        HEAD + "signals: {HF1: {form: three-aspect, lamps: [{green: A.0}, yellow, red]}, HF3: {like: HF1}}"
    )
    assert lamp_of(wiring, "HF1 green").outputs
    assert not lamp_of(wiring, "HF3 green").outputs


def test_characters_of_an_indicator_are_lit_by_what_stands_in_the_box() -> None:
    """Each has its own output."""
    carries = "{alphanumeric: {M: A.12, B: A.13}}"
    wiring = wiring_of(HEAD + f"signals: {{HF1: {{form: three-aspect, carries: {carries}}}}}")
    lit = [lamp.content for lamp in wiring.lamps if lamp.indicator and lamp.state({"alphanumeric": "M"})]
    assert lit == ["M"]


def test_a_signal_of_which_no_lamp_is_told_has_those_of_its_form() -> None:
    """They are known and not wired, so that they can be given outputs."""
    wiring = wiring_of(HEAD + "signals: {HF1: {form: three-aspect}, HF3: {form: three-aspect, stage: dummy}}")
    assert [(lamp.label, lamp.said, lamp.outputs) for lamp in wiring.lamps] == [
        ("HF1 green", False, ()),
        ("HF1 yellow", False, ()),
        ("HF1 red", False, ()),
    ]


def test_what_a_plan_does_not_say_is_not_known() -> None:
    """No supply, no LED, no resistor: no current, and nothing raised."""
    wiring = wiring_of(
        "plan: 1\nrulebook: gb-colour-light\nboards: {A: {}}\n"
        "signals: {HF1: {form: three-aspect, lamps: [{green: A.0}, {yellow: B.1}, red]}}"
    )
    assert [feed.draw.each for lamp in wiring.lamps for feed in lamp.feeds] == [None, None, None]


def test_a_current_that_is_said_counts_where_nothing_else_is_known() -> None:
    """500 mA are 25 lamps of 20 mA (common practice); what the modeller measured is taken as it is."""
    text = "plan: 1\nrulebook: gb-colour-light\nboards: {A: {}}\nleds: {red: {current: 20 mA}}\n"
    wiring = wiring_of(text + "signals: {HF1: {form: three-aspect, lamps: [green, yellow, {red: A.0}]}}")
    assert lamp_of(wiring, "HF1 red").feeds[0].draw.each == Spread.exactly(Fraction(1, 50))


def test_a_constant_current_board_sets_the_current_itself() -> None:
    """Data sheets of an 8-channel and a 16-channel sink class: 1.25 V / R x 15, so 9.375 mA at 2 kohm, within 6 %."""
    text = HEAD.replace(
        "pwm-16, controller: east, drive: sink", "constant-current-8, controller: east, reference: 2 kohm"
    )
    wiring = wiring_of(text + "signals: {HF1: {form: three-aspect, lamps: [green, yellow, {red: A.0}]}}")
    draw = lamp_of(wiring, "HF1 red").feeds[0].draw
    assert (draw.way, milliamps(draw.each)) == ("sink", (8.812, 9.375, 9.938))
