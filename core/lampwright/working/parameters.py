"""Figures that checks ask for by name: what the rulebook says, who disagrees, and what the plan has instead."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.quantities import UNITS, plain_number
from lampwright.rulebooks.codec import as_text
from lampwright.rulebooks.sources import cited
from lampwright.years import Years

if TYPE_CHECKING:
    from lampwright.findings import Citation, Spot
    from lampwright.layout import Layout
    from lampwright.rulebooks import Rulebook


class Saying(Struct, frozen=True):
    """What one source says of a figure: a value or a range, in the base unit of what it measures.

    ``low`` and ``high`` are None where the range is open; for a single value they are equal. ``measures`` is empty
    for a plain number. ``citation`` is None for what the plan says itself.
    """

    text: str
    low: Fraction | None
    high: Fraction | None
    measures: str
    citation: Citation | None

    @property
    def value(self) -> Fraction:
        """The single value, or the end of the range that there is; of two ends the lower."""
        end = self.low if self.low is not None else self.high
        if end is None:
            raise ValueError(f"{self.text!r} has no end")
        return end

    def admits(self, amount: Fraction) -> bool:
        """Tell whether an amount lies in the range, ends included."""
        return (self.low is None or amount >= self.low) and (self.high is None or amount <= self.high)


class Parameter(Struct, frozen=True):
    """A figure: what counts, what other sources say, and where what counts is written."""

    name: str
    own: Saying
    others: tuple[Saying, ...]
    spot: Spot

    @property
    def citations(self) -> tuple[Citation, ...]:
        """Why the figure is believed; nothing if the plan says it."""
        return (self.own.citation,) if self.own.citation else ()


def parameter(layout: Layout, name: str, measures: str = "", rulebook: Rulebook | None = None) -> Parameter | None:
    """Return a figure of the plan, or else of a rulebook (the plan's if none is given), in force in the plan's years.

    None if neither says it in a way that measures what is asked. Worked out once.
    """
    key = ("parameter", name, measures, rulebook and rulebook.id)
    if key not in layout.cache:
        layout.cache[key] = _parameter(layout, name, measures, rulebook)
    found: Parameter | None = layout.cache[key]
    return found


def _parameter(layout: Layout, name: str, measures: str, rulebook: Rulebook | None) -> Parameter | None:
    """Look a figure up."""
    said = (layout.plan.values.get("parameters") or {}).get(name)
    if said is not None:
        own = _measuring(measures, _value(said), None)
        return Parameter(name, own, (), layout.spot("parameters", name, label="the plan's figure")) if own else None
    book = rulebook or layout.rulebook
    said = book.parameters.get(name) if book is not None else None
    if book is None or said is None or not _in_force(said, layout.years):
        return None
    own = _measuring(measures, _value(said), book.why("parameters", name, "value"))
    others = (_measuring(measures, value, cited(book, source)) for source, value in _disputed(said).items())
    spot = book.spot("parameters", name, label="the rulebook's figure")
    return Parameter(name, own, tuple(filter(None, others)), spot) if own else None


def saying(value: Any, citation: Citation | None) -> Saying | None:
    """Read a value or a range: ``180 m``, ``50..200 m``, ``1..1.33``, ``1..``; None if it is none."""
    text = as_text(value)
    figures, _, unit = text.strip().partition(" ")
    if unit and unit not in UNITS:
        return None
    measures, size = UNITS[unit] if unit else ("", Fraction(1))
    start, dots, end = figures.partition("..")
    ends = [(part, plain_number(part)) for part in (start, end if dots else start)]
    if any(part and found is None for part, found in ends) or not start + end:
        return None
    low, high = (None if found is None else found * size for _, found in ends)
    return Saying(text, low, high, measures, citation)


def _measuring(measures: str, value: Any, citation: Citation | None) -> Saying | None:
    """Read what a source says; None if it does not measure what is asked."""
    found = saying(value, citation)
    return found if found is not None and found.measures == measures else None


def _value(said: Any) -> Any:
    """Return the value of ``180 m`` or ``{value: 180 m, ...}``."""
    return said["value"] if isinstance(said, dict) else said


def _disputed(said: Any) -> dict[str, Any]:
    """Return what other sources say of the value, by source."""
    return dict((said.get("disputed") or {}).get("value") or {}) if isinstance(said, dict) else {}


def _in_force(said: Any, years: Years | None) -> bool:
    """Tell whether a figure holds in the plan's years."""
    span = said.get("years") if isinstance(said, dict) else None
    return span is None or years is None or Years.parse(span).meets(years)
