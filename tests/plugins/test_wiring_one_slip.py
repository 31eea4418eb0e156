"""One slip in the wiring of a sound plan is one finding, with every check loaded."""

from __future__ import annotations

import pytest

from lampwright.findings import Level
from parts import SOUND
from support import findings_of

SLIPS = [
    # Outputs
    ("red: A.3", "red: A.2", "output-used-twice", "A.2 lights lower-yellow and red of OS1"),
    ("green: B.0", "green: B.1", "output-used-twice", "B.1 lights green and yellow of OS3"),
    ("lower: A.4", "lower: A.3", "output-used-twice", "A.3 lights red of OS1 and lower of OS7"),
    ("yellow: D.1", "yellow: D.0", "output-used-twice", "D.0 lights lens red and lens yellow of OS5"),
    ("red: A.3", "red: A.16", "output-out-of-range", "board A has no output 16"),
    ("red: A.3", "red: A.15", "kept-output", "A.15 is reserved"),
    ("green: B.0", "green: B.14", "kept-output", "B.14 drives a servo"),
    ("{green: A.1}", "green", "unwired-lamp", "green of OS1 has no output"),
    ("lower: A.4", "lower: {fibre: uper}", "dead-fibre", "from uper"),
    ("red: A.3", "red: E.3", "dead-reference", "OS1 names E"),
    # Names
    ("kind: red-3mm", "kind: red-3m", "unknown-part", "red-3m is no kind of LED"),
    ("A:\n    kind: pwm-16", "A:\n    kind: pwm-17", "unknown-part", "pwm-17 is no kind of board"),
    ("switch: npn-transistor", "switch: npn", "unknown-part", "npn is no kind of transistor"),
    ("kind: usb-2", "kind: usb2", "unknown-part", "usb2 is no kind of supply"),
    ("A:\n    kind: pwm-16", "A:\n    kind: matrix", "scanned-wiring", "rows and columns"),
    # The bus
    ("address: 0x41", "address: 0x40", "board-address-clash", "A and B are both at 0x40"),
    ("address: 0x41", "address: 0x70", "forbidden-address", "B is at 0x70"),
    (
        "C: {kind: shift-register-8, controller: east",
        "C: {kind: shift-register-8, after: D",
        "impossible-chain",
        "C comes after D",
    ),
    ("bus: 400 kHz", "bus: 10 kHz", "slow-fade-step", "takes 120 ms"),
    # Frequencies
    ("frequency: 1500 Hz", "frequency: 15 Hz", "unreachable-frequency", "15 Hz"),
    ("frequency: 50 Hz", "frequency: 500 Hz", "servo-out-of-time", "1.97 ms"),
    ("red: {output: B.2, level: 100 %}", "red: B.2", "servo-beside-dimmed-lamp", "red of OS3 is dimmed"),
    ("frequency: 1500 Hz", "frequency: 70 Hz", "visible-flicker", "70"),
    ("frequency: 1500 Hz", "frequency: 1000 Hz", "visible-flicker", "1017 Hz"),
    # Polarity
    (
        "wiring: common-anode",
        "wiring: common-cathode",
        "wrong-polarity",
        "OS1 is common-cathode, and the outputs of A and C",
    ),
    ("drive: source", "drive: sink, held-dark: true", "wrong-polarity", "OS3 is common-cathode"),
    (
        "    held-dark: true\n",
        "",
        "supply-overloaded",
        "at power-up, and gives 100 mA until it has been asked for more",
    ),
    ("after: C, drive: sink, held-dark: true", "after: C, drive: sink", "lit-at-power-up", "on board D may be lit"),
    # Resistors
    (
        "kind: yellow-3mm, resistor: 390 ohm",
        "kind: yellow-3mm, resistor: none",
        "missing-resistor",
        "upper-yellow of OS1 (like",
    ),
    ("kind: yellow-3mm, resistor: 390 ohm", "kind: yellow-3mm", "missing-resistor", "no resistor said"),
    (
        "red-3mm, resistor: 390 ohm",
        "red-3mm, resistor: 39 ohm",
        "resistor-too-small",
        "red of OS1 (like 2 more lamps) takes 76.9 mA",
    ),
    ("current: 5 mA", "current: 30 mA", "resistor-too-small", "stands 20 mA"),
    ("rating: 0.25 W", "rating: 0.05 W", "resistor-too-weak", "one for 50 mW"),
    (
        "leds: 5 parallel",
        "leds: 5 parallel, resistor: 1 kohm shared",
        "shared-resistor",
        "5 LEDs of position-1 of OS1",
    ),
    (
        "kind: yellow-3mm, resistor: 390 ohm",
        "kind: yellow-3mm, resistor: unknown",
        "unknown-resistor",
        "upper-yellow of OS1",
    ),
    # Voltages and supplies
    ("led-supply: twelve", "supply: twelve", "voltage-out-of-range", "board C is on 12.6 V"),
    ("switch: npn-transistor, led-supply", "led-supply", "voltage-out-of-range", "12.6 V of twelve"),
    ("drive: source", "drive: source, led-supply: twelve", "unreachable-supply", "B gives current from usb"),
    ("leds: 5 parallel", "leds: 4 series", "too-little-voltage", "stays dark"),
    ("after: C, drive", "after: C, supply: other, drive", "supplies-in-parallel", "the chain joins them"),
    (
        "twelve: {kind: adapter-12v-1a}",
        "twelve: {kind: adapter-12v-1a, from: [usb, other]}",
        "supplies-in-parallel",
        "usb and other",
    ),
    ("supplies:\n", "supplies:\n  lights: {voltage: 115 V}\n", "supply-not-extra-low", "lights is 115 V"),
    # Loads
    (
        "red: {output: B.2",
        "red: {resistor: 180 ohm, output: B.2",
        "output-overloaded",
        "red of OS3 takes 16.7 mA, and B.2",
    ),
    ("green: B.0", "green: {output: B.0, current: 10 mA}", "output-overloaded", "takes up to"),
    ("kind: usb-2", "kind: usb-hub-port", "supply-overloaded", "is asked for 104 mA in the worst legal state"),
    ("bus: 400 kHz,", "uses: 110 mA, bus: 400 kHz,", "supply-overloaded", "130 mA at power-up, and gives 100 mA until"),
    ("leds: 5 parallel", "leds: 20 parallel", "output-overloaded", "the NPN transistor below the LED at C.0"),
    ("kind: usb-2}", "kind: usb-low-power}", "supply-overloaded", "supply usb"),
    ("    held-dark: true\n", "    held-dark: true\n    length: 60 m\n    wire: AWG 30\n", "wire-drop", "board A lose"),
    (
        "    held-dark: true\n",
        "    held-dark: true\n    length: 1 m\n    wire: green\n",
        "unknown-part",
        "green is no size",
    ),
    # Light
    ("kind: traffic-green-3mm", "kind: green-3mm-gap", "wrong-led-colour", "565 to 574 nm"),
    ("kind: traffic-green-3mm", "kind: green-3mm", "wrong-led-colour", "only icao takes"),
    ("kind: warm-white-3mm", "kind: white-3mm", "wrong-led-colour", "bluer"),
    ("kind: yellow-3mm", "kind: red-3mm", "wrong-led-colour", "is lit by an LED that is red"),
    (
        "{yellow: A.0}",
        "{yellow: {output: A.0, level: 60 %}}",
        "unequal-brightness",
        "upper-yellow and lower-yellow of OS1",
    ),
    ("{yellow: A.0}", "{yellow: {output: A.0, resistor: 750 ohm}}", "unequal-brightness", "1.92 times the light"),
    ("yellow: D.1", "yellow: {mix: {red: 50 %, green: 100 %}}", "unsafe-mix", "OS5 would show clear for caution"),
]
OTHER = "  other: {kind: adapter-5v-1a}\n"


def test_the_plan_is_sound() -> None:
    """Else the slips below would say nothing."""
    assert findings_of(SOUND) == []


@pytest.mark.parametrize(("old", "new", "rule", "part"), SLIPS, ids=[f"{rule}-{new[:24]}" for _, new, rule, _ in SLIPS])
def test_one_slip_is_one_finding(old: str, new: str, rule: str, part: str) -> None:
    """Of the rule that is meant, and saying what it is about."""
    assert SOUND.count(old) == 1
    text = SOUND.replace(old, new)
    if "other" in new:
        text = text.replace("supplies:\n", f"supplies:\n{OTHER}")
    found = findings_of(text)
    assert [(one.rule, part in one.message) for one in found] == [(rule, True)], [one.message for one in found]


def test_a_signal_that_is_not_built_gets_a_warning_for_a_lamp_without_output() -> None:
    """It may still be on the way."""
    (built,) = findings_of(SOUND.replace("{green: A.1}", "green"))
    (planned,) = findings_of(SOUND.replace("stage: built", "stage: planned").replace("{green: A.1}", "green"))
    assert (built.level, planned.level) == (Level.ERROR, Level.WARNING)
