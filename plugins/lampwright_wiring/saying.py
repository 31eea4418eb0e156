"""Amounts and lamps as messages name them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterable
    from fractions import Fraction

    from lampwright_wiring.model import WiredLamp

SMALLER = {"A": "mA", "V": "mV", "W": "mW"}
THOUSAND = 1000
LARGER = {"ohm": ("ohm", "kohm", "Mohm"), "Hz": ("Hz", "kHz", "MHz")}
CAUTION = (
    "extra-low voltage only: a listed supply, a fuse in every branch, local codes followed, mains work left to those "
    "licensed for it"
)
"""What stands with everything that is said about electrics."""


def amps(value: Fraction, digits: int = 3) -> str:
    """Return a current: ``9.09 mA``, ``1.2 A``."""
    return _small(value, "A", digits)


def volts(value: Fraction) -> str:
    """Return a voltage: ``5 V``, ``450 mV``."""
    return f"{number(value)} V" if value >= 1 or value == 0 else _small(value, "V")


def watts(value: Fraction) -> str:
    """Return a power: ``0.25 W``, ``60 mW``."""
    return f"{number(value)} W" if value * 10 >= 1 else _small(value, "W")


def ohms(value: Fraction) -> str:
    """Return a resistance: ``330 ohm``, ``1.5 kohm``."""
    return _large(value, LARGER["ohm"])


def hertz(value: Fraction) -> str:
    """Return a frequency: ``1017 Hz``; thousands stay plain, as in data sheets."""
    return f"{number(value, 4)} Hz"


def seconds(value: Fraction) -> str:
    """Return a time in milliseconds."""
    return f"{number(value * THOUSAND)} ms"


def percent(share: Fraction) -> str:
    """Return a share: ``12 %``."""
    return f"{number(share * 100)} %"


def lamps(found: Iterable[WiredLamp]) -> str:
    """Return lamps by signal: ``red and green of HF1, red of HF3``."""
    by_signal: dict[str, list[str]] = {}
    for lamp in found:
        by_signal.setdefault(lamp.signal, []).append(lamp.short)
    return listed(f"{listed(dict.fromkeys(names))} of {signal}" for signal, names in by_signal.items())


def _small(value: Fraction, unit: str, digits: int = 3) -> str:
    """Return an amount in thousandths unless it is one or more."""
    return f"{number(value, digits)} {unit}" if value >= 1 else f"{number(value * THOUSAND, digits)} {SMALLER[unit]}"


def _large(value: Fraction, units: tuple[str, ...]) -> str:
    """Return an amount in the largest unit of which it is at least one."""
    step = 0
    while value >= THOUSAND and step < len(units) - 1:
        value, step = value / THOUSAND, step + 1
    return f"{number(value)} {units[step]}"


def number(value: Fraction, digits: int = 3) -> str:
    """Return a number with so many figures that count, whole parts in full, no zeros behind."""
    whole = len(str(abs(int(value)))) if abs(value) >= 1 else 0
    places = max(digits - whole, 0)
    scaled = round(abs(value) * 10**places)
    text = f"{scaled // 10**places}.{scaled % 10**places:0{places}d}" if places else str(scaled)
    text = text.rstrip("0").rstrip(".") if places else text
    return f"-{text}" if value < 0 else text
