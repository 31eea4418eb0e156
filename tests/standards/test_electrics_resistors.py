"""Series resistors against published examples, preferred numbers against IEC 60063, all by exact arithmetic.

A published figure is ``secondary`` (as the page named prints it); each verdict on it is worked out here.
"""

from __future__ import annotations

import re
from fractions import Fraction

import eseries
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright_wiring import sizing
from parts import lamp_of, parts, wiring_of

SERIES = {"E3": eseries.E3, "E6": eseries.E6, "E12": eseries.E12, "E24": eseries.E24}
SERIES |= {"E48": eseries.E48, "E96": eseries.E96, "E192": eseries.E192}


def there(series: str) -> tuple[Fraction, ...]:
    """Return the resistances of a series."""
    return sizing.of_series(sizing.numbers(parts(), series))


def chosen(supply: str, forward: str, current: str, series: str) -> Fraction:
    """Return the resistor for a supply and LED in volts and a current in mA."""
    exact = sizing.needed(Fraction(supply), Fraction(forward), Fraction(current) / 1000)
    found = sizing.next_up(exact, there(series))
    assert found is not None
    return found


@pytest.mark.parametrize("series", SERIES)
def test_preferred_numbers_are_those_of_iec_60063(series: str) -> None:
    """IEC 60063, as PyPI's eseries 1.2.1 has it (verified there, and against the formula)."""
    assert list(sizing.numbers(parts(), series)) == list(eseries.series(SERIES[series]))


def test_the_older_series_leave_the_formula_in_eight_places() -> None:
    """Worked out: round(10^(i/24)) differs from E24 in eight numbers, so that they must be tabulated."""
    made = [round(10 * 10 ** (index / 24)) for index in range(24)]
    differ = {(by, real) for by, real in zip(made, sizing.numbers(parts(), "E24"), strict=True) if by != real}
    assert differ == {(26, 27), (29, 30), (32, 33), (35, 36), (38, 39), (42, 43), (46, 47), (83, 82)}


@pytest.mark.parametrize("slip", ["7.2", "4.2"])
def test_two_slips_of_published_lists_are_not_in_ours(slip: str) -> None:
    """Errata: one web list has 7.2 for 7.5 in E24, another 4.2 for 4.3."""
    assert Fraction(slip) not in there("E24")


def test_a_slip_of_a_published_list_of_e96_is_not_in_ours() -> None:
    """Erratum: the same web list has 2.77 for 2.67."""
    assert Fraction("2.77") not in there("E96")
    assert Fraction("2.67") in there("E96")


PUBLISHED = [
    ("9", "2.0", "20", "E12", 390, 'tutorial "Calculating LEDs resistor value": 350 -> 390'),
    ("9", "2.0", "20", "E24", 360, "the same, worked out for E24"),
    ("9", "2.0", "15", "E12", 470, "electronicszone.pro: 466 -> 470"),
    ("9", "2.0", "15", "E24", 470, "the same for E24"),
    ("5", "3.2", "10", "E12", 180, "electronicszone.pro: an exact hit must not go up"),
    ("9", "3.6", "20", "E12", 270, "a tutorial page: an exact hit"),
    ("9", "3.0", "20", "E24", 300, "instructables.com: exact"),
    ("9", "3.0", "20", "E12", 330, "the same for E12"),
    ("9", "1.8", "5", "E12", 1500, 'encyclopaedia "LED circuit": 1440 -> 1500'),
    ("5", "1.2", "20", "E24", 200, "opencircuits wiki: 190 is right and not in E24"),
    ("3.3", "0", "25", "E12", 150, "a microcontroller forum, output short to ground: 132 -> 150"),
    ("3.3", "0", "10", "E12", 330, "the same"),
]


@pytest.mark.parametrize(("supply", "forward", "current", "series", "ohms", "source"), PUBLISHED)
def test_a_published_example(  # noqa: PLR0913, PLR0917  (a row of the table)
    supply: str, forward: str, current: str, series: str, ohms: int, source: str
) -> None:
    """The next value up, as tutorials have it, so that the current comes out no higher than meant."""
    assert chosen(supply, forward, current, series) == ohms, source


