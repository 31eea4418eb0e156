"""Indicators as hardware: whether the form, the year and the signal can have them, and what they can show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.words import did_you_mean, listed
from lampwright_signals import dating, saying
from lampwright_signals.lights import (
    aspect_of,
    carried,
    displayed,
    light,
    lit,
    may_stand,
    names_carried,
    record,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Indicator
    from lampwright_signals.lights import Light


class UnknownIndicator(Check):
    """Finds an indicator that a signal's form may not have, or that the rulebook lacks.

    A route indicator belongs to certain signals only: a banner repeater or a distant on the prototype has none, and a
    name that the rulebook does not know says nothing of how many lamps to build or which way they point.

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

    Limits: a form of the plan's own may carry what its `indicators` list names.
    """

    name = "unknown-indicator"
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each name that leads nowhere, and one for all that the form may not have."""
        if subject.rulebook is None or subject.form is None:
            return
        known = _names(subject.rulebook)
        barred: list[tuple[Path, str, str]] = []
        for path, name, verb in _unknown(subject):
            if name in known:
                barred.append((path, name, verb))
            else:
                message = f"{subject.name} {verb} {name}, which {subject.rulebook.id} does not have"
                tip = did_you_mean(name, _allowed(subject) or known, "indicators this form may carry")
                yield self.finding(message, subject.layout.spot(*path), tip=tip)
        if barred:
            yield self._barred(subject, barred)

    def _barred(self, signal: BoundSignal, named: list[tuple[Path, str, str]]) -> Finding:
        """Return the finding for indicators that other forms carry, and this one does not."""
        assert signal.rulebook is not None  # noqa: S101  (looked at before)
        assert signal.form is not None  # noqa: S101
        names = listed(dict.fromkeys(name for _, name, _ in named))
        kind = saying.kind(signal.form_name, signal.form)
        allowed = listed(signal.indicators, "or")
        return self.finding(
            f"{signal.name} {named[0][2]} {names}, and {kind} has no such indicator",
            signal.layout.spot(*named[0][0]),
            related=(
                *(signal.layout.spot(*path) for path, _, _ in named[1:]),
                *saying.form_spot(signal),
                signal.rulebook.spot("forms", signal.form_name, label="the rulebook's form", on_key=True),
            ),
            citations=(signal.rulebook.why("forms", signal.form_name, "indicators"),),
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
    needs = ("unknown-indicator",)

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


class IndicatorNotCarried(Check):
    """Finds a route that lights an indicator, position or character that the signal does not carry.

    What hangs on the post is what can be lit: the plan says two different things, and the lamp or its output will be
    missing when the signal is wired.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            carries: [position-1]
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left, indicator: position-2}    # expect: indicator-not-carried "position-2"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            carries: [position-2]
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left, indicator: position-2}

    Limits: a signal without `carries` is not looked at; `carries: [junction]` stands for any position.
    """

    name = "indicator-not-carried"
    needs = ("unknown-indicator", "indicator-on-wrong-side")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each light a route asks for in vain."""
        if subject.entry.carries is None:
            return
        hanging = carried(subject)
        for route in subject.entry.routes:
            for item in lit(subject, route):
                if not any(_same(one, item) for one in hanging):
                    names = [str(one) for one in hanging]
                    yield self.finding(
                        f"{subject.name} lights {item} for the route to {route.to}, and does not carry it",
                        subject.layout.spot(*item.path),
                        related=(subject.spot("carries", label="what it carries"),),
                        tip=did_you_mean(str(item), names, "the indicators it carries"),
                    )


class UnlitIndicator(Check):
    """Finds an indicator that no route lights.

    It may be meant for a route not yet written, or a route names another one. On the model it costs lamps and outputs
    that are never lit.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            carries: [position-1, position-4]    # expect: unlit-indicator "position-4, which no route lights"
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left, indicator: position-1}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}, yard: {kind: unsignalled}}
        signals:
          HF3:
            form: three-aspect
            carries: [position-1, position-4]
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left, indicator: position-1}
              - {to: yard, turns: right, indicator: position-4}

    Limits: signals without routes are not looked at, nor indicators that announce the next signal's route.
    """

    name = "unlit-indicator"
    level = Level.NOTE
    needs = (
        "unknown-indicator",
        "indicator-not-carried",
        "indicator-on-wrong-side",
        "missing-route-indicator",
        "shared-indication",
        "indistinct-routes",
    )

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield one note for all that hangs there dark."""
        if not subject.entry.routes:
            return
        burning = [item for route in subject.entry.routes for item in lit(subject, route)]
        burning += [item for shown in subject.entry.shows for item in displayed(subject, shown)]
        dark = [
            item
            for item in carried(subject)
            if _own(record(subject, item.indicator)) and not any(_same(item, one) for one in burning)
        ]
        if dark:
            yield self.finding(
                f"{subject.name} carries {listed(str(item) for item in dark)}, which no route lights",
                subject.layout.spot(*dark[0].path),
                related=(subject.layout.spot(*item.path) for item in dark[1:]),
                tip="say which route lights it, or leave it off",
            )


