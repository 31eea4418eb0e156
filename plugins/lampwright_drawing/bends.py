"""Ways from row to row of a diagram: straight, or along between two rows if they lead far."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright_drawing.hardware import Point

ROW: Final = 104.0
"""Units between rows."""
SLOPE: Final = 34.0
"""Room for a line that changes its row."""
LEAN: Final = SLOPE / ROW
FAR: Final = 2.2
"""How many times as far as it has to a way may lean before it runs along between the rows."""


def bends(start: Point, end: Point) -> list[Point]:
    """Return the points of a way from one strand to another."""
    across, down = end[0] - start[0], end[1] - start[1]
    if not down or across <= FAR * abs(down) * LEAN:
        return [start, end]
    level = end[1] - (ROW / 2 if down > 0 else -ROW / 2)
    return [start, (start[0] + abs(level - start[1]) * LEAN, level), (end[0] - ROW / 2 * LEAN, level), end]


def heights(points: Sequence[Point], first: float, last: float) -> Iterator[tuple[float, float]]:
    """Yield where a way passes each height between two, both left out, a row apart: (x, y)."""
    step = ROW if last > first else -ROW
    y = first + step
    while (last - y) * step > 0:
        yield from ((x, y) for one, other in pairwise(points) if (x := _across(one, other, y)) is not None)
        y += step


def _across(one: Point, other: Point, y: float) -> float | None:
    """Return where a line passes a height; None if it does not."""
    if not min(one[1], other[1]) <= y < max(one[1], other[1]):
        return None
    return one[0] + (other[0] - one[0]) * (y - one[1]) / (other[1] - one[1])
