"""Currents of outputs, boards and supplies: in legal states, beside power-up, lamp test and everything lit at once."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from fixture_books import rulebook
from lampwright import documents
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright_wiring.current import elimination, worst
from lampwright_wiring.current.demands import demands, too_much
from lampwright_wiring.current.loads import Loads, loads
from lampwright_wiring.current.telling import cause
from lampwright_wiring.levels import duty
from parts import layout_of
from support import findings_of, library, new_library

if TYPE_CHECKING:
    import pytest

    from lampwright.rulebooks import Rulebook
    from lampwright_wiring.current.accounts import Account
    from lampwright_wiring.kinds import Spread

EXAMPLE = Path(__file__).parents[2] / "rulesets/gb-colour-light/examples/garrow-fold.yaml"
HEAD = """
plan: 1
rulebook: gb-colour-light
year: 1990
controllers: {east: {supply: five, uses: 50 mA}}
boards: {A: {kind: pwm-16, controller: east, drive: sink, held-dark: true}}
supplies: {five: {voltage: 5 V, limit: 500 mA}}
leds:
  red: {kind: red-3mm, resistor: 300 ohm}
  yellow: {kind: yellow-3mm, resistor: 290 ohm}
  green: {kind: traffic-green-3mm, resistor: 180 ohm}
  white: {kind: warm-white-3mm, resistor: 900 ohm}
"""
"""At 5 V every lamp takes 10 mA typically, and the white ones 2 mA; board and controller take 60."""
TWO = "lamps: [{green: A.0}, {red: A.1}]"
FOUR = "lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]"


def of(text: str) -> Loads:
    """Return the currents of a plan given as text."""
    return loads(layout_of(text))


def under(book: Rulebook, text: str) -> Loads:
    """Return the currents of a plan by a rulebook of the tests'."""
    known = new_library()
    known.add(book)
    return loads(Layout(load(documents.read(text.encode(), "plan.yaml").values, "plan.yaml"), known))


def supply(found: Loads, name: str = "five") -> Account:
    """Return a supply."""
    return next(account for account in found.supplies if account.name == name)


def milliamps(current: Spread) -> float:
    """Return the typical current in mA."""
    return round(float(current.typical) * 1000, 3)


# ------------------------------------------------------------------------------------------ twelve signals on 500 mA
def test_twelve_signals_run_on_500_milliamps_though_the_sum_of_their_lamps_does_not() -> None:
    """The example plan: accepted with power-up, lamp test and fades counted; the sum of every LED would reject it."""
    text = EXAMPLE.read_text(encoding="utf-8")
    found = of(text)
    usb = supply(found, "usb")
    assert len(found.legal.signals) == 12
    assert usb.limit == Fraction(1, 2)
    assert found.all_on(usb).typical > usb.limit
    asked = list(demands(found, usb))
    assert len(asked) == 4
    assert all(demand.case.exact and demand.current.most <= demand.limit for demand in asked)
    assert findings_of(text) == []


def test_its_worst_state_is_named_and_takes_what_is_said() -> None:
    """Every signal stands at something, and the sum of what is lit then is the figure."""
    found = of(EXAMPLE.read_text(encoding="utf-8"))
    usb = supply(found, "usb")
    case = found.worst(usb)
    assert [choice.signal for choice in case.choices] == list(found.legal.signals)
    lit = [usb.takes[one.light].most for choice in case.choices for one in choice.lit]
    assert sum(lit) + usb.own.most == case.current.most
    shown = {choice.signal: choice.says for choice in case.choices}
    assert shown["GF12"] == "preliminary-caution to up-beyond"
    assert shown["GF5"].endswith("to GF9"), "the indicator takes more than a lamp"


