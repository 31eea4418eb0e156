"""Findings on wiring that tell of several things: which of them is pointed at, how many are shown, who is named."""

from __future__ import annotations

import pytest

from full_findings import full

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1990\n"


@pytest.mark.parametrize(
    ("boards", "of", "names", "shown"),
    [("AB", "", "A and B are both", "A"), ("ABCDE", " of east", "A, B, C, D and E are all", "ABC")],
)
def test_boards_of_one_address(boards: str, of: str, names: str, shown: str) -> None:
    """The last is told to move; three of the others stand beside it."""
    said = "address: 0x40" + (", controller: east" if of else "")
    told = ", ".join(f"{name}: {{kind: pwm-16, {said}}}" for name in boards)
    assert full(f"{HEAD}controllers: {{east: {{}}}}\nboards: {{{told}}}\n") == [
        f"board-address-clash at boards/{boards[-1]}/address",
        f"{names} at 0x40{of}",
        "tip 0x41 is free",
        *(f"beside boards/{name}/address: and here" for name in shown),
    ]


@pytest.mark.parametrize(
    ("address", "reason"),
    [
        ("0x3F", "it can be set to 0x40 to 0x7F"),
        ("0x40", ""),
        ("0x70", "all boards of the kind answer to it at power-up"),
        ("0x77", ""),
        ("0x78", "the bus keeps it for other uses"),
        ("0x80", "it can be set to 0x40 to 0x7F"),
    ],
)
def test_an_address_that_a_board_cannot_have(address: str, reason: str) -> None:
    """Six pins, one address for all, and what the bus keeps, by the data sheet of its class."""
    found = [
        "forbidden-address at boards/A/address",
        f"board A is at {address}, which it must not be: {reason}",
        "tip free to use are 0x40 to 0x6F and 0x71 to 0x77",
        "beside boards/pwm-16/addresses: 16-output 12-bit PWM board",
    ]
    told = full(f"{HEAD}boards: {{A: {{kind: pwm-16, address: {address}}}}}\n", rule="forbidden-address")
    assert told == (found if reason else [])


CIRCLES = [
    ({"A": "A"}, "A comes after itself", ""),
    ({"A": "C", "B": "A", "C": "B"}, "A comes after C, which comes after B, which comes after A", "CB"),
]


@pytest.mark.parametrize(("after", "told", "on"), CIRCLES)
def test_a_chain_in_a_circle(after: dict[str, str], told: str, on: str) -> None:
    """Told once, at the first of its boards, with the others in the order of the chain."""
    boards = ", ".join(f"{name}: {{kind: shift-register-8, after: {before}}}" for name, before in after.items())
    assert full(f"{HEAD}boards: {{{boards}}}\n", rule="impossible-chain") == [
        "impossible-chain at boards/A/after",
        told,
        "tip the first board of a chain comes after none, and names its controller",
        *(f"beside boards/{name}/after: and on" for name in on),
    ]


@pytest.mark.parametrize(("of", "told"), [("west", True), ("east", False), ("wset", False)])
def test_a_chain_over_two_controllers(of: str, told: bool) -> None:  # noqa: FBT001
    """Of a controller that nobody knows something else is told."""
    boards = (
        f"A: {{kind: shift-register-8, controller: east}}, B: {{kind: shift-register-8, controller: {of}, after: A}}"
    )
    found = [
        "impossible-chain at boards/B/after",
        "board B of west comes after A of east",
        "tip a chain hangs on one controller: only its first board names it",
        "beside boards/A: the board before it",
    ]
    plan = f"{HEAD}controllers: {{east: {{}}, west: {{}}}}\nboards: {{{boards}}}\n"
    assert full(plan, rule="impossible-chain") == (found if told else [])


def test_an_output_of_many_lamps_is_one_finding() -> None:
    """At the second of them; the first and two more stand beside it."""
    signals = "".join(
        f"  HF{number}: {{form: two-aspect-stop, lamps: [{{green: A.{number}}}, {{red: A.0}}]}}\n"
        for number in range(1, 6)
    )
    assert full(f"{HEAD}boards: {{A: {{kind: pwm-16}}}}\nsignals:\n{signals}", rule="output-used-twice") == [
        "output-used-twice at signals/HF2/lamps/1/red",
        "A.0 lights red of HF1, red of HF2, red of HF3, red of HF4 and red of HF5, which are not always lit together",
        "tip A.6, A.7, A.8, A.9 and 6 more are free",
        *(f"beside signals/HF{number}/lamps/1/red: and here" for number in (1, 3, 4)),
    ]


@pytest.mark.parametrize(
    ("more", "tip"),
    [
        ("", "A.4, A.5, A.6 and A.7 are free"),
        ("position-1: A.4", "A.5, A.6 and A.7 are free"),
        ("position-1: A.4, position-2: A.5, position-3: A.6", "A.7 is free"),
        ("position-1: A.4, position-2: A.5, position-3: A.6, position-4: A.7", "board A has no output left"),
    ],
)
def test_what_is_free_on_a_board(more: str, tip: str) -> None:
    """Said of as many as there are."""
    lamps = "[{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]"
    plan = f"{HEAD}boards: {{A: {{kind: shift-register-8}}}}\nsignals:\n  HF1: {{form: red, lamps: {{red: A.8}}}}\n"
    plan += f"  HF3: {{form: four-aspect, lamps: {lamps}, carries: {{{more}}}}}\n"
    found = full(plan.replace("form: red, ", ""), rule="output-out-of-range")
    assert [line for line in found if line.startswith("tip")] == [f"tip {tip}"]


