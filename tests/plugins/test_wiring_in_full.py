"""What findings on wiring say in full, where there are more than are shown."""

from __future__ import annotations

import pytest

from full_findings import full


@pytest.mark.parametrize(
    ("number", "rest"),
    [(2, []), (5, []), (6, ["because so has 1 more signal"]), (7, ["because so have 2 more signals"])],
)
def test_signals_of_one_address_are_one_finding(number: int, rest: list[str]) -> None:
    """At the second of them; the first and three more stand beside it, the others are counted."""
    names = [f"HF{one}" for one in range(1, number + 1)]
    signals = "".join(f"  {name}: {{form: three-aspect, address: 4}}\n" for name in names)
    found = full(f"plan: 1\nrulebook: gb-colour-light\nsignals:\n{signals}", rule="signal-address-clash")
    assert found[0] == "signal-address-clash at signals/HF2/address"
    assert found[1].endswith(f" {'both' if number == 2 else 'all'} have address 4")
    assert found[2:] == [
        *rest,
        "tip 5 is free",
        *(f"beside signals/{name}/address: and this one" for name in (names[0], *names[2:5])),
    ]


NAMES = """plan: 1
rulebook: gb-colour-light
controllers: {east: {kind: abacus}}
supplies: {five: {kind: abacus}}
boards: {A: {kind: abacus, switch: abacus, wire: string}, B: {kind: red-3mm, supply: five}}
leds: {red: abacus, green: {kind: abacus, resistor: 1 kohm}, yellow: charlieplexed}
stock: {leds: {abacus: 3}, boards: {abacus: 1, pwm16: 2, charlieplexed: 1}}
signals:
  HF1:
    form: three-aspect
    lamps: [{green: {output: A.0, led: abacus}}, {yellow: {output: A.1, switch: abacus}}, {red: A.2}]
    carries: {position-1: {output: A.3, led: abacus}, alphanumeric: {M: {output: A.4, led: abaci}, B: A.5}}
"""


def test_every_place_that_names_a_part_is_looked_at() -> None:
    """One name is one finding for each kind of part; three more places stand beside the first, keys as keys."""
    found = full(NAMES, rule="unknown-part")
    assert [line.partition(" are ")[0] for line in found] == [
        "unknown-part at boards/A/kind",
        "abacus is no kind of board that the parts data know",
        "tip the kinds of board",
        "beside stock/boards/abacus:: named here too",
        "unknown-part at boards/A/switch",
        "abacus is no kind of transistor or driver that the parts data know",
        "tip the transistors and drivers",
        "beside signals/HF1/lamps/1/yellow/switch: named here too",
        "unknown-part at boards/A/wire",
        "string is no size of wire that the parts data know",
        "tip a size is written as AWG 24 or 0.14 mm2",
        "unknown-part at boards/B/kind",
        "red-3mm is no kind of board that the parts data know",
        "tip it is a kind of LED",
        "unknown-part at controllers/east/kind",
        "abacus is no kind of controller that the parts data know",
        "tip the controllers",
        "unknown-part at supplies/five/kind",
        "abacus is no kind of supply that the parts data know",
        "tip the supplies",
        "unknown-part at leds/red",
        "abacus is no kind of LED that the parts data know",
        "tip the kinds of LED",
        "beside leds/green/kind: named here too",
        "beside signals/HF1/lamps/0/green/led: named here too",
        "beside signals/HF1/carries/position-1/led: named here too",
        "unknown-part at signals/HF1/carries/alphanumeric/M/led",
        "abaci is no kind of LED that the parts data know",
        "tip the kinds of LED",
        "unknown-part at stock/boards/pwm16:",
        "pwm16 is no kind of board that the parts data know",
        "tip did you mean pwm-16?",
    ]
    scanned = [line for line in full(NAMES, rule="scanned-wiring") if " at " in line]
    assert [line for line in scanned if line.startswith("scanned")] == [
        "scanned-wiring at leds/yellow",
        "scanned-wiring at stock/boards/charlieplexed:",
    ]


HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1990\nsupplies: {five: {voltage: 5 V}}\n"
STOP = "signals:\n  HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}\n"
GREEN = "green: {kind: traffic-green-3mm, resistor: 270 ohm}"


def board(said: str, leds: str = f"{{red: {{kind: red-3mm, resistor: 390 ohm}}, {GREEN}}}", signals: str = STOP) -> str:
    """Return a plan of a signal on one board, of which something is said besides."""
    told = f"{{A: {{supply: five, drive: sink, held-dark: true, {said}}}}}"
    return f"{HEAD}boards: {told}\nleds: {leds}\n{signals}"


@pytest.mark.parametrize(
    ("kind", "asked", "runs", "who"),
    [
        ("shift-register-8", "89 Hz", "89 Hz", "most people see"),
        ("shift-register-8", "90 Hz", "90 Hz", "cameras and some people see"),
        ("shift-register-8", "1249 Hz", "1249 Hz", "cameras and some people see"),
        ("shift-register-8", "1250 Hz", "", ""),
        ("pwm-16", "90 Hz", "89.76 Hz", "most people see"),
        ("pwm-16", "1250 Hz", "1221 Hz", "cameras and some people see"),
        ("pwm-16", "1526 Hz", "", ""),
    ],
)
def test_who_sees_flicker_at_the_edge(kind: str, asked: str, runs: str, who: str) -> None:
    """Most people up to 90 Hz (Lehman, Wilkins et al.); no limit from 1250 Hz (IEEE 1789-2015, memory).

    What counts is what a board makes of what is asked, 25 MHz / 4096 / a whole number; the tip is one of those.
    """
    leds = f"{{red: {{kind: red-3mm, resistor: 390 ohm, level: 50 %}}, {GREEN}}}"
    note = "" if who.startswith("cameras") else "warning"
    told = [
        f"visible-flicker ({note or 'note'}) at boards/A/frequency",
        f"board A runs at {runs}, at which {who} flicker of dimmed lamps",
        "tip 1526 Hz, the next it reaches" if kind == "pwm-16" else "tip 1250 Hz or more",
        "beside signals/HF1/lamps/1/red: dimmed",
    ]
    assert full(board(f"kind: {kind}, frequency: {asked}", leds)) == (told if who else [])


@pytest.mark.parametrize(
    ("asked", "level", "stands"),
    [
        ("200 Hz", "", ""),
        ("201 Hz", " (warning)", "may stand 200 Hz at most"),
        ("500 Hz", " (warning)", "may stand 200 Hz at most"),
        ("501 Hz", "", "need pulses of 1 to 2 ms"),
    ],
)
def test_how_often_a_servo_can_be_told(asked: str, level: str, stands: str) -> None:
    """Many stand 200 Hz; beyond 500 Hz a pulse of 2 ms does not fit (servo control, owiki.org)."""
    found = full(board(f"kind: shift-register-8, servos: [7], frequency: {asked}"))
    assert found[:1] == ([f"servo-out-of-time{level} at boards/A/frequency"] if stands else [])
    assert [line.partition("servos ")[2] for line in found[1:2]] == ([stands] if stands else [])


@pytest.mark.parametrize(
    ("asked", "reached"), [("23 Hz", False), ("24 Hz", True), ("1526 Hz", True), ("1527 Hz", False)]
)
def test_the_edges_of_what_a_board_reaches(asked: str, reached: bool) -> None:  # noqa: FBT001
    """24 Hz and 1526 Hz by the data sheet of its class."""
    assert (full(board(f"kind: pwm-16, frequency: {asked}"), rule="unreachable-frequency") == []) == reached


