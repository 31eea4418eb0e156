"""Choosing resistors: the next value up of what there is, by exact arithmetic."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from lampwright.quantities import quantity

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright_wiring.catalogue import Catalogue

DECADES = range(-2, 7)
"""Powers of ten that decades begin at: 0.01 ohm to 10 Mohm."""
SIZE = {"E48": 48, "E96": 96, "E192": 192}
"""Series whose numbers are rounded from the formula."""
ODD_ONE_OUT = {919: 920}
"""The one number of E192 that IEC 60063 has otherwise."""


def numbers(catalogue: Catalogue, series: str) -> tuple[int, ...]:
    """Return the preferred numbers of one decade of a series; none if there is no such series."""
    kind = catalogue.series(series)
    if kind is None or kind.numbers:
        return kind.numbers if kind else ()
    size = SIZE.get(series, 0)
    made = (round(100 * 10 ** (index / size)) for index in range(size))
    return tuple(ODD_ONE_OUT.get(number, number) for number in made)


def values(catalogue: Catalogue, stock: Mapping[str, Any]) -> tuple[Fraction, ...]:
    """Return the resistances there are to choose from, least first: the modeller's own, or a series.

    Of a map, those of which none is left do not count.
    """
    said = stock.get("resistors")
    if isinstance(said, dict):
        return tuple(sorted(quantity(value).amount for value, number in said.items() if number))
    if isinstance(said, list):
        return tuple(sorted(quantity(value).amount for value in said))
    usual = catalogue.resistors
    return of_series(numbers(catalogue, said or (usual.series if usual else "")))


def of_series(decade: Iterable[int]) -> tuple[Fraction, ...]:
    """Return every resistance of a series over all decades, least first."""
    decade = tuple(decade)
    if not decade:
        return ()
    unit = 10 ** (len(str(decade[0])) - 1)
    return tuple(Fraction(number, unit) * Fraction(10) ** power for power in DECADES for number in decade)


def next_up(wanted: Fraction, there: Iterable[Fraction]) -> Fraction | None:
    """Return the least resistance that is not below what is wanted; None if there is none."""
    return min((value for value in there if value >= wanted), default=None)


def needed(volts: Fraction, forward: Fraction, current: Fraction, board: Fraction = Fraction(0)) -> Fraction:
    """Return the resistance that lets a current through: what is left of the voltage, less what the board has.

    ``forward`` is what all LEDs of the string take, and what outputs or switches lose. Negative if it cannot be.
    """
    return (volts - forward) / current - board
