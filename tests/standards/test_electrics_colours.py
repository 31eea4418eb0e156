"""Wavelengths of signal colours, worked out again from published limits and the spectral locus.

The locus stands in ``spectral_locus.csv``, made once with colour-science; the limits are typed from the sources named.
"""

from __future__ import annotations

from bisect import bisect_left
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from lampwright.findings import Level
from parts import parts
from support import findings_of

if TYPE_CHECKING:
    from collections.abc import Callable

    Limits = Callable[[float, float], bool]


def locus() -> list[tuple[int, float, float]]:
    """Return wavelength, x and y of one-coloured light."""
    text = Path(__file__).with_name("spectral_locus.csv").read_text(encoding="utf-8")
    rows = (line.split(",") for line in text.splitlines() if line[:1].isdecimal())
    return [(int(nm), float(x), float(y)) for nm, x, y in rows]


LOCUS = locus()
TINY = 1e-9


def at(nm: float) -> tuple[float, float]:
    """Return x and y of a wavelength, straight between whole ones."""
    index = min(bisect_left(LOCUS, (nm,)), len(LOCUS) - 1)
    (low, x0, y0), (high, x1, y1) = LOCUS[max(index - 1, 0)], LOCUS[index]
    share = (nm - low) / (high - low) if high != low else 0
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)


def inside(limits: Limits) -> tuple[float, float]:
    """Return the first and last wavelength, in tenths of a nanometre, whose light lies within limits."""
    tenths = [nm / 10 for nm in range(4410, 7001) if limits(*at(nm / 10))]
    return tenths[0], tenths[-1]


def polygon(*corners: tuple[float, float]) -> Limits:
    """Return the area within corners, given in the order of the ring."""

    def within(x: float, y: float) -> bool:
        pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
        sides = [(x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) for (x0, y0), (x1, y1) in pairs]
        return all(side >= -TINY for side in sides) or all(side <= TINY for side in sides)

    return within


SETS: dict[tuple[str, str], Limits] = {
    # ICAO Annex 14 appendix 1 (CIE 1983), as carried in ECAR 139 appendix 1 (verified; senses worked out)
    ("red", "icao"): lambda x, y: y >= 0.980 - x and y <= 0.335,
    ("yellow", "icao"): lambda x, y: y >= 0.382 and y >= 0.790 - 0.667 * x and y <= x - 0.120,
    ("green", "icao"): lambda x, y: x <= 0.360 - 0.080 * y and x <= 0.650 * y and y >= 0.390 - 0.171 * x,
    ("blue", "icao"): lambda x, y: y <= 0.805 * x + 0.065 and y <= 0.400 - x and x <= 0.600 * y + 0.133,
    # CIE 1994 (CIE 107), three colours, as in LRC's comparison of LED traffic signals (secondary; signs worked out)
    ("red", "cie-1994"): lambda x, y: 0.290 <= y <= 0.300 and y >= 0.980 - x,
    ("yellow", "cie-1994"): lambda x, y: x - 0.206 <= y <= x - 0.151 and y >= 0.980 - x,
    ("green", "cie-1994"): lambda x, y: y <= 0.726 - 0.726 * x and x <= 0.625 * y - 0.041 and y >= 0.500 - 0.500 * x,
    # CIE 1980, traffic: the same table
    ("red", "traffic-1980"): lambda x, y: 0.290 <= y <= 0.320 and y >= 0.980 - x,
    ("yellow", "traffic-1980"): lambda x, y: y >= 0.382 and y >= 0.790 - 0.667 * x and y <= x - 0.120,
    ("green", "traffic-1980"): lambda x, y: y <= 0.726 - 0.726 * x and x <= 0.625 * y and y >= 0.390 - 0.171 * x,
    # 33 CFR 84.13, CIE 2.2-1975 (verified). The corners of red are printed out of order: this is the ring
    ("red", "cie-1975"): polygon((0.680, 0.320), (0.660, 0.320), (0.721, 0.259), (0.735, 0.265)),
    ("yellow", "cie-1975"): polygon((0.612, 0.382), (0.618, 0.382), (0.575, 0.425), (0.575, 0.406)),
}


@pytest.mark.parametrize(("colour", "name"), SETS)
def test_wavelengths_within_a_set_of_limits(colour: str, name: str) -> None:
    """To the tenth, but for the far red, where the locus hardly moves any more."""
    kind = parts().colour(colour)
    assert kind is not None
    least, most = (float(nm) for nm in kind.ranges[name])
    first, last = inside(SETS[colour, name])
    assert first == pytest.approx(least, abs=0.25)
    assert last == pytest.approx(most, abs=0.25) or (most == 700 and last > 690)


def test_the_order_of_corners_matters() -> None:
    """33 CFR 84.13 prints the corners of red so that they cross: as printed they enclose less than they should."""
    printed = polygon((0.680, 0.320), (0.660, 0.320), (0.735, 0.265), (0.721, 0.259))
    x, y = at(625)
    assert not printed(x, y)
    assert SETS["red", "cie-1975"](x, y)


def test_straight_corners_cut_off_the_green_that_signals_have() -> None:
    """The chord between corners leaves out pure 500 to 508 nm, which bulge beyond it: no set to judge by alone."""
    green = polygon((0.028, 0.385), (0.009, 0.723), (0.300, 0.511), (0.203, 0.356))
    assert not green(*at(504))


@pytest.mark.parametrize(("nm", "x", "y"), [(505, 0.0039, 0.6548), (590, 0.5752, 0.4242), (625, 0.7006, 0.2993)])
def test_points_of_the_locus(nm: int, x: float, y: float) -> None:
    """CIE 1931 2 degree observer; worked out with colour-science 0.4.7."""
    assert at(nm) == pytest.approx((x, y), abs=6e-5)


PLAN = """
plan: 1
rulebook: gb-colour-light
boards: {{A: {{kind: pwm-16, supply: five}}}}
supplies: {{five: {{voltage: 5 V}}}}
leds: {{{colour}: {{kind: {kind}, resistor: 330 ohm}}}}
signals: {{HF1: {{form: three-aspect, lamps: [{{green: A.0}}, {{yellow: A.1}}, {{red: A.2}}]}}}}
"""
JUDGED = [
    ("red", "red-3mm", None, "620 to 632 nm: CIE 1975 and ICAO take it"),
    ("yellow", "yellow-3mm", None, "588 to 592 nm: traffic limits and ICAO"),
    ("green", "traffic-green-3mm", None, "500 to 508 nm: all"),
    ("green", "green-3mm", Level.NOTE, "520 to 530 nm: ICAO alone"),
    ("green", "green-3mm-gap", Level.WARNING, "565 to 574 nm: none"),
    ("yellow", "orange-3mm", Level.ERROR, "600 to 610 nm lie between yellow and red, where nothing should be"),
    ("red", "orange-3mm", Level.ERROR, "the same"),
    ("green", "blue-3mm", Level.ERROR, "another colour altogether"),
]


@pytest.mark.parametrize(("colour", "kind", "level", "why"), JUDGED)
def test_leds_are_judged_by_the_sets_that_take_them(colour: str, kind: str, level: Level | None, why: str) -> None:
    """Worked out for LED-like sources in the same way."""
    found = [one for one in findings_of(PLAN.format(colour=colour, kind=kind)) if one.rule == "wrong-led-colour"]
    assert [one.level for one in found] == ([level] if level else []), why