def test_a_smaller_port_is_refused_with_the_state_and_what_would_help() -> None:
    """On 100 mA the same plan does not run; a larger port, by its figure, would do."""
    text = EXAMPLE.read_text(encoding="utf-8").replace("kind: usb-2", "kind: usb-low-power")
    (finding,) = findings_of(text)
    assert finding.rule == "supply-overloaded"
    assert "in the worst legal state, and gives 100 mA" in finding.message
    assert "GF1 shows" in finding.because
    assert "(usb-2) gives 500 mA" in finding.tip
    assert "extra-low voltage only" in finding.tip
    assert findings_of(text.replace("usb-low-power", "usb-2")) == []


# ------------------------------------------------------------------------------------------ what is counted
def test_each_occasion_has_its_own_figure() -> None:
    """Two yellows lit at most; all four lamps and the five of the indicator in a test; nothing at power-up."""
    arm = "carries: {position-1: {output: A.4, leds: 5 parallel}}"
    found = of(HEAD + f"signals: {{HF1: {{form: four-aspect, {FOUR}, {arm}}}}}")
    five = supply(found)
    assert milliamps(found.worst(five).current) == 60 + 2 * 10 + 5 * 2
    assert milliamps(found.lamp_test(five).current) == milliamps(found.all_on(five)) == 60 + 4 * 10 + 5 * 2
    assert found.lamp_test(five).tested == "HF1"
    assert milliamps(found.power_up(five)) == 60


def test_an_indicator_is_lit_only_with_aspects_it_stands_with() -> None:
    """With danger it is not, so a signal of two aspects takes one lamp with it, or one without."""
    arm = "carries: {position-1: {output: A.4, leds: 5 parallel}}"
    only_red = of(HEAD + f"signals: {{HF1: {{form: four-aspect, gives: danger, {FOUR}, {arm}}}}}")
    assert milliamps(only_red.worst(supply(only_red)).current) == 60 + 10


def test_of_one_indicator_one_content_is_lit_and_of_several_each() -> None:
    """Two positions of one arm take no more than one; a character beside them is another indicator."""
    arms = "position-1: {output: A.4, leds: 5 parallel}, position-4: {output: A.5, leds: 5 parallel}"
    signal = f"signals: {{HF1: {{form: four-aspect, {FOUR}, carries: {{{arms}}}}}}}"
    found = of(HEAD + signal)
    assert milliamps(found.worst(supply(found)).current) == 60 + 20 + 10
    found = of(HEAD + signal.replace(arms, f"{arms}, alphanumeric: {{M: A.6, B: A.7}}"))
    assert milliamps(found.worst(supply(found)).current) == 60 + 20 + 10 + 2


def test_a_route_lights_its_indicator_and_one_that_has_none_does_not() -> None:
    """An arm that is wired as a whole is lit by any of its positions."""
    for arm, indicator, most in (
        ("position-1", ", indicator: position-1", 10),
        ("position-1", "", 0),
        ("junction", ", indicator: position-2", 10),
    ):
        arms = f"{arm}: {{output: A.4, leds: 5 parallel}}"
        route = f"{{to: up, over: AA{indicator}}}"
        signal = f"signals: {{HF1: {{form: four-aspect, {FOUR}, carries: {{{arms}}}, routes: [{route}]}}}}"
        found = of(HEAD + signal + "\nsections: {AA: {}}\nends: {up: {kind: off-stage}}\n")
        assert milliamps(found.worst(supply(found)).current) == 60 + 20 + most


def test_a_board_that_lights_its_lamps_at_power_up_counts_them_all() -> None:
    """Outputs that begin low light what hangs between them and the supply."""
    found = of(HEAD.replace(", held-dark: true", "") + f"signals: {{HF1: {{form: four-aspect, {FOUR}}}}}")
    assert milliamps(found.power_up(supply(found))) == 60 + 4 * 10


