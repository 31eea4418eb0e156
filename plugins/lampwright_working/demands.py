"""Comparing a distance with what a figure asks, and what to say where sources disagree."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.findings import Level
from lampwright_working.braking import Span

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from lampwright.findings import Citation, Spot
    from lampwright.working.parameters import Parameter, Saying
    from lampwright_working.trains import Stop


Term = tuple[str, "Citation | None"]
"""A part of a demand in words, and who says it; None for the plan."""


class Demand(Struct, frozen=True):
    """What a distance should be, in the measure it is compared in.

    ``stop`` is what it takes to stop, if the figure counts in that; ``spots`` are where the terms are written.
    """

    low: Fraction | None
    high: Fraction | None
    terms: tuple[Term, ...]
    spots: tuple[Spot, ...]
    stop: Stop | None = None

    def admits(self, amount: Fraction) -> bool:
        """Tell whether an amount is what it should be."""
        return (self.low is None or amount >= self.low) and (self.high is None or amount <= self.high)

    @property
    def citations(self) -> tuple[Citation, ...]:
        """Who says so."""
        return tuple(citation for _, citation in self.terms if citation is not None)


class Breach(Struct, frozen=True):
    """A distance that is not what the first of several demands asks; ``other`` is a source's that it does meet."""

    demand: Demand
    other: Demand | None
    amount: Fraction

    @property
    def short(self) -> bool:
        """Tell whether it is too short, not too long."""
        return self.demand.low is not None and self.amount < self.demand.low

    @property
    def asked(self) -> Fraction:
        """The end of what is asked that the distance misses."""
        end = self.demand.low if self.short else self.demand.high
        if end is None:
            raise AssertionError("a breach misses one end")
        return end

    @property
    def level(self) -> Level | None:
        """A note where sources disagree; else what the check says."""
        return Level.NOTE if self.other else None

    @property
    def citations(self) -> tuple[Citation, ...]:
        """The sources of the demand, and of the one that disagrees."""
        return tuple(dict.fromkeys((*self.demand.citations, *(self.other.citations if self.other else ()))))

    @property
    def dispute(self) -> str:
        """Who disagrees, and in what; empty if nobody does."""
        if self.other is None:
            return ""
        pairs = zip(self.demand.terms, self.other.terms, strict=True)
        told = (f"{_by(own)} has {own[0]}, {_by(other)} {other[0]}" for own, other in pairs if own != other)
        return f"sources differ: {'; '.join(told)}"


def compared(amount: Fraction, demands: Sequence[Demand]) -> Breach | None:
    """Compare an amount with what is asked: the first demand counts, the others are what other sources ask."""
    if not demands or demands[0].admits(amount):
        return None
    return Breach(demands[0], next((other for other in demands[1:] if other.admits(amount)), None), amount)


def in_figures(figure: Parameter, *, at_least: bool = False) -> list[Demand]:
    """Return what a figure in metres or the like asks; ``at_least`` takes a single value, or a range, as the least."""
    return [
        Demand(said.low, None if at_least else said.high, ((said.text, said.citation),), (figure.spot,))
        for said in (figure.own, *figure.others)
    ]


def in_stops(figure: Parameter, stops: Sequence[Stop]) -> list[Demand]:
    """Return what a figure in stopping distances asks, for every source of the figure and of the stopping distance."""
    return [_times(figure, said, stop) for stop in stops for said in (figure.own, *figure.others)]


def span(demands: Iterable[Demand]) -> Span | None:
    """Return the distances that the first demand allows."""
    for demand in demands:
        if demand.low is not None:
            return Span(demand.low, demand.high)
    return None


def _times(figure: Parameter, said: Saying, stop: Stop) -> Demand:
    """Return what so many stopping distances are."""
    low, high = (None if end is None else end * stop.metres for end in (said.low, said.high))
    terms: tuple[Term, ...] = ((f"{said.text} stopping distances", said.citation), stop.term)
    return Demand(low, high, terms, (figure.spot, *stop.spots), stop)


def _by(term: Term) -> str:
    """Return who says a term."""
    return term[1].text if term[1] else "the plan"
