"""Wires: what a metre of one resists, and the voltage that is lost on the way out and back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.quantities import plain_number

if TYPE_CHECKING:
    from fractions import Fraction

    from lampwright_wiring.catalogue import Catalogue
    from lampwright_wiring.kinds import WireKind

COPPER = "copper"
"""The entry of the parts data that sizes told in mm2 go by."""


def wire(parts: Catalogue, text: str) -> tuple[WireKind, Fraction] | None:
    """Return the kind of wire and the ohm of one metre for ``AWG 24`` or ``0.14 mm2``; None for anything else."""
    number, _, unit = text.partition(" ")
    if unit == "mm2" and (area := plain_number(number)):
        copper = parts.wire(COPPER)
        if copper is not None and copper.resistance is not None and copper.area is not None:
            return copper, copper.resistance * copper.area / area
        return None
    kind = parts.wire(text.lower().replace(" ", "-"))
    return (kind, kind.resistance) if kind is not None and kind.resistance is not None else None


def drop(resistance: Fraction, length: Fraction, current: Fraction) -> Fraction:
    """Return the voltage lost out and back: ``length`` is one way in m, ``resistance`` that of one metre in ohm."""
    return 2 * length * resistance * current