def test_routes_that_exclude_each_other_keep_two_signals_from_being_clear() -> None:
    """Two signals read into one section: one of them at danger, by its red; the other may show two yellows."""
    signals = """
signals:
  HF1: {form: four-aspect, lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}], routes: [ROUTE]}
  HF3: {form: four-aspect, lamps: [{yellow: A.4}, {green: A.5}, {yellow: A.6}, {red: A.7}], routes: [ROUTE]}
sections: {AA: {}, AB: {}}
ends: {up: {kind: off-stage}}
"""
    apart = HEAD + signals.replace("ROUTE", "{to: up, over: AB}", 1).replace("ROUTE", "{to: up, over: AA}")
    joined = HEAD + signals.replace("ROUTE", "{to: up, over: AA}")
    assert milliamps(of(apart).worst(supply(of(apart))).current) == 60 + 4 * 10
    found = of(joined)
    assert milliamps(found.worst(supply(found)).current) == 60 + 3 * 10


def test_a_dimmed_lamp_counts_in_full_and_less_in_the_mean() -> None:
    """Its pulses are as high; 80 % of lightness is 56.68 % of the light (CIE L*)."""
    found = of(HEAD.replace("300 ohm", "300 ohm, level: 80 %") + f"signals: {{HF1: {{form: two-aspect-stop, {TWO}}}}}")
    red = next(account for account in found.outputs if account.name == "A.1")
    assert milliamps(found.worst(red).current) == 10
    assert found.mean(red).current.typical == Fraction(1, 100) * duty(Fraction(4, 5))
    assert milliamps(found.mean(red).current) == 5.668


def test_a_flashing_lamp_counts_in_full_and_for_its_share_of_time_in_the_mean() -> None:
    """Lit half the time it has half the mean; where the share is not said, all of it counts."""
    book = library().get("gb-colour-light")
    assert book is not None
    text = HEAD + f"signals: {{HF1: {{form: four-aspect, gives: flashing-preliminary-caution, {FOUR}}}}}"
    for said, mean in (({"flash": {"lit-share": "50 %"}}, 10), ({"flash": {"lit-share": "40..60 %"}}, 12), ({}, 20)):
        found = under(replace(book, id="half", states=said, cache={}), text.replace("gb-colour-light", "half"))
        board = found.boards[0]
        assert milliamps(found.worst(board).current) == 20
        assert milliamps(found.mean(board).current) == mean


def test_a_flash_that_does_not_go_dark_takes_its_floor() -> None:
    """Between flashes the lamps of a head with filaments stay at a level: 60 % of lightness is 28.12 % of the light."""
    book = library().get("gb-colour-light")
    assert book is not None
    states = {"flash": {"lit-share": "50 %", "floor": "60 %"}}
    text = HEAD + f"signals: {{HF1: {{form: four-aspect, gives: flashing-caution, {FOUR}}}}}"
    found = under(replace(book, id="half", states=states, cache={}), text.replace("gb-colour-light", "half"))
    assert found.mean(found.boards[0]).current.typical == Fraction(1, 100) * (1 + duty(Fraction(3, 5))) / 2


DISCS = """
plan: 1
rulebook: it
boards: {A: {kind: pwm-16, controller: east, drive: sink}, B: {kind: pwm-16, controller: BESIDE, drive: sink}}
controllers: {east: {}, west: {}}
supplies: {five: {voltage: 5 V}}
leds: {yellow: {kind: yellow-3mm, resistor: 290 ohm}, green: {kind: traffic-green-3mm, resistor: 90 ohm}}
signals:
  HF1:
    form: two-discs
    gives: GIVES
    lamps: {upper: {yellow: {output: A.0, supply: five}}, lower: {green: {output: B.0, supply: five}}}
"""


def test_lamps_that_flash_in_turns_are_never_lit_together() -> None:
    """Yellow takes 10 mA, green 20: together 30, in turns 20; and 30 again if two controllers drift apart."""
    for gives, beside, most in (("next-60", "east", 30), ("next-100", "east", 20), ("next-100", "west", 30)):
        found = under(rulebook("it"), DISCS.replace("GIVES", gives).replace("BESIDE", beside))
        assert milliamps(found.worst(supply(found)).current) == most, (gives, beside)


