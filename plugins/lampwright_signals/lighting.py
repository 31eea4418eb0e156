"""What indicators light: by which routes, with which aspects, and which characters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.rulebooks.contents import unshowable
from lampwright.words import listed
from lampwright_signals import saying
from lampwright_signals.lights import aspect_of, carried, displayed, lit, may_stand, names_carried, record

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.model import Indicator
    from lampwright_signals.lights import Light


class IndicatorNotCarried(Check):
    """Finds a route or a display that lights an indicator, position or character that the signal does not carry.

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

    Wrong:

        plan: 1
        rulebook: nl-1954
        year: 1975
        signals:
          HF1:
            form: high-main
            carries: []
            shows:
              s215: red
              s212: yellow
              s201: green
              s210: {yellow: lit, number: lit}      # expect: indicator-not-carried "HF1 lights number for s210"

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
    scope = that_say("carries")
    needs = ("unknown-indicator", "indicator-on-wrong-side")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each light a route asks for in vain."""
        hanging = carried(subject)
        named = [entry for item in subject.entry.carries or () for entry in names_carried(item)]
        if subject.entry.carries is None or len(hanging) < len(named):
            return
        for item, what in _burning(subject):
            if not any(_same(one, item) for one in hanging):
                names = listed([str(one) for one in hanging], "or")
                instead = f", or light {names}" if names else ""
                yield self.finding(
                    f"{subject.name} lights {item} for {what}, and does not carry it",
                    subject.layout.spot(*item.path),
                    related=(subject.spot("carries", label="what it carries"),),
                    tip=f"add {item} to what it carries{instead}",
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
    scope = that_say("carries")
    needs = (
        "unknown-indicator",
        "indicator-not-carried",
        "indicator-on-wrong-side",
        "indicator-on-obvious-route",
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
    scope = that_say("routes", "carries")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each content that an indicator cannot show, once."""
        lights = [item for route in subject.entry.routes for item in lit(subject, route)]
        lights += [item for item in carried(subject) if not _lent(subject, item)]
        seen: set[tuple[str, str, str]] = set()
        for item in lights:
            if item.content and item.shown not in seen and subject.rulebook is not None:
                seen.add(item.shown)
                for key, wrong, tip in unshowable(record(subject, item.indicator), item.content):
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
    scope = that_say("shows")
    needs = ("unknown-form",)

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


def _burning(signal: BoundSignal) -> Iterator[tuple[Light, str]]:
    """Yield what routes light, and the modeller's own displays, with what for."""
    yield from ((item, f"the route to {route.to}") for route in signal.entry.routes for item in lit(signal, route))
    for shown in () if saying.taken_over(signal, "shows") else signal.entry.shows:
        yield from ((item, shown.aspect) for item in displayed(signal, shown))


def _own(indicator: Indicator) -> bool:
    """Tell whether an indicator speaks of the signal it hangs on; one that announces the next says no aspect."""
    return bool(indicator.needed or indicator.stands_with)


def _lent(signal: BoundSignal, item: Light) -> bool:
    """Tell whether another signal, which this one is like, says it."""
    return item.path[:2] != signal.path


def _same(one: Light, other: Light) -> bool:
    """Tell whether two lights are one, or one of them names the whole indicator that the other is of."""
    return one.indicator == other.indicator and (one.whole or other.whole or one.shown == other.shown)
