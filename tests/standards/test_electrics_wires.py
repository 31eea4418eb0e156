"""Wire against published tables and NEM 604."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from lampwright.findings import Basis
from lampwright_wiring.wires import drop, wire
from parts import parts

PER_1000_FEET = {18: 6.385, 20: 10.15, 22: 16.14, 24: 25.67, 26: 40.81, 28: 64.9, 30: 103.2, 32: 164.1, 36: 414.8}
"""Ohm at 20 degrees, hyperphysics wire gauge page (secondary)."""
FOOT = 0.3048


def metre(text: str) -> Fraction:
    """Return the ohm of one metre."""
    found = wire(parts(), text)
    assert found is not None
    return found[1]


@pytest.mark.parametrize("gauge", PER_1000_FEET)
def test_a_gauge_resists_what_a_published_table_has(gauge: int) -> None:
    """To the figures the table has."""
    assert float(metre(f"AWG {gauge}")) * 1000 * FOOT == pytest.approx(PER_1000_FEET[gauge], rel=2e-3)


@pytest.mark.parametrize("gauge", PER_1000_FEET)
def test_a_gauge_follows_the_formula(gauge: int) -> None:
    """ASTM B258-02: d = 0.127 mm x 92^((36 - n) / 39); IACS: 0.017241 ohm mm2/m at 20 degrees (secondary).

    Erratum: one copper page prints 20 degrees as 200.
    """
    area = math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2
    kind = parts().wire(f"awg-{gauge}")
    assert kind is not None
    assert kind.area is not None
    assert float(kind.area) == pytest.approx(area, rel=2e-3)
    assert float(metre(f"AWG {gauge}")) == pytest.approx(0.017241 / area, rel=2e-3)


DROPS = [
    ("AWG 24", "5", "0.5", 0.421),
    ("AWG 22", "5", "1", 0.530),
    ("AWG 28", "2", "0.02", 0.017),
    ("AWG 26", "3", "0.32", 0.257),
    ("AWG 20", "10", "1", 0.666),
    ("0.14 mm2", "5", "0.5", 0.636),
]


@pytest.mark.parametrize(("size", "length", "current", "volts"), DROPS)
def test_drops_out_and_back(size: str, length: str, current: str, volts: float) -> None:
    """Worked out: 2 x L x I x R'; the last by NEM 604's 0.0178 ohm mm2/m."""
    assert float(drop(metre(size), Fraction(length), Fraction(current))) == pytest.approx(volts, abs=0.0006)


@pytest.mark.parametrize(("size", "total"), [("0.14 mm2", 7.865), ("0.5 mm2", 28.09)])
def test_nem_604_the_other_way_round(size: str, total: float) -> None:
    """MOROP NEM 604, 2013, p. 1 (verified): l = dU / I x A / rho, and l is out and back together, which is the trap."""
    one_way = Fraction(1) / (2 * metre(size))
    assert float(2 * one_way) == pytest.approx(total, abs=0.005)
    found = wire(parts(), size)
    assert found is not None
    assert found[0].why("resistance").basis is Basis.VERIFIED


@pytest.mark.parametrize("text", ["green", "AWG 23", "0 mm2", "mm2", "", "0.14"])
def test_what_is_no_size_of_wire(text: str) -> None:
    """A wire may be told by its colour; then nothing is known of it."""
    assert wire(parts(), text) is None