def test_what_fades_is_lit_with_what_comes() -> None:
    """From green to two yellows, three lamps; signals that do not fade change at once."""
    sharp = HEAD + f"signals: {{HF1: {{form: four-aspect, {FOUR}}}}}"
    soft = HEAD + f"signals: {{HF1: {{form: four-aspect, fades: filament, {FOUR}}}}}"
    found = of(sharp)
    assert found.changing(supply(found)) == found.worst(supply(found))
    found = of(soft)
    case = found.changing(supply(found))
    assert milliamps(case.current) == 60 + 3 * 10
    assert "HF1 goes from " in cause(case)


def test_of_an_led_between_two_outputs_one_colour_is_lit_at_a_time() -> None:
    """It cannot be lit both ways at once, even by a slip; the board carries its current twice, out and back in."""
    text = """
plan: 1
rulebook: gb-colour-light
year: 1955
boards: {P: {kind: pins-8bit, supply: five}}
supplies: {five: {voltage: 5 V}}
leds:
  red: {kind: red-green-3mm-antiparallel, resistor: 220 ohm}
  green: {kind: red-green-3mm-antiparallel, resistor: 210 ohm}
  yellow: {kind: yellow-3mm, resistor: 250 ohm}
signals:
  HF1: {form: searchlight, lamps: {lens: {red: {outputs: [P.2, P.3]}, green: {outputs: [P.3, P.2]}, yellow: P.4}}}
"""
    found = of(text.replace(", yellow: P.4", ""))
    assert milliamps(found.all_on(supply(found))) == 10
    assert milliamps(found.all_on(found.boards[0])) == 20


def test_a_group_of_outputs_is_counted_by_the_way_it_acts() -> None:
    """Pins 0 to 4 and 5 to 13 may take in 100 mA each, A0 to A5 as well (memory)."""
    found = of(
        HEAD.replace("pwm-16", "pins-8bit") + f"signals: {{HF1: {{form: four-aspect, {FOUR.replace('A.', 'A.A')}}}}}"
    )
    analogue = [account for account in found.boards if account.kind == "group" and account.outputs[0] == "A0"]
    assert [(account.way, account.limit, len(account.takes)) for account in analogue] == [("sink", Fraction(1, 10), 4)]


def test_a_supply_that_feeds_another_gives_its_current_and_more_if_that_has_more_voltage() -> None:
    """9 V made from 5 V takes nine fifths of the current; 3 V made from 5 V as much as it gives."""
    for volts, most in ((9, 60 + Fraction(9, 5) * 10), (3, 60 + 10)):
        ohms = Fraction(volts - 2) * 100
        text = HEAD.replace("limit: 500 mA}", f"limit: 500 mA}}, other: {{voltage: {volts} V, from: five}}").replace(
            "300 ohm", f"{ohms} ohm"
        )
        switched = text.replace("drive: sink", "switch: n-channel-transistor, led-supply: other")
        found = of(switched + f"signals: {{HF1: {{form: two-aspect-stop, gives: danger, {TWO}}}}}")
        assert milliamps(found.worst(supply(found)).current) == most


def test_what_is_not_known_is_named_and_not_counted() -> None:
    """A lamp with no resistor said, a controller of no kind."""
    text = HEAD.replace(", resistor: 300 ohm", "").replace(", uses: 50 mA", "")
    found = of(text + f"signals: {{HF1: {{form: two-aspect-stop, {TWO}}}}}")
    assert supply(found).unknown == ("HF1 red", "controller east")
    assert found.boards[0].unknown == ("HF1 red",)


def test_a_signal_whose_form_is_not_known_may_light_anything() -> None:
    """Then all its lamps count, and the state says so."""
    found = of(HEAD + f"signals: {{HF1: {{form: no-such-form, {FOUR}}}}}")
    assert milliamps(found.worst(supply(found)).current) == 60 + 4 * 10
    assert found.legal.unread == ("HF1",)