ERRATA = [
    ("12", "1.8", "5", 2000, 2200, 'encyclopaedia "LED circuit" rounds 2040 down to 2 kohm'),
    ("9", "2.0", "20", 330, 390, "genbays.com rounds 350 down to 330"),
]


@pytest.mark.parametrize(("supply", "forward", "current", "printed", "right", "page"), ERRATA)
def test_what_two_pages_round_the_wrong_way(  # noqa: PLR0913, PLR0917  (a row of the table)
    supply: str, forward: str, current: str, printed: int, right: int, page: str
) -> None:
    """Documented exceptions: they let more current through than was asked for."""
    led, aim = Fraction(supply) - Fraction(forward), Fraction(current) / 1000
    assert led / printed > aim, page
    assert chosen(supply, forward, current, "E12") == right
    assert led / right <= aim


TABLE = """
2 1.8: 620 750 1600 5100
2 2.1: 470 620 1500 5100
20 1.8: 68 75 160 560
20 2.1: 47 62 150 510
"""
"""Wiki page "LED notes" (secondary): mA and V, then ohm at 3.0, 3.3, 5 and 12 V. The page heads the last column
10 V; its numbers are those of 12 V, which is an erratum of the heading."""
PRINTED_OTHERWISE = {("3.0", "1.8", "20"): 62, ("12", "1.8", "20"): 510}
"""The two cells of it that exact rounding up does not give: 60.0 -> 62 (printed 68), 510.0 -> 510 (printed 560)."""


def test_a_published_table_but_for_two_cells() -> None:
    """Fourteen of sixteen cells follow; the two others are errata, by name."""
    differ = {}
    for line in TABLE.strip().splitlines():
        current, forward, *cells = re.findall(r"[0-9.]+", line)
        for supply, printed in zip(("3.0", "3.3", "5", "12"), cells, strict=True):
            found = chosen(supply, forward, current, "E24")
            if found != int(printed):
                differ[supply, forward, current] = found
    assert differ == PRINTED_OTHERWISE


WORKED = """
5 2.0 2 1500 2.000 6.00 1500 2.000 6.00 1/16
5 2.0 5 680 4.412 13.24 620 4.839 14.52 1/16
5 2.0 10 330 9.091 27.27 300 10.000 30.00 1/16
5 2.0 20 150 20.000 60.00 150 20.000 60.00 1/8
5 2.1 10 330 8.788 25.48 300 9.667 28.03 1/16
5 2.2 10 330 8.485 23.76 300 9.333 26.13 1/16
5 3.2 2 1000 1.800 3.24 910 1.978 3.56 1/16
5 3.2 5 390 4.615 8.31 360 5.000 9.00 1/16
5 3.2 10 180 10.000 18.00 180 10.000 18.00 1/16
3.3 2.0 5 270 4.815 6.26 270 4.815 6.26 1/16
3.3 2.0 10 150 8.667 11.27 130 10.000 13.00 1/16
3.3 3.2 5 22 4.545 0.45 20 5.000 0.50 1/16
9 2.0 20 390 17.949 125.64 360 19.444 136.11 1/2
9 2.0 15 470 14.894 104.26 470 14.894 104.26 1/4
12 1.8 5 2200 4.636 47.29 2200 4.636 47.29 1/10
12 2.0 10 1000 10.000 100.00 1000 10.000 100.00 1/4
12 2.0 20 560 17.857 178.57 510 19.608 196.08 1/2
12 3.2 10 1000 8.800 77.44 910 9.670 85.10 1/4
12 6.0 10 680 8.824 52.94 620 9.677 58.06 1/8
16 2.0 10 1500 9.333 130.67 1500 9.333 130.67 1/2
"""
"""Worked out by exact fractions: V, V, mA, then ohm, mA, mW for E12 and for E24, and the rating in W for E12."""
RATINGS = [Fraction(1, n) for n in (16, 10, 8, 4, 2, 1)]