@pytest.mark.parametrize(
    ("red", "told"),
    [
        ("6 kohm", ""),
        ("6.01 kohm", "gets 0.499 mA, far less than it takes to be seen"),
        ("600 ohm, current: 10 mA", ""),
        ("601 ohm, current: 10 mA", "gets 4.99 mA, and is meant to have 10 mA"),
        ("10 kohm, current: 25 mA", "gets 0.3 mA, far less than it takes to be seen"),
        ("430 ohm, current: 20 mA", "gets 6.98 mA, and is meant to have 20 mA"),
    ],
)
def test_a_lamp_is_dark_below_an_edge(red: str, told: str) -> None:
    """3 V are left of 5 for the resistor. Below 0.5 mA, or half of what is meant, if the LED stands that (20 mA)."""
    found = full(board("kind: pwm-16, frequency: 1526 Hz", f"{{red: {{kind: red-3mm, resistor: {red}}}, {GREEN}}}"))
    assert [line for line in found if line.startswith("red of HF1 gets")] == ([f"red of HF1 {told}"] if told else [])


def pair(upper: str, lower: str, more: str = "") -> list[str]:
    """Return what is said of the light of a signal with two yellows, by 2.9 V over their resistors."""
    green = "{output: A.1, led: traffic-green-3mm, current: 5 mA}"
    yellows = [f"{{yellow: {{output: {output}, {said}}}}}" for output, said in (("A.0", upper), ("A.2", lower))]
    lamps = f"[{yellows[0]}, {{green: {green}}}, {yellows[1]}, {{red: A.3}}]"
    leds = "{yellow: yellow-3mm, red: {kind: red-3mm, resistor: 390 ohm}}"
    signals = f"signals:\n  HF1: {{form: four-aspect, lamps: {lamps}{more}}}\n"
    return full(board("kind: pwm-16, frequency: 1526 Hz", leds, signals), rule="unequal-brightness")


@pytest.mark.parametrize(
    ("upper", "lower", "differ"),
    [
        ("resistor: 500 ohm", "resistor: 400 ohm", ""),
        ("resistor: 500 ohm", "resistor: 399 ohm", "one has 1.25 times the light of the other"),
        ("resistor: 399 ohm", "resistor: 500 ohm", "one has 1.25 times the light of the other"),
        ("resistor: 500 ohm", "resistor: 500 ohm, level: 80 %", "one has 1.76 times the light of the other"),
        ("resistor: 500 ohm", "resistor: 500 ohm, level: 0 %", ""),
        (
            "resistor: 500 ohm",
            "resistor: 500 ohm, led: orange-3mm",
            "have different LEDs: yellow, 3 mm and orange, 3 mm",
        ),
    ],
)
def test_two_lamps_of_a_colour_may_differ_by_a_quarter(upper: str, lower: str, differ: str) -> None:
    """Common practice; a lamp that is never lit is not compared."""
    found = pair(upper, lower)
    assert found[1:2] == ([f"upper-yellow and lower-yellow of HF1 are lit together, and {differ}"] if differ else [])


@pytest.mark.parametrize(("level", "told"), [("8 %", False), ("8.1 %", True)])
def test_an_indicator_may_have_four_times_the_light(level: str, told: bool) -> None:  # noqa: FBT001
    """So far down light goes with the level, by CIE 1976: 2 % and 8 % are just four times."""
    lamp = "resistor: 500 ohm, level: 2 %"
    carries = f"{{output: A.5, led: warm-white-3mm, leds: 5 parallel, resistor: 1 kohm, level: {level}}}"
    found = pair(lamp, lamp, f", carries: {{position-1: {carries}}}")
    assert found == (
        [
            "unequal-brightness (note) at signals/HF1/carries/position-1",
            "position-1 of HF1 is set to 8.1 %, and its upper-yellow to 2 %: it has 4.05 times the light",
            "tip an indicator is to be seen beside the main aspect, not instead of it",
            "beside signals/HF1/lamps/0/yellow: the main aspect",
        ]
        if told
        else []
    )
