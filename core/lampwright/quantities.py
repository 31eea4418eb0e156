"""Quantities with their units, held exactly: speeds, lengths, times and the electrical ones."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from msgspec import Struct

UNITS: dict[str, tuple[str, Fraction]] = {
    "m/s": ("speed", Fraction(1)),
    "km/h": ("speed", Fraction(5, 18)),
    "mph": ("speed", Fraction(1397, 3125)),
    "mm": ("length", Fraction(1, 1000)),
    "cm": ("length", Fraction(1, 100)),
    "m": ("length", Fraction(1)),
    "km": ("length", Fraction(1000)),
    "in": ("length", Fraction(254, 10000)),
    "ft": ("length", Fraction(3048, 10000)),
    "yd": ("length", Fraction(9144, 10000)),
    "mile": ("length", Fraction(1609344, 1000)),
    "miles": ("length", Fraction(1609344, 1000)),
    "chain": ("length", Fraction(201168, 10000)),
    "chains": ("length", Fraction(201168, 10000)),
    "ms": ("time", Fraction(1, 1000)),
    "s": ("time", Fraction(1)),
    "min": ("time", Fraction(60)),
    "m/s2": ("acceleration", Fraction(1)),
    "uA": ("current", Fraction(1, 1_000_000)),
    "mA": ("current", Fraction(1, 1000)),
    "A": ("current", Fraction(1)),
    "mV": ("voltage", Fraction(1, 1000)),
    "V": ("voltage", Fraction(1)),
    "mohm": ("resistance", Fraction(1, 1000)),
    "ohm": ("resistance", Fraction(1)),
    "kohm": ("resistance", Fraction(1000)),
    "Mohm": ("resistance", Fraction(1_000_000)),
    "mW": ("power", Fraction(1, 1000)),
    "W": ("power", Fraction(1)),
    "Hz": ("frequency", Fraction(1)),
    "kHz": ("frequency", Fraction(1000)),
    "MHz": ("frequency", Fraction(1_000_000)),
    "nm": ("wavelength", Fraction(1)),
    "mcd": ("intensity", Fraction(1, 1000)),
    "mm2": ("area", Fraction(1)),
    "%": ("share", Fraction(1, 100)),
}
"""Every unit: what it measures, and its size in the base unit (m/s, m, s, A, V, ohm, W, Hz, nm, cd, mm2)."""

KEPT = 4096
"""How many texts that were read are remembered."""
FRAMES = ("real", "model")
"""Words that may stand before a length or speed."""


class Quantity(Struct, frozen=True):
    """An exact amount in the base unit of what it measures; ``frame`` is ``real``, ``model`` or empty."""

    amount: Fraction
    measures: str
    text: str
    frame: str = ""

    def inside(self, unit: str) -> Fraction:
        """Return the amount in a unit of the same kind."""
        measures, size = UNITS[unit]
        if measures != self.measures:
            raise ValueError(f"{self.text} is a {self.measures}, and {unit} measures {measures}")
        return self.amount / size

    def __str__(self) -> str:
        """Return the quantity as it was written."""
        return self.text


def quantity(text: object, measures: str = "") -> Quantity:
    """Read ``60 mph``, ``1.2 m``, ``real 300 yd``; ``measures`` demands a kind.

    Raises ValueError saying what is wrong and what would have been right.
    """
    return _quantity(str(text).strip(), measures)


@lru_cache(maxsize=KEPT)
def _quantity(written: str, measures: str) -> Quantity:
    """Read a quantity; a plan says the same ones again and again."""
    first, _, rest = written.partition(" ")
    frame, body = (first, rest.strip()) if first in FRAMES else ("", written)
    number, _, unit = body.partition(" ")
    amount, unit = plain_number(number), unit.strip()
    if amount is None:
        raise ValueError(f"{written!r} does not begin with a number; expected {_sample(measures)}")
    if unit not in UNITS:
        slip = f"has no unit Lampwright knows ({unit})" if unit else "has no unit"
        raise ValueError(f"{written!r} {slip}; expected {_sample(measures)}")
    kind, size = UNITS[unit]
    if measures and kind != measures:
        raise ValueError(f"{written!r} is a {kind}; expected a {measures}, as in {_sample(measures)}")
    return Quantity(amount * size, kind, written, frame)


@lru_cache(maxsize=KEPT)
def plain_number(text: str) -> Fraction | None:
    """Return a plain decimal number exactly; None if the text is none."""
    digits = (text[1:] if text[:1] in "+-" else text).replace(".", "", 1)
    if not digits.isascii() or not digits.isdecimal() or len(text) > 30:  # noqa: PLR2004  (no length needs more digits)
        return None
    return Fraction(text)


def _sample(measures: str) -> str:
    """Return a quantity of a kind as it should be written."""
    samples = {"speed": "60 mph", "length": "1.2 m", "time": "8 s", "current": "10 mA", "voltage": "5 V"}
    return samples.get(measures, "a number, a space and a unit, as in 60 mph or 330 ohm")
