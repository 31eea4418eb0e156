"""Indicators as hardware: whether the form, the year and the signal can have them, and what they can show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check, that_say
from lampwright.findings import Level
from lampwright.words import did_you_mean, listed
from lampwright_signals import dating, saying
from lampwright_signals.lights import (
    carried,
    light,
    lit,
    names_carried,
    record,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright_signals.lights import Light


class UnknownIndicator(Check):
    """Finds an indicator that the rulebook does not have.

    A name that leads nowhere says nothing of how many lamps to build, which way they point, or when they may be lit.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: three-aspect
            carries: [postion-1]        # expect: unknown-indicator "HF1 carries postion-1"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: three-aspect
            carries: [position-1]

    Limits: whether the form may carry it is asked by indicator-beyond-form.
    """

    name = "unknown-indicator"
    scope = that_say("routes", "carries")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each name that leads nowhere."""
        book = subject.rulebook
        if book is None or subject.form is None:
            return
        there = _names(book)
        for path, name, verb in _astray(subject):
            if name not in there:
                message = f"{subject.name} {verb} {name}, and {book.id} has no such indicator"
                tip = did_you_mean(name, _allowed(subject) or there, "the indicators it may carry")
                yield self.finding(message, subject.layout.spot(*path), tip=tip)


class IndicatorBeyondForm(Check):
    """Finds an indicator that signals of this form do not carry.

    A route indicator belongs to a signal that can clear for a route: a distant or a banner repeater on the prototype
    has none, and a junction indicator has no place beside a position light alone.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF3: {form: three-aspect}
          HF3R:
            form: banner-repeater
            repeats: HF3
            carries: [position-1]       # expect: indicator-beyond-form "a banner repeater carries no such indicator"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF3:
            form: three-aspect
            carries: [position-1]
          HF3R: {form: banner-repeater, repeats: HF3}

    Limits: a form of the plan's own may carry what its `indicators` list names.
    """

    name = "indicator-beyond-form"
    scope = that_say("routes", "carries")
    needs = saying.FORM_FIRST

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield one finding for all that the form may not have."""
        book, form = subject.rulebook, subject.form
        if book is None or form is None:
            return
        there = _names(book)
        barred = [(path, name, verb) for path, name, verb in _astray(subject) if name in there]
        if not barred:
            return
        (path, _, verb), *more = barred
        allowed = listed(subject.indicators, "or")
        names = listed(name for _, name, _ in barred)
        yield self.finding(
            f"{subject.name} {verb} {names}, and {saying.kind(subject.form_name, form)} carries no such indicator",
            subject.layout.spot(*path),
            related=(
                *(subject.layout.spot(*path) for path, _, _ in more),
                *saying.form_spot(subject),
                book.spot("forms", subject.form_name, label="the rulebook's form", on_key=True),
            ),
            citations=(book.why("forms", subject.form_name, "indicators"),),
            tip=f"it may carry {allowed}" if allowed else "leave it out, or give the form that has one",
        )


class IndicatorNotInUse(Check):
    """Finds an indicator that was not in use in the plan's years.

    Before junction indicators a diverging route was told by heads side by side; an indicator on a signal of those years
    tells the onlooker that the period is wrong. One finding for each indicator, at the plan's year.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1930                      # expect: indicator-not-in-use "the indicator junction was not in use in 1930"
        signals:
          HF1:
            form: three-aspect
            carries: [position-1]

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1950
        signals:
          HF1:
            form: three-aspect
            carries: [position-1]

    Limits: where the years rest on memory, as with junction indicators, this is a note.
    """

    name = "indicator-not-in-use"
    scope = PLAN
    needs = ("year-outside-rulebook",)

    def missing(self, whole: Layout) -> str:
        """Ask for a year."""
        return saying.no_year(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each indicator that the year rules out."""
        yield from dating.not_in_use(self, _uses(subject))


