"""The arithmetic of stopping and following: exact, in metres, seconds and metres per second of the prototype."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Mapping

GRAVITY: Final = Fraction("9.80665")
"""Standard acceleration of free fall in m/s2, exact by definition (3rd CGPM, 1901)."""


def stopping_distance(speed: Fraction, rate: Fraction, slope: Fraction = Fraction(0)) -> Fraction | None:
    """Return how far a train runs that brakes evenly to a stand: the speed squared over twice the rate.

    ``slope`` is what the track rises on its length (0.01 for 1 in 100; negative where it falls), whose pull adds to
    the brakes' rate. None if the brakes cannot stop the train.
    """
    effective = rate + GRAVITY * slope
    return speed * speed / (2 * effective) if effective > 0 else None


def measured_distance(measured: Mapping[Fraction, Fraction], speed: Fraction) -> Fraction:
    """Return how far a train runs to a stand from a speed, by what was measured from other speeds.

    Between two speeds, below the lowest and above the highest the distance goes with the square of the speed, as it
    does under an even rate of braking.
    """
    known = sorted({Fraction(0): Fraction(0), **measured}.items())
    lower, upper = next(
        (pair for pair in pairwise(known) if pair[1][0] >= speed), ((Fraction(0), Fraction(0)), known[-1])
    )
    share = (speed * speed - lower[0] * lower[0]) / (upper[0] * upper[0] - lower[0] * lower[0])
    return lower[1] + (upper[1] - lower[1]) * share


class Follow(Struct, frozen=True):
    """Trains that follow each other: what lies between the fronts of two, besides the signals' spacing.

    ``sighting``: how long before a signal a driver must already see it clear; ``overlap``: kept free beyond a red;
    ``train``: length of a train.
    """

    speed: Fraction
    sighting: Fraction
    overlap: Fraction
    train: Fraction

    def spacing(self, time: Fraction) -> Fraction:
        """Return how much of the way run in a time is left for the spacing of signals; negative if none is."""
        return self.speed * time - self.sighting - self.overlap - self.train

    def time(self, spacing: Fraction) -> Fraction:
        """Return how soon a train can follow another where signals leave such a distance between clear and red."""
        return (spacing + self.sighting + self.overlap + self.train) / self.speed


class Span(Struct, frozen=True):
    """The distances that are allowed between signals; ``low`` above ``high`` means none is."""

    low: Fraction
    high: Fraction | None

    @property
    def possible(self) -> bool:
        """Tell whether any distance is allowed."""
        return self.high is None or self.low <= self.high

    def holds(self, distance: Fraction) -> bool:
        """Tell whether a distance is allowed."""
        return distance >= self.low and (self.high is None or distance <= self.high)


def spacing(braking: Fraction, low: Fraction, high: Fraction | None, room: Fraction | None, spaces: Fraction) -> Span:
    """Return the distances allowed between signals that can show red.

    ``low`` and ``high`` are in braking distances; ``room`` is what a headway leaves between a clear signal and the red
    beyond, if one is asked, and ``spaces`` how many distances between signals share it.
    """
    ends = [high * braking] if high is not None else []
    if room is not None:
        ends.append(room / spaces)
    return Span(low * braking, min(ends, default=None))
