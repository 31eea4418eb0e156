"""Voltages at their edges: what LEDs need, what outputs and drivers stand, what boards run on, whence lamps are fed.

By the parts data a red LED has 2.0 V as a rule and 2.1 V at most; a PWM board runs on 2.3 to 5.5 V, its outputs stand
5.5 V, and an NPN transistor 30 V; the sources stand there.
"""

from __future__ import annotations

import pytest

from full_findings import full

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1990\n"
LAMPS = "[{green: A.0}, {red: A.1}]"
MORE = "tip a supply of more voltage, fewer LEDs in series, or an output or driver that keeps less"


def found(board: str, volts: str, red: str = "resistor: 390 ohm", lamps: str = LAMPS) -> list[str]:
    """Return what is said of a red lamp fed from a supply of its own."""
    plan = f"{HEAD}boards: {{A: {{supply: five, {board}}}}}\n"
    plan += (
        f"supplies: {{five: {{voltage: 5 V}}, led: {{voltage: {volts}}}}}\nleds: {{red: {{kind: red-3mm, {red}}}}}\n"
    )
    return full(f"{plan}signals:\n  HF1: {{form: two-aspect-stop, lamps: {lamps}}}\n")


SINK = "kind: pwm-16, drive: sink, held-dark: true, led-supply: led"


@pytest.mark.parametrize(
    ("volts", "leds", "level", "what", "need"),
    [
        ("2.6 V", 1, "", "", ""),
        ("2.59 V", 1, " (warning)", "has hardly any voltage to spare", "2.1 V of 2.59 V, which leaves 490 mV"),
        ("2.1 V", 1, " (warning)", "may stay dark", "2.1 V of 2.1 V"),
        ("2.01 V", 1, " (warning)", "may stay dark", "2.1 V of 2.01 V"),
        ("2 V", 1, "", "stays dark", "2.1 V of 2 V"),
        ("4.7 V", 2, "", "", ""),
        ("4.69 V", 2, " (warning)", "has hardly any voltage to spare", "4.2 V of 4.69 V, which leaves 490 mV"),
        ("4 V", 2, "", "stays dark", "4.2 V of 4 V"),
    ],
)
def test_what_leds_leave_for_the_resistor(volts: str, leds: int, level: str, what: str, need: str) -> None:
    """Half a volt is wanted (common practice). That the resistor lets little through then is no finding besides."""
    led = "a red, 3 mm LED" if leds == 1 else f"{leds} in series"
    told = [
        f"too-little-voltage{level} at leds/red/kind",
        f"red of HF1 {what}: {led} may need {need}",
        MORE,
        "beside signals/HF1/lamps/1/red: lit by such an LED",
    ]
    red = "resistor: 390 ohm" if leds == 1 else f"resistor: 390 ohm, leds: {leds} series"
    assert found(SINK, volts, red) == (told if what else [])


SWITCHED = f"{SINK}, switch: npn-transistor"
OUTPUT, TRANSISTOR = ("an output of A", "5.5 V"), ("the NPN transistor below the LED at A.0", "30 V")


@pytest.mark.parametrize(
    ("board", "volts", "over"),
    [(SINK, "5.5 V", ()), (SINK, "5.51 V", OUTPUT), (SWITCHED, "30 V", ()), (SWITCHED, "31 V", TRANSISTOR)],
)
def test_what_an_output_stands(board: str, volts: str, over: tuple[str, ...]) -> None:
    """Or the transistor below it; the first lamp of a supply tells of all."""
    told = [
        "voltage-out-of-range at boards/A/led-supply",
        f"green of HF1 is fed from {volts} of led, and {' stands '.join(over)}",
        f"tip a transistor or sink driver that stands {volts}, or a supply of {over[-1] if over else ''} at most",
        "beside supplies/led:: this supply",
    ]
    lines = [line for line in found(board, volts, "resistor: 5.6 kohm") if "resistor" not in line or "driver" in line]
    assert lines == (told if over else [])


def test_a_lamp_with_a_supply_of_its_own_is_pointed_at() -> None:
    """What another lamp is fed from is not its matter."""
    lamps = "[{green: {output: A.0, supply: led}}, {red: A.1}]"
    lines = found(SINK.replace(", led-supply: led", ""), "12 V", lamps=lamps)
    assert [line for line in lines if line.startswith("voltage")] == [
        "voltage-out-of-range at signals/HF1/lamps/0/green/supply"
    ]


@pytest.mark.parametrize(("volts", "wrong"), [("2.2", True), ("2.3", False), ("5.5", False), ("5.6", True)])
def test_what_a_board_runs_on(volts: str, wrong: bool) -> None:  # noqa: FBT001
    """2.3 to 5.5 V, by the data sheet of its class."""
    told = [
        "voltage-out-of-range at boards/A/supply",
        f"board A is on {volts} V of own, and stands 2.3 V to 5.5 V",
        "tip a supply of 2.3 V to 5.5 V",
        "beside supplies/own:: its supply",
    ]
    plan = f"{HEAD}boards: {{A: {{kind: pwm-16, supply: own}}}}\nsupplies: {{own: {{voltage: {volts} V}}}}\n"
    assert full(plan) == (told if wrong else [])


@pytest.mark.parametrize(
    ("board", "head", "supply", "told"),
    [
        ("drive: source", "", "led", True),
        ("frequency: 1526 Hz", "wiring: common-cathode, ", "led", True),
        ("drive: source, switch: npn-transistor", "", "led", False),
        ("drive: source", "", "five", False),
        ("drive: sink", "", "led", False),
    ],
)
def test_outputs_that_give_current_have_one_supply(board: str, head: str, supply: str, told: bool) -> None:  # noqa: FBT001
    """Common practice; what drives another way reaches the other supply."""
    plan = f"{HEAD}boards: {{A: {{kind: pwm-16, supply: five, {board}}}}}\n"
    plan += "supplies: {five: {voltage: 5 V}, led: {voltage: 5 V}}\nsignals:\n"
    lamps = f"[{{green: A.0}}, {{red: {{output: A.1, supply: {supply}}}}}]"
    lines = [
        "unreachable-supply at signals/HF1/lamps/1/red/supply",
        "red of HF1 is to be fed from led, and board A gives current from five",
        "tip common-anode heads on outputs that sink, or transistors above the LEDs",
        *(["beside boards/A/drive: so that its outputs give"] if "drive" in board else []),
    ]
    plan += f"  HF1: {{form: two-aspect-stop, {head}lamps: {lamps}}}\n"
    assert full(plan, rule="unreachable-supply") == (lines if told else [])
