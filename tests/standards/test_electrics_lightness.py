"""Lightness against CIE e-ILV 17-23-076: how much light a level takes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lampwright_wiring.levels import duty, luminance

TABLE = """
0 0 0
1 0.00110706 5
5 0.00553528 23
8 0.00885645 36
10 0.01126020 46
20 0.02989052 122
25 0.04415477 181
30 0.06235906 255
40 0.11250974 461
50 0.18418652 754
60 0.28123334 1152
70 0.40749416 1669
75 0.48278104 1977
80 0.56681291 2321
90 0.76303354 3125
95 0.87618329 3588
99 0.97436024 3990
100 1 4095
"""
"""L*, Y, and round(4095 Y); worked out with the exact constants; colour-science 0.4.7 has 18.4186518512 for 50."""


@pytest.mark.parametrize("row", TABLE.strip().splitlines())
def test_light_for_a_lightness(row: str) -> None:
    """To eight places, and as a count of 12 bits."""
    lightness, share, count = row.split()
    found = luminance(Fraction(lightness))
    assert float(found) == pytest.approx(float(share), abs=6e-9)
    assert round(4095 * found) == int(count)


@pytest.mark.parametrize(
    ("share", "lightness"), [("0.01", 8.99144), ("0.18", 49.49611), ("0.5", 76.06926), ("0.75", 89.39299)]
)
def test_the_other_way(share: str, lightness: float) -> None:
    """116 x Y^(1/3) - 16 for these (e-ILV, verified), put in again."""
    assert float(luminance(Fraction(str(116 * float(share) ** (1 / 3) - 16)))) == pytest.approx(float(share), rel=1e-9)
    assert 116 * float(share) ** (1 / 3) - 16 == pytest.approx(lightness, abs=5e-6)


def test_the_two_parts_meet() -> None:
    """With the exact constants there is no step at 8; the rounded ones (0.008856, 903.3) make one (errata of pages)."""
    assert luminance(Fraction(8)) == Fraction(24, 116) ** 3
    assert Fraction(8) / Fraction("903.3") != Fraction(24, 116) ** 3
    assert Fraction(8) / Fraction("902.3") > Fraction(24, 116) ** 3  # one site's misprint of the inverse


def test_a_level_is_a_share_of_full_lightness() -> None:
    """60 % looks 60 % as light, and takes 28 % of the time; nothing beyond full or below dark."""
    assert duty(Fraction(3, 5)) == luminance(Fraction(60))
    assert [duty(Fraction(level)) for level in (2, -1)] == [1, 0]