def test_a_dummy_and_a_lamp_through_a_fibre_take_nothing_of_their_own() -> None:
    """One LED lights both lamps of a position light."""
    lamps = "lamps: {upper: A.0, lower: {fibre: upper}}"
    found = of(
        HEAD + f"signals: {{HF1: {{form: position-light, {lamps}}}, HF3: {{form: two-aspect-stop, stage: dummy}}}}"
    )
    assert milliamps(found.all_on(supply(found))) == 60 + 2


# ------------------------------------------------------------------------------------------ bounds
def test_beyond_its_size_a_case_is_a_bound_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """With joins of one row nothing is found together, and the sum can only come out too great."""
    text = EXAMPLE.read_text(encoding="utf-8")
    exact = of(text).worst(supply(of(text), "usb"))
    monkeypatch.setattr(worst, "greatest", partial(elimination.greatest, rows=1))
    found = of(text)
    case = found.worst(supply(found, "usb"))
    assert not case.exact
    assert case.current.most > exact.current.most
    assert "a proven bound" in cause(case)


# ------------------------------------------------------------------------------------------ findings
def test_only_the_worst_corner_is_a_warning() -> None:
    """In a lamp test typical parts take 100 mA: too much for 85 for sure, for 100.5 only with LEDs of low voltage."""
    text = HEAD.replace("limit: 500 mA", "limit: 85 mA") + f"signals: {{HF1: {{form: four-aspect, {FOUR}}}}}"
    found = of(text)
    over = too_much(found, supply(found))
    assert over is not None
    assert over.when == "in a lamp test", "typical parts are sure to be too much there"
    (finding,) = findings_of(text.replace("85 mA", "100.5 mA"))
    assert (finding.rule, str(finding.level)) == ("supply-overloaded", "warning")
    assert "up to" in finding.message


def test_a_fuse_counts_before_the_supply() -> None:
    """It is the fuse's line that is pointed to."""
    text = (
        HEAD.replace("limit: 500 mA", "limit: 500 mA, fuse: 63 mA") + f"signals: {{HF1: {{form: four-aspect, {FOUR}}}}}"
    )
    (finding,) = findings_of(text)
    assert finding.spot.path == ("supplies", "five", "fuse")


def test_the_ways_out_do_what_they_say() -> None:
    """A board's LEDs on a supply of their own: the figure named is the one that comes of it."""
    text = HEAD.replace("limit: 500 mA", "limit: 70 mA") + f"signals: {{HF1: {{form: four-aspect, {FOUR}}}}}"
    (finding,) = findings_of(text)
    assert "with the LEDs of board A on a supply of their own five gives 60 mA" in finding.tip
    moved = text.replace("drive: sink", "drive: sink, supply: five, led-supply: own").replace(
        "70 mA}", "70 mA}, own: {voltage: 5 V, limit: 100 mA}"
    )
    assert findings_of(moved) == []
    found = of(moved)
    assert milliamps(found.worst(supply(found)).current) == 60


def test_a_board_with_too_much_on_it_says_which_signal_may_go() -> None:
    """Of four signals three are left, and the figure is what they carry in a lamp test."""
    signals = "\n".join(
        f"  HF{number}: {{form: two-aspect-stop, lamps: [{{green: A.{number - 1}}}, {{red: A.{number}}}]}}"
        for number in (1, 3, 5, 7)
    )
    head = HEAD.replace("pwm-16", "shift-register-8").replace("300 ohm", "160 ohm").replace("180 ohm", "100 ohm")
    (finding,) = findings_of(f"{head}signals:\n{signals}\n")
    assert finding.rule == "board-overloaded"
    assert finding.message.startswith("board A carries 75 mA in the worst legal state")
    assert "2 boards share it" in finding.tip
    assert "behind transistors its outputs carry 5 mA" in finding.tip
