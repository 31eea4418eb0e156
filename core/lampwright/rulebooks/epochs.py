"""Spans of years in which a rulebook says the same from the first to the last."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from lampwright.years import END, Years

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.rulebooks.model import Dated, Rulebook


def epochs(rulebook: Rulebook) -> tuple[Years, ...]:
    """Return the rulebook's years cut wherever a form, a lamp, an aspect or a rule begins or ends."""
    if "epochs" not in rulebook.cache:
        rulebook.cache["epochs"] = tuple(_cut(rulebook.years, _dated(rulebook)))
    found: tuple[Years, ...] = rulebook.cache["epochs"]
    return found


def in_words(epoch: Years, whole: Years) -> str:
    """Return ``from 1975 to 1987``, ``from 1988``, ``until 1960``; empty if the epoch is all there is."""
    begins = f"from {epoch.first}" if epoch.first != whole.first else ""
    ends = f"to {epoch.last}" if epoch.last != whole.last else ""
    return f"{begins} {ends}".strip() if begins else ends.replace("to ", "until ")


def _dated(rulebook: Rulebook) -> Iterator[Dated]:
    """Yield everything whose years decide what is shown."""
    yield from rulebook.aspects.values()
    for form in rulebook.forms.values():
        yield form
        yield from form.lamps.values()
    for rules in rulebook.sequence.values():
        yield from rules


def _cut(whole: Years, things: Iterable[Dated]) -> Iterator[Years]:
    """Yield the pieces of a span between all the years in which something begins or has just ended."""
    starts = {whole.first}
    for thing in things:
        starts |= {thing.years.first, min(thing.years.last + 1, END + 1)}
    inside = sorted(year for year in starts if whole.first <= year <= whole.last)
    for first, after in pairwise([*inside, whole.last + 1]):
        yield Years(first, after - 1)
