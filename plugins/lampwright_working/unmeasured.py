"""Why distances cannot be compared: what a plan does not give."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright_working.stretches import stretches
from lampwright_working.trains import Brakes

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright.working.measures import Length


def no_stopping(layout: Layout) -> str:
    """Return why no stretch of track can be compared with what it takes to stop; empty if one can."""
    lengths = [stretch.length for stretch in stretches(layout)]
    brakes = Brakes.of(layout)
    if any(lengths) and not brakes.own and brakes.rate is None:
        return "no rate of braking and no measured trains given"
    return "" if any(brakes.measure(length) is not None for length in lengths) else _lacking(layout, lengths)


def no_full_size(layout: Layout, lengths: list[Length]) -> str:
    """Return why none of some lengths can be compared with the prototype's; empty if one can, or there is none."""
    if not any(lengths) or any(length.stands is not None for length in lengths):
        return ""
    return _lacking(layout, lengths)


def _lacking(layout: Layout, lengths: list[Length]) -> str:
    """Say what keeps lengths from being compared."""
    yard = Brakes.of(layout).yard
    if not any(lengths):
        return "no lengths given"
    if yard.scale is None:
        return "no scale given"
    return "" if yard.compression else "neither compression nor stopping distances of trains given"
