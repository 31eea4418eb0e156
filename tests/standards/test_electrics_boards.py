"""Driver boards against their data sheets: frequencies, addresses, limits, time on the bus."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from lampwright.findings import Basis
from lampwright_wiring import bus, pulses
from parts import parts, wiring_of

if TYPE_CHECKING:
    from lampwright_wiring.kinds import BoardKind, Pwm

SHEET = "data sheet of the 16-channel 12-bit I2C PWM LED controller class"


def kind(name: str) -> BoardKind:
    """Return a kind of board."""
    found = parts().board(name)
    assert found is not None
    return found


def pwm() -> Pwm:
    """Return how the 16-output board dims."""
    found = kind("pwm-16").pwm
    assert found is not None
    return found


PRESCALE = """
24 253 24.0296 0.12
23.8 255 23.8419 0.18
50 121 50.0288 0.06
60 101 59.8384 -0.27
100 60 100.0576 0.06
120 50 119.6768 -0.27
200 30 196.8876 -1.56
240 24 244.1406 1.73
400 14 406.9010 1.73
500 11 508.6263 1.73
800 7 762.9395 -4.63
1000 5 1017.2526 1.73
1250 4 1220.7031 -2.34
1526 3 1525.8789 -0.01
1600 3 1525.8789 -4.63
"""
"""Hz asked, prescale value, Hz that come of it, per cent off; worked out by the formula of the sheet (sec. 7.3.5,
verified) at 25 MHz. That 24 Hz is not 255 is a trap many walk into."""


@pytest.mark.parametrize("row", PRESCALE.strip().splitlines())
def test_prescale_values(row: str) -> None:
    """round(25 MHz / (4096 x f)) - 1, at least 3."""
    asked, value, runs, off = row.split()
    found = pulses.prescale(pwm(), Fraction(asked))
    assert found == int(value)
    actual = pulses.frequency(pwm(), found)
    assert f"{float(actual):.4f}" == runs
    assert f"{float((actual / Fraction(asked) - 1) * 100):.2f}" == off


def test_the_sheets_own_example() -> None:
    """200 Hz is 1Eh, which is also what the board has at power-up (formula verified, the value from memory)."""
    assert pulses.prescale(pwm(), Fraction(200)) == 0x1E == pwm().default


def test_an_erratum_of_a_reseller() -> None:
    """One page drops the rounding: 200 Hz would then be 29, which the sheet's own example contradicts."""
    assert int(Fraction(25_000_000, 4096 * 200)) - 1 == 29


def test_half_up_and_half_even_are_the_same_for_whole_frequencies() -> None:
    """Worked out: 25e6 / 4096 is 390625 / 64, so that no whole frequency lands on x.5."""
    assert all((Fraction(390625, 64) / hertz * 2) % 2 != 1 for hertz in range(1, 2000))


def test_fifty_five_addresses_may_be_used() -> None:
    """Sheet, sec. 7.1.1 to 7.1.3 (verified): 0x40 to 0x7F without the all-call 0x70 and the last eight: 64 - 1 - 8."""
    usable = bus.usable(kind("pwm-16"))
    assert len(usable) == 55
    assert bus.spans(usable) == "0x40 to 0x6F and 0x71 to 0x77"


def test_limits_are_those_of_the_sheet() -> None:
    """General description and Table 13 footnote 2 (verified): 25 mA in, 10 mA out, 400 mA for the package."""
    board = kind("pwm-16")
    assert {way: int(limit * 1000) for way, limit in board.limits.items()} == {"sink": 25, "source": 10, "package": 400}
    assert len(board.outputs) * board.limits["sink"] == board.limits["package"]
    assert len(board.outputs) * board.limits["source"] == Fraction(160, 1000)
    assert {board.why("limits", key).basis for key in ("sinks", "sources", "package")} == {Basis.VERIFIED}
    assert SHEET in board.why("limits", "sinks").text


def test_one_led_takes_one_output_sixteen_to_a_board() -> None:
    """Common practice, no source."""
    assert kind("pwm-16").outputs == tuple(map(str, range(16)))


def test_three_of_eight_lamps_may_be_lit_on_a_shift_register() -> None:
    """Data sheet of the HC-logic class, 2003, p. 12 (verified): 70 mA for the package, so 3 of 20 mA (worked out)."""
    assert kind("shift-register-8").limits["package"] // Fraction(20, 1000) == 3


@pytest.mark.parametrize(
    ("ohms", "milliamps", "name"), [(360, 52, "constant-current-8"), (720, 26, "constant-current-16")]
)
def test_the_resistor_of_a_constant_current_sink(ohms: int, milliamps: int, name: str) -> None:
    """Data sheets of an 8-channel (p. 17) and a 16-channel class (verified): 1.25 V / R x 15."""
    board = wiring_of(f"plan: 1\nboards: {{A: {{kind: {name}, reference: {ohms} ohm}}}}").boards["A"]
    assert board.aim is not None
    assert round(board.aim * 1000) == milliamps


@pytest.mark.parametrize(("kohm", "milliamps"), [("4.8", 10), ("2.4", 20)])
def test_the_resistor_of_another_class(kohm: str, milliamps: int) -> None:
    """Data sheet of another class (verified): 1.20 V / R x 40."""
    text = f"plan: 1\nboards: {{A: {{kind: constant-current-8-low, reference: {kohm} kohm}}}}"
    assert wiring_of(text).boards["A"].aim == Fraction(milliamps, 1000)


@pytest.mark.parametrize(
    ("clock", "boards", "milliseconds"),
    [("100 kHz", 1, 5.94), ("400 kHz", 1, 1.49), ("1 MHz", 1, 0.59), ("100 kHz", 8, 47.52)],
)
def test_setting_all_outputs_takes_its_time_on_the_bus(clock: str, boards: int, milliseconds: float) -> None:
    """Worked out: 66 bytes of 9 bits are 594 clocks a board."""
    names = ", ".join(f"{name}: {{kind: pwm-16, controller: east}}" for name in "ABCDEFGH"[:boards])
    wiring = wiring_of(f"plan: 1\ncontrollers: {{east: {{bus: {clock}}}}}\nboards: {{{names}}}")
    takes = pulses.refresh_time(wiring, "east")
    assert takes is not None
    assert float(takes) * 1000 == pytest.approx(milliseconds, abs=0.006)


SERVO = [(500, 102), (1000, 205), (1500, 307), (2000, 410), (2500, 512)]


@pytest.mark.parametrize(("microseconds", "counts"), SERVO)
def test_counts_of_a_servo_at_fifty_hertz(microseconds: int, counts: int) -> None:
    """Worked out: at prescale 121 one step is 4.88 us."""
    step = 1 / (pulses.frequency(pwm(), 121) * pwm().steps)
    assert round(Fraction(microseconds, 1_000_000) / step) == counts


def test_servos_and_steady_lamps_want_frequencies_that_no_board_has_at_once() -> None:
    """Servos want 50 to 60 Hz (common practice); at the highest frequency the whole period is shorter than a pulse."""
    fastest = pulses.frequency(pwm(), 3)
    assert 1 / fastest < Fraction(1, 1000)
    assert pulses.frequency(pwm(), 4) < 1250 < fastest  # IEEE 1789's low-risk limit (memory): only prescale 3 passes
