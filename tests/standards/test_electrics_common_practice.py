"""Figures that the trade goes by. No source: common practice, each as the bare figure it is."""

from __future__ import annotations

import pytest

from lampwright_wiring.current.demands import too_much
from lampwright_wiring.current.loads import loads
from parts import layout_of, wiring_of
from support import findings_of


def lamps_on_500_milliamps(lamps: int, own: str) -> bool:
    """Tell whether so many signals at danger, of one lamp of 20 mA each, fit on 500 mA."""
    signals = "\n".join(
        f"  S{n}: {{form: two-aspect-stop, gives: danger, lamps: {{red: A.{n}}}}}" for n in range(lamps)
    )
    found = loads(
        layout_of(
            f"""
plan: 1
rulebook: gb-colour-light
year: 1990
boards: {{A: {{supply: usb{own}}}}}
supplies: {{usb: {{voltage: 5 V, limit: 500 mA}}}}
leds: {{red: {{current: 20 mA}}}}
signals:
{signals}
"""
        )
    )
    (usb,) = found.supplies
    return too_much(found, usb) is None


def test_500_milliamps_are_25_lamps_of_20() -> None:
    """500 mA divided by 20 mA a lamp (common practice)."""
    assert lamps_on_500_milliamps(25, own="")
    assert not lamps_on_500_milliamps(26, own="")


def test_there_are_fewer_once_the_board_itself_is_counted() -> None:
    """With 70 mA for controller and boards 430 are left, and 21 lamps (common practice)."""
    assert lamps_on_500_milliamps(21, own=", uses: 70 mA")
    assert not lamps_on_500_milliamps(22, own=", uses: 70 mA")


BOARD = """
plan: 1
rulebook: gb-colour-light
year: 1990
boards: {A: {kind: pwm-16, supply: five, DETAIL}}
supplies: {five: {voltage: 5 V}}
leds: {red: {kind: red-3mm, resistor: 160 ohm}, green: {kind: traffic-green-3mm, resistor: 1 kohm}}
signals:
  HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
"""


def test_an_output_that_gives_about_10_milliamps_cannot_drive_a_lamp_of_20_directly() -> None:
    """One that takes in 25 can, and so can a transistor behind it (common practice)."""
    (finding,) = findings_of(BOARD.replace("DETAIL", "drive: source"))
    assert finding.rule == "output-overloaded"
    assert finding.message.endswith("may give 10 mA")
    assert findings_of(BOARD.replace("DETAIL", "drive: sink, held-dark: true")) == []
    assert findings_of(BOARD.replace("DETAIL", "drive: source, switch: npn-transistor")) == []


@pytest.mark.parametrize("hertz", [50, 60])
def test_servos_want_50_to_60_hertz(hertz: int) -> None:
    """At either they work, at what is right for lamps they do not (common practice)."""
    servos = "drive: source, switch: npn-transistor, servos: 15, frequency: "
    assert findings_of(BOARD.replace("DETAIL", f"{servos}{hertz} Hz")) == []
    (finding,) = findings_of(BOARD.replace("DETAIL", f"{servos}1500 Hz"))
    assert finding.rule == "servo-out-of-time"


def test_dimmed_lamps_and_servos_do_not_share_a_board_of_one_frequency() -> None:
    """What suits the servos flickers, what does not flicker stops the servos (common practice)."""
    servos = "drive: source, switch: npn-transistor, servos: 15, frequency: 50 Hz"
    dimmed = BOARD.replace("160 ohm", "160 ohm, level: 60 %").replace("DETAIL", servos)
    (finding,) = findings_of(dimmed)
    assert finding.rule == "servo-beside-dimmed-lamp"


def test_one_led_takes_one_output_and_sixteen_go_to_a_board() -> None:
    """Four signals of four lamps fill one; a seventeenth finds no output, and two share none (common practice)."""
    signals = "\n".join(
        f"  S{n}: {{form: four-aspect, lamps: "
        f"[{{yellow: A.{4 * n}}}, {{green: A.{4 * n + 1}}}, {{yellow: A.{4 * n + 2}}}, {{red: A.{4 * n + 3}}}]}}"
        for n in range(4)
    )
    full = f"plan: 1\nrulebook: gb-colour-light\nyear: 1990\nboards: {{A: {{kind: pwm-16}}}}\nsignals:\n{signals}\n"
    wiring = wiring_of(full)
    assert len(wiring.by_output) == 16
    assert wiring.spare(wiring.boards["A"]) == []
    for output, rule in ((16, "output-out-of-range"), (15, "output-used-twice")):
        more = f"  S4: {{form: position-light, lamps: {{upper: A.{output}, lower: {{fibre: upper}}}}}}\n"
        assert [finding.rule for finding in findings_of(full + more)] == [rule]