@pytest.mark.parametrize("row", WORKED.strip().splitlines())
def test_a_worked_example(row: str) -> None:
    """Resistor, current and heat, and a rating of at least twice the heat (secondary: utilitiesbunker.com)."""
    supply, forward, current, *cells, rating = row.split()
    for series, (ohms, milliamps, milliwatts) in (("E12", cells[:3]), ("E24", cells[3:])):
        resistor = chosen(supply, forward, current, series)
        across = Fraction(supply) - Fraction(forward)
        heat = across**2 / resistor
        assert resistor == int(ohms)
        assert f"{float(across / resistor * 1000):.3f}" == milliamps
        assert f"{float(heat * 1000):.2f}" == milliwatts
        if series == "E12":
            assert min(one for one in RATINGS if one >= 2 * heat) == Fraction(rating)


TRAPS = [("5", "2.3", "15", 180, 200), ("9", "3.6", "15", 360, 390), ("12", "2.7", "15", 620, 680)]


@pytest.mark.parametrize(("supply", "forward", "current", "right", "trapped"), TRAPS)
def test_binary_floats_would_go_one_value_too_high(
    supply: str, forward: str, current: str, right: int, trapped: int
) -> None:
    """Worked out: (5 - 2.3) / 0.015 is 180.00000000000003 in binary, and the oracle walks into it too."""
    naive = (float(supply) - float(forward)) / (float(current) / 1000)
    assert naive > right
    assert eseries.find_greater_than_or_equal(eseries.E24, naive) == trapped
    assert chosen(supply, forward, current, "E24") == right


@given(st.sampled_from(list(SERIES)), st.integers(min_value=1, max_value=4_000_000))
def test_the_next_value_up_is_the_oracles(series: str, ohms: int) -> None:
    """PyPI's eseries, fed whole numbers so that no float comes in."""
    expected = eseries.find_greater_than_or_equal(SERIES[series], ohms)
    assert float(sizing.next_up(Fraction(ohms), there(series)) or 0) == pytest.approx(expected, rel=1e-9)


RED = """
plan: 1
rulebook: gb-colour-light
boards: {A: {kind: pwm-16, supply: five, drive: sink, resistor: 220 ohm}}
supplies: {five: {voltage: 5 V}}
leds: {red: {kind: red-3mm, MORE}}
signals: {HF1: {form: three-aspect, lamps: [green, yellow, {red: A.0}]}}
"""


def test_a_resistor_on_the_board_counts() -> None:
    """Worked out: 220 ohm on the board alone gives a red LED 13.64 mA; for 5 mA it takes 390 ohm more, and gives 4.918.

    One forum measured 12.5 mA at such a board, which fits (secondary; the fit is worked out).
    """
    bare = lamp_of(wiring_of(RED.replace("MORE", "resistor: none")), "HF1 red").feeds[0].draw
    aimed = lamp_of(wiring_of(RED.replace("MORE", "current: 5 mA")), "HF1 red").feeds[0].draw
    assert bare.each is not None
    assert bare.each.typical == Fraction(3, 220)
    assert aimed.resistor.ohms == 390
    assert aimed.each is not None
    assert aimed.each.typical == Fraction(3, 610)


DRIVER = """
plan: 1
rulebook: gb-colour-light
boards: {A: {kind: sink-driver-8, supply: five}}
supplies: {five: {voltage: 5 V}}
leds: {green: {kind: green-3mm, current: 10 mA}}
stock: {resistors: E24}
signals: {HF1: {form: three-aspect, lamps: [{green: A.0}, yellow, red]}}
"""


def test_what_a_sink_driver_keeps_is_taken_off_first() -> None:
    """Worked out: 5 V, 3.2 V, 0.95 V lost in a Darlington array (memory), 10 mA: 85 ohm, so 91 ohm of E24."""
    draw = lamp_of(wiring_of(DRIVER), "HF1 green").feeds[0].draw
    assert draw.resistor.ohms == 91
    assert draw.each is not None
    assert draw.each.typical == Fraction("0.85") / 91
    assert draw.each.least == 0  # at 3.5 V and 1.6 V lost there is nothing left to light it with
