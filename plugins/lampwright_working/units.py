"""Amounts in words: in the units a plan uses, on the layout and at full size."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.quantities import UNITS
from lampwright.rulebooks.codec import as_text
from lampwright.working.measures import MODEL, REAL, read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright.layout import Layout
    from lampwright.working.measures import Length

DECIMALS: Final = {"mm": 0, "cm": 1, "m": 2, "in": 1, "ft": 2}
"""How finely lengths on a layout are told."""
FINEST: Final = 6


class Units(Struct, frozen=True):
    """The units in which a plan's answers are given; lengths of the prototype are always in metres."""

    length: str
    speed: str

    @classmethod
    def of(cls, layout: Layout) -> Units:
        """Return the units a plan uses itself: those of the first length and speed it gives."""
        if "units" not in layout.cache:
            written = list(_written(layout))
            length = next((unit for measures, unit in written if measures == "length"), "m")
            speed = next((unit for measures, unit in written if measures == "speed"), "km/h")
            layout.cache["units"] = cls(length if length in DECIMALS else "m", speed)
        found: Units = layout.cache["units"]
        return found

    def model(self, metres: Fraction, finer: int = 0) -> str:
        """Return a length on the layout: ``1.20 m``."""
        return f"{number(metres / UNITS[self.length][1], DECIMALS[self.length] + finer)} {self.length}"

    def real(self, metres: Fraction, finer: int = 0) -> str:
        """Return a length of the prototype: ``719 m``."""
        return f"{number(metres, finer)} m"

    def fast(self, speed: Fraction) -> str:
        """Return a speed of the prototype: ``60 mph``."""
        return f"{number(speed / UNITS[self.speed][1], 1).removesuffix('.0')} {self.speed}"

    def both(self, length: Length, finer: int = 0) -> str:
        """Return a length at full size and on the layout, as far as each is known: ``719 m (2.36 m on the layout)``."""
        if length.stands is None:
            return "" if length.model is None else self.model(length.model, finer)
        real = self.real(length.stands, finer)
        return real if length.model is None else f"{real} ({self.model(length.model, finer)} on the layout)"

    def apart(self, one: Length, other: Length) -> tuple[str, str]:
        """Return two lengths in words, as finely as it takes to tell them apart."""
        told = ("", "")
        for finer in range(FINEST):
            told = self.both(one, finer), self.both(other, finer)
            if told[0] != told[1]:
                break
        return told


def number(amount: Fraction, decimals: int) -> str:
    """Return an amount rounded to decimals, thousands apart."""
    return f"{Decimal(round(amount * 10**decimals)).scaleb(-decimals):,f}"


def _written(layout: Layout) -> Iterator[tuple[str, str]]:
    """Yield what the plan's own lengths and speeds measure, with the unit of each; not what is said at full size."""
    for text in _texts(layout):
        first, _, rest = text.partition(" ")
        unit = (rest if first in (REAL, MODEL) else text).rpartition(" ")[2]
        measures = UNITS[unit][0] if unit in UNITS else ""
        if read(text, measures) is not None and (measures == "speed" or first != REAL):
            yield measures, unit


def _texts(layout: Layout) -> Iterator[str]:
    """Yield every length and speed the plan gives, as written."""
    things: list[Any] = [*layout.plan.sections.values(), *layout.plan.lines.values()]
    things += [route.rest for signal in layout.plan.signals.values() for route in signal.routes]
    for thing in things:
        for key in ("length", "speed", "to-points"):
            if key in (thing or {}):
                yield as_text(thing[key])
    for train in (layout.plan.values.get("trains") or {}).values():
        for speed, length in ((train or {}).get("stops") or {}).items():
            yield from (as_text(speed), as_text(length))
