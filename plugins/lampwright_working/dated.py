"""What a plan uses that has its time: rulebooks, forms, aspects, indicators, plates, and signals put up in a year."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.findings import Basis, Citation
from lampwright.identify import identify
from lampwright.rulebooks.codec import as_words
from lampwright.rulebooks.sources import cited
from lampwright.years import ALWAYS, END, Years

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook

SEQUENCE: Final = "sequence"
BY_PLAN: Final = Citation("the plan", Basis.DERIVED)
"""What the plan says of its own signals."""


class Time(Struct, frozen=True):
    """When a thing was in use, and by whom that is said."""

    years: Years
    citation: Citation


class Dated(Struct, frozen=True):
    """A thing with its time. ``others`` are what disagreeing sources say instead.

    ``fitted`` is when new ones were put up, with what others say of that. ``spot`` is where its years are written.
    """

    name: str
    time: Time
    others: tuple[Time, ...] = ()
    fitted: Years = ALWAYS
    refitted: tuple[Time, ...] = ()
    spot: Spot | None = None


class Use(Struct, frozen=True):
    """A thing that has its time, and the signals that use it; none for what the whole plan uses."""

    thing: Dated
    signals: tuple[str, ...] = ()


class Clash(Struct, frozen=True):
    """A signal that is said to be put up when no new ones of a thing were; ``other`` is a source that has it so."""

    signal: str
    installed: Years
    thing: Dated
    allowed: Years
    other: Time | None = None


def uses(layout: Layout) -> list[Use]:
    """Return everything dated that a plan names or builds, each once, in the order of the plan.

    Signals that stand in a year of their own are left out: they say nothing of the plan's.
    """
    users: dict[Dated, list[str]] = {}
    for book in _books(layout):
        users[_book(book)] = []
    for signal in layout.signals.values():
        if not signal.entry.year:
            for thing in _of_signal(signal):
                users.setdefault(thing, []).append(signal.name)
    for name, end in layout.plan.ends.items():
        for aspect in _assumed(layout, end or {}):
            users.setdefault(aspect, []).append(name)
    return [Use(thing, tuple(dict.fromkeys(names))) for thing, names in users.items()]


def clashes(layout: Layout) -> Iterator[Clash]:
    """Yield the signals that were put up when no new ones of what they are made of were."""
    for signal in layout.signals.values():
        installed = _span(signal.entry.installed)
        if installed is None or signal.entry.year:
            continue
        for used in (*_forms(signal), *_indicators(signal)):
            allowed = used.fitted.shared(used.time.years) or used.fitted
            if not allowed.meets(installed):
                others = (other for other in (*used.refitted, *used.others) if other.years.meets(installed))
                yield Clash(signal.name, installed, used, allowed, next(others, None))


def thing(rulebook: Rulebook, *path: str | int) -> Dated:
    """Return a dated thing of a rulebook: ``("forms", "four-aspect")``, ``("sequence", "stop", 5)``."""
    record: Any = getattr(rulebook, str(path[0]))
    for step in path[1:] if path[0] != SEQUENCE or len(path) > 2 else ("", *path[1:]):  # noqa: PLR2004  (rules of no role)
        record = record[step]
    name = f"the rule {record.title!r}" if path[0] == SEQUENCE else f"the {str(path[0]).removesuffix('s')} {path[-1]}"
    return Dated(
        name,
        Time(record.years, rulebook.why(*path, "years")),
        _disputed(rulebook, record.evidence.disputed.get("years")),
        record.fitted,
        _disputed(rulebook, record.evidence.disputed.get("fitted")),
        rulebook.spot(*path, "years", label="its years"),
    )


def _book(rulebook: Rulebook) -> Dated:
    """Return a rulebook as a dated thing."""
    others = _disputed(rulebook, rulebook.evidence.disputed.get("years"))
    time = Time(rulebook.years, rulebook.why("years"))
    return Dated(f"the rulebook {rulebook.id}", time, others, spot=rulebook.spot("years", label="its years"))


def _books(layout: Layout) -> list[Rulebook]:
    """Return the rulebooks that a plan and its signals follow."""
    books = [layout.rulebook, *(signal.rulebook for signal in layout.signals.values() if not signal.entry.year)]
    return list({book.id: book for book in books if book is not None}.values())


def _of_signal(signal: BoundSignal) -> Iterator[Dated]:
    """Yield the dated things of one signal."""
    book, entry = signal.rulebook, signal.entry
    if book is not None:
        yield from _forms(signal)
        yield from _indicators(signal)
        named = {shown.aspect for shown in entry.shows} | set(entry.gives)
        for aspect in (name.rpartition(".")[2] for name in sorted(named)):
            if aspect in book.aspects:
                yield thing(book, "aspects", aspect)
        for plate in entry.plates:
            if plate in book.plates:
                yield thing(book, "plates", plate)
    if (installed := _span(entry.installed)) is not None:
        since = Years(installed.first, END)
        name = f"{signal.name}, put up in {installed}"
        yield Dated(name, Time(since, BY_PLAN), spot=signal.spot("installed", label="put up"))


def _forms(signal: BoundSignal) -> Iterator[Dated]:
    """Yield the form of a signal with those of its parts; one of several if the lamps as built leave it open."""
    book = signal.rulebook
    if book is None:
        return
    names = [signal.form_name] if signal.entry.form else _built(signal, book)
    if len(names) > 1:
        yield _one_of(book, names)
    for name in names if len(names) == 1 and names[0] else ():
        yield thing(book, "forms", name)
        for part in book.forms[name].parts.values():
            yield thing(book, "forms", part.form)


def _built(signal: BoundSignal, book: Rulebook) -> list[str]:
    """Return the forms that have the lamps a signal is built of, whatever the year."""
    return list(identify(book, signal.entry, None).forms) if signal.entry.lamps is not None else []


def _one_of(book: Rulebook, names: list[str]) -> Dated:
    """Return forms of which a signal is one, as one thing: in use while any of them was."""
    found = [thing(book, "forms", name) for name in names]
    first = min(found, key=lambda item: item.time.years.first)
    last = max(found, key=lambda item: item.time.years.last)
    span = Years(first.time.years.first, last.time.years.last)
    citation = min(first.time.citation, last.time.citation, key=lambda one: one.basis)
    return Dated(f"one of the forms {', '.join(names)}", Time(span, citation), spot=first.spot)


def _indicators(signal: BoundSignal) -> Iterator[Dated]:
    """Yield the indicators a signal carries or lights."""
    book, entry = signal.rulebook, signal.entry
    named = [item.name for item in entry.carries or ()]
    named += [item.name for route in entry.routes for item in route.indications]
    known = (signal.indicator(name) for name in named)
    if book is not None:
        for indicator in dict.fromkeys(found[0] for found in known if found is not None):
            yield thing(book, "indicators", indicator)


def _assumed(layout: Layout, end: dict[str, Any]) -> Iterator[Dated]:
    """Yield the aspects that a plan assumes beyond an end."""
    book = layout.rulebook
    for aspect in as_words(end["assume"]) if end.get("assume") is not None else ():
        if book is not None and aspect in book.aspects:
            yield thing(book, "aspects", aspect)


def _disputed(rulebook: Rulebook, said: Mapping[str, Any] | None) -> tuple[Time, ...]:
    """Return what other sources say of years."""
    spans = ((source, _span(str(text))) for source, text in (said or {}).items())
    return tuple(Time(span, cited(rulebook, source)) for source, span in spans if span is not None)


def _span(text: str) -> Years | None:
    """Return a span of years; None if the text is none."""
    try:
        return Years.parse(text) if text else None
    except ValueError:
        return None