class UnshowableCharacter(Check):
    """Finds characters or figures that an indicator cannot show, or more of them than it has room for.

    Route indicators have a fixed set of letters and digits. What cannot be shown must be told otherwise, and on the
    model the matrix or stencil has no place for it.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, bay: {kind: buffer-stop}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: bay, turns: left, indicator: {alphanumeric: BAY1}}    # expect: unshowable-character "BAY1"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, bay: {kind: buffer-stop}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: bay, turns: left, indicator: {alphanumeric: B}}

    Limits: what the rulebook does not say of an indicator is not checked. Where the set rests on memory, as in this
    example, it is a note.
    """

    name = "unshowable-character"
    needs = ("unknown-indicator",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each content that an indicator cannot show, once."""
        lights = [item for route in subject.entry.routes for item in lit(subject, route)]
        lights += [item for item in carried(subject) if not _lent(subject, item)]
        seen: set[tuple[str, str, str]] = set()
        for item in lights:
            if item.content and item.shown not in seen and subject.rulebook is not None:
                seen.add(item.shown)
                for key, wrong, tip in _unshowable(record(subject, item.indicator), item):
                    path = ("indicators", item.indicator, key)
                    yield self.finding(
                        f"{subject.name} is to show {item.content} in its {item.indicator} indicator, {wrong}",
                        subject.layout.spot(*item.path),
                        related=(subject.rulebook.spot(*path, label="what it can show"),),
                        citations=(subject.rulebook.why(*path),),
                        tip=tip,
                    )


class IndicatorWithWrongAspect(Check):
    """Finds an indicator lit together with an aspect it may not stand with: most often with danger.

    A route indicator is blank while the signal is at danger; one that is lit beside a red tells a driver that a route
    is set for a train that must stand.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF3:
            form: three-aspect
            shows:
              danger: {red: lit, position-1: lit}    # expect: indicator-with-wrong-aspect "position-1 with danger"
              caution: [yellow]
              clear: [green]

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF3:
            form: three-aspect
            shows:
              danger: {red: lit}
              caution: {yellow: lit, position-1: lit}
              clear: [green]

    Limits: on the prototype an indicator is proved alight before the main aspect clears, and so may be seen with the
    red for a moment; that is no display to be commanded.
    """

    name = "indicator-with-wrong-aspect"
    needs = ("unknown-indicator",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each indicator that a display lights against the rulebook."""
        book = subject.rulebook
        if book is None or subject.form is None or saying.taken_over(subject, "shows"):
            return
        for shown in subject.entry.shows:
            aspect = aspect_of(subject, shown.aspect)
            if aspect not in book.aspects or not book.aspects[aspect].says:
                continue
            for item in displayed(subject, shown):
                if record(subject, item.indicator).stands_with and not may_stand(subject, item.indicator, [aspect]):
                    yield self._lit_with(subject, item, aspect, shown.path)

    def _lit_with(self, signal: BoundSignal, item: Light, aspect: str, path: Path) -> Finding:
        """Return the finding for one indicator in one display."""
        assert signal.rulebook is not None  # noqa: S101  (looked at before)
        given = dict.fromkeys(aspect_of(signal, name) for name in signal.reader.gives) if signal.reader else {}
        right = listed(may_stand(signal, item.indicator, given))
        return self.finding(
            f"{signal.name} lights {item} with {aspect}, and must keep it dark then",
            signal.layout.spot(*item.path),
            related=(
                signal.layout.spot(*path, label="this aspect", on_key=True),
                signal.rulebook.spot("indicators", item.indicator, "stands-with", label="when it may be lit"),
            ),
            citations=(signal.rulebook.why("indicators", item.indicator, "stands-with"),),
            tip=f"it may be lit with {right}" if right else "leave it out here",
        )


def _unknown(signal: BoundSignal) -> list[tuple[Path, str, str]]:
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
    """Return every name by which a rulebook's indicators can be named."""
    named = set(book.indicators)
    for name, indicator in book.indicators.items():
        named.update(indicator.positions)
        named.update(f"{name}.{position}" for position in indicator.positions)
    return named


def _allowed(signal: BoundSignal) -> list[str]:
    """Return the indicators and positions that the form may carry."""
    positions = [position for name in signal.indicators for position in record(signal, name).positions]
    return list(dict.fromkeys((*positions, *signal.indicators)))


def _uses(layout: Layout) -> list[dating.Use]:
    """Return every indicator of the plan with the first place at which each signal names it."""
    return [use for signal in layout.signals.values() for use in _uses_of(signal)]


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


def _own(indicator: Indicator) -> bool:
    """Tell whether an indicator speaks of the signal it hangs on; one that announces the next says no aspect."""
    return bool(indicator.needed or indicator.stands_with)


def _lent(signal: BoundSignal, item: Light) -> bool:
    """Tell whether another signal, which this one is like, says it."""
    return item.path[:2] != signal.path


def _same(one: Light, other: Light) -> bool:
    """Tell whether two lights are one, or one of them names the whole indicator that the other is of."""
    return one.indicator == other.indicator and (one.whole or other.whole or one.shown == other.shown)


def _unshowable(indicator: Indicator, item: Light) -> Iterator[tuple[str, str, str]]:
    """Yield why an indicator cannot show its content: the datum that says so, what is wrong, what would be right."""
    if indicator.kind == "characters" and indicator.characters:
        known = _characters(indicator.characters)
        if odd := [character for character in item.content if character not in known]:
            mended = item.content.upper()
            tip = f"did you mean {mended}?" if all(character in known for character in mended) else ""
            yield "characters", f"which has no {listed(dict.fromkeys(odd))}", tip or f"it has {indicator.characters}"
        elif indicator.at_most and len(item.content) > indicator.at_most:
            yield "at-most", f"which has room for {indicator.at_most}", "shorten it"
    elif indicator.kind == "figure" and indicator.figures and not _figure(indicator.figures, item.content):
        yield "figures", "which has no such figure", f"it has {indicator.figures}"
    elif indicator.kind == "bars" and item.content not in indicator.shows:
        yield "shows", "which cannot show that", did_you_mean(item.content, indicator.shows, "it can show: there")


def _characters(said: str) -> frozenset[str]:
    """Return the characters of ``A-Z 0-9 X``."""
    found: set[str] = set()
    for token in said.split():
        first, dash, last = token.partition("-")
        if dash and len(first) == len(last) == 1:
            found.update(map(chr, range(ord(first), ord(last) + 1)))
        else:
            found.update(token)
    return frozenset(found)


def _figure(said: str, content: str) -> bool:
    """Tell whether a figure is among those of ``1..16`` or ``4 6 8``."""
    first, dots, last = said.partition("..")
    if dots and first.strip().isdecimal() and last.strip().isdecimal():
        return content.isdecimal() and int(first) <= int(content) <= int(last)
    return content in said.replace(",", " ").split()
