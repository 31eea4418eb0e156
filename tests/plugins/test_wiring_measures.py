"""Currents, voltages and times of wiring at their edges, with what is proposed.

By the parts data a red LED has 1.8 to 2.1 V, 2.0 V as a rule, and stands 20 mA; the sources stand there.
"""

from __future__ import annotations

import pytest

from full_findings import full

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1990\n"
STOP = "signals:\n  HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}\n"
GREEN = "green: {kind: traffic-green-3mm, resistor: 270 ohm}"
LIT = "beside signals/HF1/lamps/1/red: lit by such an LED"


def found(red: str, rule: str) -> list[str]:
    """Return what is said of a red LED on a board of 5 V."""
    board = (
        "boards: {A: {kind: pwm-16, supply: five, drive: sink, held-dark: true}}\nsupplies: {five: {voltage: 5 V}}\n"
    )
    return full(f"{HEAD}{board}leds: {{red: {red}, {GREEN}}}\n{STOP}", rule=rule)


@pytest.mark.parametrize(
    ("ohms", "level", "takes"),
    [
        (160, "", ""),  # (5 - 1.8) / 160 = 20 mA
        (159, " (warning)", "takes up to 20.1 mA"),
        (150, " (warning)", "takes up to 21.3 mA"),  # (5 - 2) / 150 = 20 mA
        (149, "", "takes 20.1 mA"),
    ],
)
def test_a_resistor_just_too_small(ohms: int, level: str, takes: str) -> None:
    """A warning while only the worst LED takes too much."""
    told = [
        f"resistor-too-small{level} at leds/red/resistor",
        f"red of HF1 {takes}, and a red, 3 mm LED stands 20 mA",
        "tip 180 ohm keeps it at 17.8 mA at most",
        LIT,
        "beside leds/red-3mm/limit: what it stands",
    ]
    assert found(f"{{kind: red-3mm, resistor: {ohms} ohm}}", "resistor-too-small") == (told if takes else [])


@pytest.mark.parametrize(
    ("red", "at", "says"),
    [
        ("{kind: red-3mm, resistor: none}", " at leds/red/resistor", ""),
        ("{kind: red-3mm, resistor: 0 ohm}", " at leds/red/resistor", ""),
        ("red-3mm", " (warning) at leds/red", " said, and no current to choose one for"),
        ("{kind: red-3mm, current: 5 mA}", "", ""),
        ("{kind: red-3mm, resistor: 330 ohm}", "", ""),
    ],
)
def test_an_led_with_nothing_before_it(red: str, at: str, says: str) -> None:
    """An error where the plan says so; one may still be chosen for a current that is said."""
    told = [f"missing-resistor{at}", f"red of HF1 has no resistor{says}", "tip 330 ohm gives 9.09 mA", LIT]
    assert found(red, "missing-resistor") == (told if at else [])


@pytest.mark.parametrize(("number", "each"), [(1, ""), (2, "360 ohm"), (3, "540 ohm")])
def test_leds_side_by_side_on_one_resistor(number: int, each: str) -> None:
    """So many times as much for each gives the same light."""
    told = [
        "shared-resistor (warning) at leds/red/resistor",
        f"the {number} LEDs of red of HF1 share one resistor, and not its current evenly",
        f"tip one of {each} for each LED gives the same light",
        "beside signals/HF1/lamps/1/red: and this",
    ]
    red = f"{{kind: red-3mm, leds: {number} parallel, resistor: 180 ohm shared}}"
    assert found(red, "shared-resistor") == (told if each else [])


@pytest.mark.parametrize(("volts", "told"), [("60 V", False), ("60.1 V", True)])
def test_extra_low_voltage_ends_at_sixty(volts: str, told: bool) -> None:  # noqa: FBT001
    """IEC 60335-1, 3.4.2: 60 V direct."""
    lines = full(f"{HEAD}supplies: {{lights: {{voltage: {volts}}}}}\n", rule="supply-not-extra-low")
    assert lines[1:2] == (["supply lights is 60.1 V, which is no extra-low voltage"] if told else [])


@pytest.mark.parametrize(("step", "told"), [("11.87 ms", True), ("11.88 ms", False), ("12 ms", False)])
def test_a_fade_may_step_as_fast_as_the_bus(step: str, told: bool) -> None:  # noqa: FBT001
    """Two boards of 594 clocks each at 100 kHz."""
    boards = ", ".join(f"{name}: {{kind: pwm-16, controller: east}}" for name in "AB")
    plan = f"{HEAD}controllers: {{east: {{bus: 100 kHz, step: {step}}}}}\nboards: {{{boards}}}\n"
    assert (full(plan, rule="slow-fade-step") != []) == told


WIRE = """boards: {A: {kind: sink-driver-8, supply: five, length: LENGTH, wire: 0.14 mm2, held-dark: true}}
supplies: {five: {voltage: 5 V}}
leds: {red: {kind: red-3mm, resistor: 160 ohm}, green: {kind: traffic-green-3mm, resistor: 100 ohm}}
signals:
  HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
  HF3: {form: position-light, lamps: {upper: A.2, lower: A.3}}
"""


