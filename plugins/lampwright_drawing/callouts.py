"""Callouts: names beside a drawing, one below the other, each led to what it names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_drawing.svg import Markup, joined, number, tag, text

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

OFF: Final = 14
"""From the drawing to its column of names."""
LINE: Final = 13
LETTER: Final = 6.4
"""Width of a letter, on the generous side: fonts differ."""

Box = tuple[float, float, float, float]


class Mark(Struct, frozen=True):
    """What is named: the middle and the radius of a lens, and its name."""

    x: float
    y: float
    radius: float
    said: str


def column(marks: Iterable[Mark], edge: float, way: int) -> Iterator[tuple[Markup, Box]]:
    """Yield each name with the room it takes: right of ``edge`` where ``way`` is 1, left of it where it is -1."""
    edge, last = edge + OFF * way, float("-inf")
    for mark in sorted(marks, key=lambda one: (one.y, one.x)):
        y = last = max(mark.y, last + LINE)
        start, end = mark.x + mark.radius * way, edge - 2 * way
        path = f"M{number(start)} {number(mark.y)}L{number(edge - 5 * way)} {number(y)}H{number(end)}"
        named = text(edge, y + 3.5, mark.said, "", "" if way > 0 else "end")
        far = edge + LETTER * len(mark.said) * way
        box = (min(edge, far), y - LINE / 2, max(edge, far), y + LINE / 2)
        yield joined((tag("path", class_="leader", d=path), named)), box
