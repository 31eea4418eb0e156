"""From the values of parts files to kinds; the schema has accepted them."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from lampwright.quantities import UNITS, quantity
from lampwright.rulebooks.codec import as_text
from lampwright.tables.outputs import outputs
from lampwright_wiring.kinds import (
    ZERO,
    BoardKind,
    ColourKind,
    ConstantCurrent,
    ControllerKind,
    Group,
    LedKind,
    Pwm,
    Refusal,
    Resistors,
    Series,
    Spread,
    SupplyKind,
    SwitchKind,
    WireKind,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

WAYS = {"sinks": "sink", "sources": "source"}
"""Keys of data that are told by way; ``source`` itself tells where data come from."""


def amount(value: object) -> Fraction | None:
    """Return what a quantity says in its base unit; None if nothing is said."""
    return None if value is None else quantity(value).amount


def span(value: object) -> tuple[Fraction, Fraction] | None:
    """Read ``2.3..5.5 V`` or ``5 V`` into least and greatest."""
    if value is None:
        return None
    numbers, _, unit = str(value).partition(" ")
    first, dots, last = numbers.partition("..")
    size = UNITS[unit][1]
    return Fraction(first) * size, Fraction(last if dots else first) * size


def spread(value: Mapping[str, Any] | None) -> Spread | None:
    """Read least, typical and greatest; what is not said is as the typical."""
    if value is None:
        return None
    typical = quantity(value["typical"]).amount
    return Spread(amount(value.get("min")) or typical, typical, amount(value.get("max")) or typical)


def drop(value: Mapping[str, Any] | None) -> Spread:
    """Read a voltage that is lost; the least is none unless it is said."""
    read = spread(value)
    if read is None or value is None:
        return Spread.exactly(ZERO)
    return Spread(amount(value.get("min")) or ZERO, read.typical, read.most)


def addresses(value: str) -> range:
    """Read ``0x40..0x7F`` or ``0x70``."""
    first, dots, last = value.partition("..")
    return range(int(first, 16), int(last if dots else first, 16) + 1)


def limits(value: Mapping[str, Any] | None) -> dict[str, Fraction]:
    """Read limits by way: ``sinks`` tells of ``sink``, ``sources`` of ``source``; others by their own key."""
    return {WAYS.get(key, key): quantity(item).amount for key, item in (value or {}).items()}


def _led(said: Mapping[str, Any]) -> dict[str, Any]:
    xy = said.get("chromaticity")
    return {
        "colour": as_text(said.get("colour")),
        "vf": spread(said.get("vf")),
        "limit": amount(said.get("limit")),
        "wavelength": span(said.get("wavelength")),
        "chromaticity": xy and (Fraction(xy[0]), Fraction(xy[1])),
        "intensity": span(said.get("intensity")),
        "tested": amount((said.get("vf") or {}).get("at")),
        "resistor": as_text(said.get("resistor")),
        "made_for": amount(said.get("for")),
        "current": amount(said.get("current")),
        "leads": as_text(said.get("leads")),
        "dies": {colour: as_text(kind) for colour, kind in (said.get("dies") or {}).items()},
    }


def _board(said: Mapping[str, Any]) -> dict[str, Any]:
    lines = said.get("addresses") or {}
    return {
        "outputs": outputs(said["outputs"]),
        "drives": tuple(said["drives"]),
        "limits": limits(said.get("limits")),
        "groups": tuple(_group(group) for group in said.get("groups") or ()),
        "supply": span(said.get("supply")),
        "high": amount(said.get("high")),
        "stands": amount(said.get("stands")),
        "drop": {WAYS[key]: drop(lost) for key, lost in (said.get("drop") or {}).items()},
        "uses": amount(said.get("uses")),
        "control": amount(said.get("control")) or ZERO,
        "power_up": as_text(said.get("power-up")),
        "one_sense": bool(said.get("one-sense")),
        "pwm": _pwm(said["pwm"]) if "pwm" in said else None,
        "addresses": addresses(lines["span"]) if lines else None,
        "forbidden": tuple((addresses(key), as_text(why)) for key, why in (lines.get("never") or {}).items()),
        "refresh": said.get("refresh"),
        "chained": bool(said.get("chained")),
        "constant_current": _constant(said["constant-current"]) if "constant-current" in said else None,
    }


def _group(said: Mapping[str, Any]) -> Group:
    return Group(outputs(said["outputs"]), limits({key: said[key] for key in WAYS if key in said}))


def _pwm(said: Mapping[str, Any]) -> Pwm:
    low, _, high = said.get("prescale", "").partition("..")
    oscillator = span(said.get("oscillator"))
    return Pwm(
        said["steps"],
        oscillator[0] if oscillator else None,
        (int(low), int(high)) if low else None,
        said.get("default"),
        span(said.get("frequency")),
    )


def _constant(said: Mapping[str, Any]) -> ConstantCurrent:
    return ConstantCurrent(
        quantity(said["volts"]).amount,
        Fraction(said["times"]),
        span(said.get("span")),
        amount(said.get("tolerance")) or ZERO,
        amount(said.get("headroom")) or ZERO,
    )


def _switch(said: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "drives": said["drives"],
        "channels": said.get("channels", 1),
        "limit": amount(said.get("limit")),
        "stands": amount(said.get("stands")),
        "drop": drop(said.get("drop")),
        "control": amount(said.get("control")) or ZERO,
        "driven": said.get("driven", "high"),
    }


def _controller(said: Mapping[str, Any]) -> dict[str, Any]:
    return {"uses": amount(said.get("uses")), "bus": amount(said.get("bus"))}


def _supply(said: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "voltage": spread(said["voltage"]),
        "limit": amount(said.get("limit")),
        "at_start": amount(said.get("at-start")),
    }


def _series(said: Mapping[str, Any]) -> dict[str, Any]:
    return {"numbers": tuple(said.get("numbers", ()))}


def _resistors(said: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "series": as_text(said.get("series")),
        "rating": amount(said.get("rating")),
        "derating": Fraction(said.get("derating", 2)),
    }


def _wire(said: Mapping[str, Any]) -> dict[str, Any]:
    return {"resistance": amount(said.get("resistance")), "area": amount(said.get("area"))}


def _colour(said: Mapping[str, Any]) -> dict[str, Any]:
    named = said.get("known-as", ())
    x = (said.get("white") or {}).get("x", "").split("..")
    return {
        "known_as": tuple(named) if isinstance(named, list) else (named,),
        "ranges": {name: span(value) for name, value in (said.get("ranges") or {}).items()},
        "white": (Fraction(x[0]), Fraction(x[1])) if len(x) > 1 else None,
    }


def _refusal(said: Mapping[str, Any]) -> dict[str, Any]:
    return {"because": as_text(said["because"])}


READERS: dict[str, tuple[type[Any], Callable[[Mapping[str, Any]], dict[str, Any]]]] = {
    "leds": (LedKind, _led),
    "boards": (BoardKind, _board),
    "switches": (SwitchKind, _switch),
    "controllers": (ControllerKind, _controller),
    "supplies": (SupplyKind, _supply),
    "series": (Series, _series),
    "wires": (WireKind, _wire),
    "colours": (ColourKind, _colour),
    "refused": (Refusal, _refusal),
    "resistors": (Resistors, _resistors),
}
"""By section of a parts file: the class of its kinds, and what reads the fields of one."""