@pytest.mark.parametrize(
    ("length", "lost", "left", "tip"),
    [
        ("99 m", "", "", ""),
        ("100 m", "504 mV", "5.98 mA", "0.25 mm2 loses 282 mV; or "),
        ("200 m", "1.01 V", "3.46 mA", "0.5 mm2 loses 282 mV; or "),
        ("2000 m", "10.1 V", "0 mA", ""),
    ],
)
def test_what_a_wire_loses_and_which_lamp_it_dims_most(length: str, lost: str, left: str, tip: str) -> None:
    """By NEM 604 0.0178 ohm mm2/m, out and back, and a tenth of 5 V at most.

    The driver keeps 0.95 V, so 0.85 V are left over the 100 ohm of a green LED of 3.2 V, and half of the loss is gone.
    """
    told = [
        "wire-drop (warning) at boards/A/wire",
        f"the wires to board A lose {lost} of 5 V at 19.8 mA, out and back",
        f"because what is lost in the return alone leaves green of HF1 {left} of 8.5 mA",
        f"tip {tip}bring the supply nearer, or give the board one of its own",
        "beside boards/A/length: one way",
    ]
    assert full(HEAD + WIRE.replace("LENGTH", length), rule="wire-drop") == (told if lost else [])


def overloaded(board: str, red: str) -> list[str]:
    """Return what is said of an output that lights red LEDs."""
    kind = board if "kind" in board else f"kind: pwm-16, {board}"
    plan = f"{HEAD}boards: {{A: {{supply: five, {kind}}}}}\nsupplies: {{five: {{voltage: 5 V}}}}\n"
    return full(f"{plan}leds: {{red: {{kind: red-3mm, {red}}}}}\n{STOP}", rule="output-overloaded")


GIVES = "tip 330 ohm keeps it at 9.7 mA at most; or common-anode heads on outputs that sink may take 25 mA; "
KEEPS = "tip 270 ohm keeps it at 9.26 mA at most"
BEHIND = "or behind a transistor the output gives 1 mA, and the LEDs count on their supply"
DRIVER = "A.1 of an 8-output sink driver on pins of a controller may take in 500 mA"
TAKES, CARRIES = "A.1 of a 16-output 12-bit PWM board may", "the NPN transistor below the LED at A.1 may carry 100 mA"


@pytest.mark.parametrize(
    ("board", "red", "told"),
    [
        ("drive: source", "resistor: 320 ohm", ()),  # (5 - 1.8) / 320 = 10 mA
        (
            "drive: source",
            "resistor: 310 ohm",
            (" (warning)", f"up to 10.3 mA, and {TAKES} give 10 mA", GIVES + BEHIND),
        ),
        (
            "drive: source",
            "resistor: 300 ohm",
            (" (warning)", f"up to 10.7 mA, and {TAKES} give 10 mA", GIVES + BEHIND),
        ),
        ("drive: source", "resistor: 290 ohm", ("", f"10.3 mA, and {TAKES} give 10 mA", GIVES + BEHIND)),
        ("drive: sink", "leds: 2 parallel, resistor: 256 ohm", ()),  # 2 x (5 - 1.8) / 256 = 25 mA
        (
            "drive: sink",
            "leds: 2 parallel, resistor: 255 ohm",
            (
                " (warning)",
                f"up to 25.1 mA, and {TAKES} take in 25 mA",
                f"tip 270 ohm keeps it at 11.9 mA at most; {BEHIND}",
            ),
        ),
        ("switch: npn-transistor", "leds: 5 parallel, resistor: 160 ohm", ()),  # 5 x 3.2 / 160 = 100 mA
        (
            "switch: npn-transistor",
            "leds: 10 parallel, resistor: 160 ohm",
            ("", f"181 mA, and {CARRIES}", "tip 330 ohm keeps it at 9.7 mA at most"),
        ),
        (
            "switch: npn-transistor",
            "leds: 7 parallel, resistor: 215 ohm",
            (" (warning)", f"up to 104 mA, and {CARRIES}", "tip 270 ohm keeps it at 11.9 mA at most"),
        ),
        ("kind: sink-driver-8", "leds: 50 parallel, resistor: 160 ohm", ("", f"641 mA, and {DRIVER}", KEEPS)),
    ],
)
def test_what_an_output_may_carry(board: str, red: str, told: tuple[str, str, str]) -> None:
    """By the data of the board, or of what switches for it; a warning where only the worst LEDs are too much."""
    level, takes, tip = told or ("", "", "")
    lines = [
        f"output-overloaded{level} at leds/red/resistor",
        f"red of HF1 takes {takes}",
        tip,
        "beside signals/HF1/lamps/1/red: and this",
    ]
    assert overloaded(board, red) == (lines if told else [])


MIXES = ["{red: 60 %, green: 100 %}", "{green: 100 %, red: 60 %}"]


@pytest.mark.parametrize(
    ("mix", "spoilt"),
    [(MIXES[0], True), (MIXES[1], True), ("{red: 60 %, blue: 100 %}", False), (f"{MIXES[0][:-1]}, blue: 1 %}}", False)],
)
@pytest.mark.parametrize(
    ("form", "lamps", "at"),
    [
        ("searchlight, installed: 1950", "{lens: {red: A.0, green: A.1, yellow: {mix: MIX}}}", "lens/yellow"),
        ("three-aspect", "[{green: A.0}, {yellow: {outputs: [A.1, A.2], mix: MIX}}, {red: A.3}]", "1/yellow"),
    ],
)
def test_a_mix_that_loses_a_part(form: str, lamps: str, at: str, mix: str, spoilt: bool) -> None:  # noqa: FBT001
    """Green is left of yellow, whichever stands first; of three colours two are left, which no rulebook names."""
    plan = f"{HEAD}boards: {{A: {{kind: pwm-16, frequency: 1526 Hz}}}}\n"
    plan += f"signals:\n  HF1: {{form: {form}, lamps: {lamps.replace('MIX', mix)}}}\n"
    lines = [
        f"unsafe-mix (warning) at signals/HF1/lamps/{at}",
        "HF1 would show clear for caution if the red LED of its mixed yellow failed",
        "tip an LED that is yellow by itself",
    ]
    assert full(plan, rule="unsafe-mix") == (lines if spoilt else [])
