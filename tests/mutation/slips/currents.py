"""Slips in figures of the electrics: ten times, a tenth, and the wrong unit."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from mutation.plans import Mutant, at, put, slip

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values, Way

GROUP = "electrics"
UNITS = {"mA": "A", "A": "mA", "ohm": "kohm", "kohm": "ohm", "V": "mV", "Hz": "kHz", "kHz": "Hz", "ms": "s"}
ONCE = "a figure that leaves everything within its limits contradicts nothing"


@slip(GROUP, blind=ONCE)
def resistor_times_ten(values: Values) -> Iterator[Mutant]:
    """Take a resistor ten times as large, or a tenth."""
    yield from _scaled(values, "resistor")


@slip(GROUP, blind=ONCE)
def current_times_ten(values: Values) -> Iterator[Mutant]:
    """Write a current ten times as large, or a tenth: of LEDs beside their resistor, of supplies, of a fuse."""
    for key in ("current", "limit", "fuse", "uses"):
        yield from _scaled(values, key)


@slip(GROUP, blind=ONCE)
def duty_times_ten(values: Values) -> Iterator[Mutant]:
    """Write a level ten times as large, or a tenth."""
    yield from _scaled(values, "level")


@slip(GROUP, blind=ONCE)
def voltage_times_ten(values: Values) -> Iterator[Mutant]:
    """Write a voltage ten times as large, or a tenth."""
    yield from _scaled(values, "voltage")


@slip(GROUP, blind=ONCE)
def rhythm_times_ten(values: Values) -> Iterator[Mutant]:
    """Write a frequency or a time ten times as large, or a tenth."""
    for key in ("frequency", "bus", "step"):
        yield from _scaled(values, key)


@slip(GROUP, blind=ONCE)
def unit_mistaken(values: Values) -> Iterator[Mutant]:
    """Write A for mA, kohm for ohm, and the like."""
    for way, number, unit in figures(values):
        if unit in UNITS:
            made = put(values, way, f"{number} {UNITS[unit]}")
            yield Mutant(f"{told(way)}: {UNITS[unit]}", made, way, twice_said(values, way))


@slip(GROUP, blind="no board and supply says what voltage there is")
def leds_in_series(values: Values) -> Iterator[Mutant]:
    """Put LEDs in series that are in parallel, or the other way."""
    for way, number, unit in figures(values, ("leds",)):
        other = {"parallel": "series", "series": "parallel"}[unit]
        yield Mutant(told(way), put(values, way, f"{number} {other}"), way, held="boards" in values)


def figures(values: Any, keys: tuple[str, ...] = (), way: Way = ()) -> Iterator[tuple[Way, str, str]]:
    """Yield every figure of the electrics with its place, its number and its unit."""
    wanted = keys or ("resistor", "current", "limit", "fuse", "uses", "voltage", "level", "frequency", "bus", "step")
    for key, said in values.items() if isinstance(values, dict) else enumerate(values):
        if isinstance(said, dict | list):
            yield from figures(said, keys, (*way, key))
        elif key in wanted and isinstance(said, str) and said[0].isdigit() and " " in said:
            number, unit = said.split()[:2]
            yield (*way, key), number, unit


def told(way: Way) -> str:
    """Return a place as text."""
    return ".".join(map(str, way))


def twice_said(values: Values, way: Way) -> bool:
    """Tell whether a figure is a resistor beside the current it is for, or the other way, or the voltage of all."""
    return way[-1] == "voltage" or (
        way[-1] in {"resistor", "current"} and {"resistor", "current"} <= set(at(values, way[:-1]))
    )


def _scaled(values: Values, key: str) -> Iterator[Mutant]:
    """Yield the figures of a key ten times as large, and a tenth."""
    for way, number, unit in figures(values, (key,)):
        for factor in (Decimal(10), Decimal("0.1")):
            new = f"{Decimal(number) * factor:f}"
            new = new.rstrip("0").rstrip(".") if "." in new else new
            yield Mutant(f"{told(way)}: {new} {unit}", put(values, way, f"{new} {unit}"), way, twice_said(values, way))