class IndicatorFittedOutOfTime(Check):
    """Finds a signal put up after the last new indicators of a kind that it carries.

    Kinds went out of production long before the last one was taken down: the Southern's indicator with three lamps was
    put up until about 1966 and is seen much later, but never on a signal that is itself newer.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1980
        signals:
          HF1:
            form: three-aspect
            installed: 1975             # expect: indicator-fitted-out-of-time "HF1 was put up in 1975"
            carries: [junction-three-lamp]

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1980
        signals:
          HF1:
            form: three-aspect
            installed: 1959
            carries: [junction-three-lamp]

    Limits: an indicator that was added to an older signal is not looked at.
    """

    name = "indicator-fitted-out-of-time"
    scope = that_say("installed")
    needs = ("unknown-form", "unknown-year")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each indicator older than the signal."""
        installed = dating.parsed(subject.entry.installed)
        for use in _uses_of(subject):
            if installed is not None and installed.first > use.thing.fitted.last:
                yield from dating.put_up_out_of_time(self, use)


class UndatedIndicator(Check):
    """Finds an indicator no longer put up new in the plan's year, on a signal that does not say how old it is.

    A survivor is right on the prototype and on the model, but only if the signal is old enough to have one.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1980                      # expect: undated-indicator "HF1 does not say how old it is"
        signals:
          HF1:
            form: three-aspect
            carries: [junction-three-lamp]

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1980
        signals:
          HF1:
            form: three-aspect
            installed: 1959
            carries: [junction-three-lamp]

    Limits: one note for each kind of indicator, however many signals carry it.
    """

    name = "undated-indicator"
    level = Level.NOTE
    scope = PLAN
    needs = ("indicator-not-in-use",)

    def missing(self, whole: Layout) -> str:
        """Ask for a year."""
        return saying.no_year(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a note for each indicator that must be a survivor."""
        yield from dating.undated_survivors(self, _uses(subject))


def _astray(signal: BoundSignal) -> list[tuple[Path, str, str]]:
    """Return the names of indicators that mean nothing on this signal: where, the name, and what the signal does."""
    hanging = [] if saying.taken_over(signal, "carries") else signal.entry.carries or ()
    named = [(*entry, "carries") for item in hanging for entry in names_carried(item)]
    named += [
        (item.path, item.name, item.content, "lights") for route in signal.entry.routes for item in route.indications
    ]
    found: dict[str, tuple[Path, str, str]] = {}
    for path, name, content, verb in named:
        if light(signal, path, name, content) is None:
            slip = content if signal.indicator(name) else name
            found.setdefault(slip, (path, slip, verb))
    return list(found.values())


def _names(book: Rulebook) -> set[str]:
    """Return every name by which a rulebook's indicators can be named; worked out once."""
    if "names of indicators" not in book.cache:
        positions = [(name, place) for name, indicator in book.indicators.items() for place in indicator.positions]
        inner = {named for name, place in positions for named in (place, f"{name}.{place}")}
        book.cache["names of indicators"] = {*book.indicators, *inner}
    names: set[str] = book.cache["names of indicators"]
    return names


def _allowed(signal: BoundSignal) -> list[str]:
    """Return the indicators and positions that the form may carry."""
    positions = [position for name in signal.indicators for position in record(signal, name).positions]
    return list(dict.fromkeys((*positions, *signal.indicators)))


def _uses(layout: Layout) -> list[dating.Use]:
    """Return every indicator of the plan with the first place at which each signal names it; worked out once."""
    if "indicators used" not in layout.cache:
        signals = layout.that_say(("routes", "carries"))
        layout.cache["indicators used"] = [use for signal in signals for use in _uses_of(signal)]
    used: list[dating.Use] = layout.cache["indicators used"]
    return used


def _uses_of(signal: BoundSignal) -> list[dating.Use]:
    """Return the indicators of one signal, each once."""
    if signal.rulebook is None or signal.form is None:
        return []
    lights = [*carried(signal), *(item for route in signal.entry.routes for item in lit(signal, route))]
    first = {item.indicator: item for item in reversed(lights)}
    return [_use(signal, signal.rulebook, item) for item in reversed(first.values())]


def _use(signal: BoundSignal, book: Rulebook, item: Light) -> dating.Use:
    """Return one dated use."""
    spot: Spot = signal.layout.spot(*item.path, label=f"{signal.name} has it")
    return dating.Use(signal, book, ("indicators", item.indicator), book.indicators[item.indicator], spot)
