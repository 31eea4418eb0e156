"""What the sequence asks in each span of years in which it asks the same, and what a plan's signals cannot show."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from lampwright.layout import Layout
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import rules
from lampwright.working.lacks import lacks
from lampwright.working.reach import reach
from lampwright.years import BEGINNING, END, Years
from lampwright_working.dated import thing

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks import Rulebook
    from lampwright.working.lacks import Lack
    from lampwright_working.dated import Dated

Asked = dict["Dated", tuple[str, ...]]
"""Aspects as dated things, each with the signals that are asked for it."""


class Missing(Struct, frozen=True):
    """An aspect that a signal is asked for in some years and cannot show; ``cause`` is what is of another time."""

    signal: str
    aspect: str
    cause: Dated


class Phase(Struct, frozen=True):
    """Years in which the sequence asks the same: what it asks, and what is missing because of the time alone."""

    years: Years
    asked: Asked
    missing: tuple[Missing, ...]


def phases(layout: Layout) -> tuple[Phase, ...]:
    """Return the phases of the years that a plan's rulebooks speak of; none for a plan without routes or rulebook."""
    signals = _of_the_plan(layout)
    books = {signal.rulebook.id: signal.rulebook for signal in signals if signal.rulebook is not None}
    if not books or not any(signal.entry.routes for signal in signals):
        return ()
    spans = cut(span for book in books.values() for span in _turns(book, layout))
    spans = [span for span in spans if any(book.years.covers(span) for book in books.values())]
    bound = {span: at(layout, span) for span in spans}
    lacking = {span: dict(_lacking(inner)) for span, inner in bound.items()}
    always = frozenset.intersection(*(frozenset(found) for found in lacking.values()))
    return tuple(
        Phase(span, _asked(inner), tuple(_missing(inner, span, lacking[span], always))) for span, inner in bound.items()
    )


def at(layout: Layout, span: Years) -> Layout:
    """Return a layout as it would be if its plan were set in other years; signals keep years of their own."""
    plan = replace(layout.plan, year=str(span))
    return Layout(plan, layout.library, replace(layout.settings, year="", usual_year=""), layout.others)


def cut(spans: Iterable[Years]) -> list[Years]:
    """Return all time, cut wherever one of some spans begins or has just ended."""
    starts = {BEGINNING}
    for span in spans:
        starts |= {span.first, span.last + 1}
    inside = [*sorted(year for year in starts if year <= END), END + 1]
    return [Years(first, after - 1) for first, after in pairwise(inside)]


def _turns(book: Rulebook, layout: Layout) -> Iterator[Years]:
    """Yield the years of everything that decides what the sequence asks, and what the plan's forms can show."""
    yield book.years
    for aspect in book.aspects.values():
        yield aspect.years
    for role in book.sequence.values():
        yield from (rule.years for rule in role)
    for signal in layout.signals.values():
        if signal.form is not None:
            yield from (lamp.years for lamp in signal.form.lamps.values())


def _asked(layout: Layout) -> Asked:
    """Return the aspects that signals are asked for and can show, with those that ask."""
    known = reach(layout)
    found: dict[Dated, dict[str, None]] = {}
    for signal in _of_the_plan(layout):
        book = signal.rulebook
        states = (state for state in known.of(signal.name) if state.via is not None and state.choice == 0)
        shown = {aspect for state in states for _, aspect in state.answer.shows}
        for aspect in sorted(shown) if book is not None else ():
            if book is not None and aspect in book.aspects:
                found.setdefault(thing(book, "aspects", aspect), {})[signal.name] = None
    return {dated: tuple(names) for dated, names in found.items()}


def _lacking(layout: Layout) -> Iterator[tuple[tuple[str, str], Lack]]:
    """Yield what signals are asked for and cannot show, by signal and aspect."""
    known = reach(layout)
    for signal in _of_the_plan(layout):
        for lack in lacks(known, signal.name):
            yield (signal.name, lack.aspect), lack


def _missing(
    layout: Layout, span: Years, lacking: dict[tuple[str, str], Lack], always: frozenset[tuple[str, str]]
) -> Iterator[Missing]:
    """Yield what is missing because of the time: an aspect of other years, or what is not missing in all of them."""
    for (name, aspect), lack in lacking.items():
        signal = layout.signals[name]
        book = signal.rulebook
        if book is None:
            continue
        if _of_other_years(signal, aspect, span):
            yield Missing(name, aspect, thing(book, "aspects", aspect))
        elif (name, aspect) not in always and (cause := _rule(book, span, lack)) is not None:
            yield Missing(name, aspect, cause)


def _of_other_years(signal: BoundSignal, aspect: str, span: Years) -> bool:
    """Tell whether a signal's form could show an aspect, if only it were of these years."""
    book = signal.rulebook
    known = book.aspects.get(aspect) if book is not None else None
    if book is None or known is None or known.years.meets(span) or not signal.form_name:
        return False
    timeless = reader(book, signal.form_name, None, signal.entry.regime)
    return any(given.rpartition(".")[2] == aspect for given in timeless.gives)


def _rule(book: Rulebook, span: Years, lack: Lack) -> Dated | None:
    """Return the rule because of whose years something else is asked: one before that which asks, not of these years.

    If there is none it is the rule that asks, if it has years itself.
    """
    for unit in lack.state.stand.post.units:
        for path, rule in rules(book, unit.role):
            if not rule.years.covers(span) or path == lack.step.path:
                return thing(book, *path)
    return None


def _of_the_plan(layout: Layout) -> list[BoundSignal]:
    """Return the signals that stand in the plan's years."""
    return [signal for signal in layout.signals.values() if not signal.entry.year]
