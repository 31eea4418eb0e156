"""What is seen from afar, when no lamp place can be told: colours, their number, their shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lampwright.rulebooks.anatomy import Anatomy

Shape = tuple[tuple[tuple[str, str], ...], str]


def shape(anatomy: Anatomy, lamps: frozenset[tuple[str, str]]) -> Shape:
    """Return the colours and states of all lights from the top down, and the line they stand in."""
    places = sorted(light for lamp, token in lamps for light in _seen(anatomy, lamp, token))
    looks = tuple((colour, state) for _, _, colour, state in places)
    return looks, _line([(right, -down) for down, right, _, _ in places])


def _seen(anatomy: Anatomy, lamp: str, token: str) -> list[tuple[int, int, str, str]]:
    """Return how far down and right each light of a lamp is, with its colour and state."""
    record = anatomy.lamps[lamp]
    colour = token.rpartition(" ")[2] if len(record.colours) > 1 else record.colours[0]
    state = token.removesuffix(colour).strip() or "lit"
    return [(-int(up), int(right), colour, state) for right, up in record.at or ((0, 0),)]


def _line(places: list[tuple[int, int]]) -> str:
    """Return whether places stand in a row, a column, a slope, or none of these."""
    if len(places) < 2:  # noqa: PLR2004  (one light has no direction)
        return "single"
    slopes = {_slope(places[0], place) for place in places[1:]}
    return slopes.pop() if len(slopes) == 1 else "spread"


def _slope(first: tuple[int, int], second: tuple[int, int]) -> str:
    """Return the direction from one place to another."""
    across, up = second[0] - first[0], second[1] - first[1]
    if across == 0:
        return "column"
    if up == 0:
        return "row"
    return "rising" if (across > 0) == (up > 0) else "falling"
