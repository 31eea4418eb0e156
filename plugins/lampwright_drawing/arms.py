"""Arms: rows of lights that point where a route turns."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright.rulebooks.model import Indicator
    from lampwright_drawing.hardware import Point

TURN: Final = 45
"""Degrees from one position of an arm to the next on its side, the first of them to the upper left or right."""


def along(positions: Mapping[str, str], position: str, pivot: Point, steps: Iterable[float]) -> list[Point]:
    """Return points of an arm, so far from its pivot."""
    angle = radians(_angle(positions, position))
    return [(pivot[0] + far * sin(angle), pivot[1] - far * cos(angle)) for far in steps]


def colour_of(record: Indicator) -> str:
    """Return the colour of an indicator's lights."""
    return str(record.lamps.get("colour") or record.colour or "white")


def _angle(positions: Mapping[str, str], position: str) -> float:
    """Return at which angle a position stands, clockwise from upright: the first of a side at 45 degrees, and so on."""
    side = positions.get(position, "")
    if side not in ("left", "right"):
        return 0
    row = [name for name, of in positions.items() if of == side]
    return TURN * (row.index(position) + 1) * (-1 if side == "left" else 1)