def test_lamps_without_an_output() -> None:
    """At the first of them, three more beside it; of a signal that is built it is an error."""
    signal = "lamps: [yellow, green, yellow, {red: A.0}], carries: [position-1, position-2]"
    plan = f"{HEAD}boards: {{A: {{kind: pwm-16}}}}\nsignals:\n  HF1: {{form: four-aspect, {signal}}}\n"
    beside = ("lamps/1", "lamps/2", "carries/0")
    found = [
        "unwired-lamp (warning) at signals/HF1/lamps/0",
        "upper-yellow, green, lower-yellow, position-1 and position-2 of HF1 have no output, and other lamps of it do",
        "tip A.1, A.2, A.3, A.4 and 11 more are free",
        *(f"beside signals/HF1/{place}: nor has this one" for place in beside),
    ]
    assert full(plan, rule="unwired-lamp") == found
    built = full(plan.replace("four-aspect, ", "four-aspect, stage: built, "), rule="unwired-lamp")
    assert built == ["unwired-lamp at signals/HF1/lamps/0", *found[1:]]


def test_heads_the_wrong_way_round_on_two_boards() -> None:
    """Boards that can only take in light nothing there; a lamp that says its own way is told by itself."""
    plan = (
        f"{HEAD}boards: {{A: {{kind: power-shift-register-8}}, B: {{kind: sink-driver-8}}}}\nsignals:\n"
        "  HF1: {form: two-aspect-stop, wiring: common-cathode, lamps: [{green: A.0}, {red: B.1}]}\n"
        "  HF3: {form: two-aspect-stop, lamps: [{green: A.1}, {red: {output: A.2, wiring: common-cathode}}]}\n"
    )
    tip = "tip a common-anode head, or a board that can source"
    assert full(plan, rule="wrong-polarity") == [
        "wrong-polarity (note) at signals/HF1/wiring",
        "HF1 is common-cathode, and the outputs of A and B take current in: its lamps can never be lit",
        tip,
        "beside boards/A:: drives by sink",
        "beside boards/B:: drives by sink",
        "wrong-polarity (note) at signals/HF3/lamps/1/red/wiring",
        "red of HF3 is common-cathode, and the outputs of A take current in: its lamps can never be lit",
        tip,
        "beside boards/A:: drives by sink",
    ]


@pytest.mark.parametrize(
    ("said", "head", "does", "tip", "why"),
    [
        ("drive: source", "anode", "give current", "`drive: sink` for board A, or a common-cathode head", "drive"),
        ("drive: sink", "cathode", "take current in", "`drive: source` for board A, or a common-anode head", "drive"),
        ("switch: npn-transistor", "cathode", "take current in", "a common-anode head, or a board that can source",
         "switch"),
        ("drive: source", "cathode", "", "", ""),
        ("drive: sink", "anode", "", "", ""),
    ],
)  # fmt: skip
def test_a_head_against_its_board(said: str, head: str, does: str, tip: str, why: str) -> None:
    """A common anode wants outputs that take current in, a common cathode such as give it (common practice)."""
    lamps = "[{green: A.0}, {red: A.1}]"
    plan = f"{HEAD}boards: {{A: {{kind: pwm-16, {said}}}}}\nsignals:\n"
    plan += f"  HF1: {{form: two-aspect-stop, wiring: common-{head}, lamps: {lamps}}}\n"
    drives = "source" if does == "give current" else "sink"
    found = [
        "wrong-polarity at signals/HF1/wiring",
        f"HF1 is common-{head}, and the outputs of A {does}: its lamps would be lit when they should be dark",
        f"tip {tip}",
        f"beside boards/A/{why}: drives by {drives}",
    ]
    assert full(plan, rule="wrong-polarity") == (found if does else [])


SIX = [f"position-{number}" for number in range(1, 7)]


@pytest.mark.parametrize(
    ("carried", "told", "at", "beside"),
    [
        (["position-1: A.1"], "position-1 of HF1 has 5 lights, and counts as one LED", "position-1", []),
        (
            [f"{name}: A.{output}" for output, name in enumerate(SIX)],
            f"{', '.join(SIX[:5])} and {SIX[5]} of HF1 have 5 lights each, and count as one LED each",
            "position-1",
            ["position-2", "position-3", "position-4"],
        ),
        (["position-1: {output: A.1, leds: 1}", "position-4: {output: A.2, leds: 5 parallel}"], "", "", []),
        (["alphanumeric: {M: A.1}"], "", "", []),
    ],
)
def test_lights_of_an_indicator_that_nobody_counted(carried: list[str], told: str, at: str, beside: list[str]) -> None:
    """Five in a row for a junction, by the rulebook; one LED is said to light them all, or five."""
    plan = f"{HEAD}boards: {{A: {{kind: pwm-16, supply: five}}}}\nsupplies: {{five: {{voltage: 5 V}}}}\n"
    plan += "leds: {white: {kind: warm-white-3mm, resistor: 1 kohm}}\n"
    plan += f"signals:\n  HF1: {{form: three-aspect, carries: {{{', '.join(carried)}}}}}\n"
    found = [
        f"uncounted-lights (warning) at signals/HF1/carries/{at}",
        told,
        "tip say `leds: 5 parallel` or `5 series`; `leds: 1` where one LED lights all of it",
        *(f"beside signals/HF1/carries/{name}: and this one" for name in beside),
        "beside indicators/junction/lamps: the lights it has",
    ]
    assert full(plan, rule="uncounted-lights") == (found if told else [])
