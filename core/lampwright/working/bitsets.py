"""Sets of numbers as bits of an integer that begins at the lowest of them.

Things that meet stand near each other in a file, so that such integers stay short however long the file is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

Bits = tuple[int, int]
"""The lowest number there may be, and an integer whose lowest bit stands for it."""

EMPTY: Bits = (0, 0)


def of(numbers: Iterable[int]) -> Bits:
    """Return a set of numbers."""
    return union((number, 1) for number in numbers)


def union(sets: Iterable[Bits]) -> Bits:
    """Return all numbers of several sets."""
    parts = [part for part in sets if part[1]]
    if not parts:
        return EMPTY
    low = min(start for start, _ in parts)
    bits = 0
    for start, part in parts:
        bits |= part << (start - low)
    return low, bits


def has(bits: Bits, number: int) -> bool:
    """Tell whether a number is in a set."""
    return number >= bits[0] and bool(bits[1] >> (number - bits[0]) & 1)


def without(bits: Bits, number: int) -> Bits:
    """Return a set without one number."""
    return (bits[0], bits[1] & ~(1 << (number - bits[0]))) if has(bits, number) else bits


def numbers(bits: Bits) -> Iterator[int]:
    """Yield the numbers of a set in their order."""
    low, row = bits
    while row:
        lowest = row & -row
        yield low + lowest.bit_length() - 1
        row ^= lowest
