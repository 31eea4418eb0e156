"""Indicators as drivers read them: which route has one, on which side, and whether routes can be told apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.routes import STRAIGHT, beside, facts, route_class
from lampwright.words import listed
from lampwright_signals.lights import (
    asked_by,
    aspects_for,
    book_spot,
    called,
    carried,
    in_use,
    lacking,
    lit,
    may_stand,
    record,
    route_lights,
    superfluous,
    tells_route,
    why,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal
    from lampwright.plans import Route
    from lampwright_signals.lights import Light


class IndicatorOnWrongSide(Check):
    """Finds a route that turns one way and lights a position on the other side.

    A driver reads the side before the slope: a row of lights to the left is a turn to the left. Lit for the other
    turn, it sends the train's speed and the signalman's route apart.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left, indicator: position-4}    # expect: indicator-on-wrong-side "position-4"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left, indicator: position-1}

    Limits: a route without `turns` is not looked at, nor which of the positions on one side is the nearest.
    """

    name = "indicator-on-wrong-side"
    scope = that_say("routes")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each position that points away from the route's turn."""
        for route in subject.entry.routes:
            for item in route_lights(subject, route):
                sides = record(subject, item.indicator).positions
                side = sides.get(item.position, "")
                if {side, route.turns} == {"left", "right"}:
                    tip = f"{listed(_free(subject, item, route.turns), 'or')} would point to the {route.turns}"
                    yield self.finding(
                        f"{subject.name} lights {item}, on the {side}, for {called(route)}, which turns {route.turns}",
                        subject.layout.spot(*item.path),
                        related=(
                            subject.layout.spot(*route.path, "turns", label="the way it turns"),
                            *book_spot(subject, item.indicator, "positions", item.position, label="its side"),
                        ),
                        citations=why(subject, item.indicator, "positions", item.position),
                        tip=tip,
                    )


class IndicatorOnObviousRoute(Check):
    """Finds an indicator lit for the obvious route, which a driver expects to have none.

    Where one route goes straight on and none is faster, the main aspect alone stands for it: an indicator there tells
    the driver of a turn that does not come. Where no route is obviously straight, every one has an indicator.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight, indicator: position-1}  # expect: indicator-on-obvious-route "the obv"
              - {to: down-branch, turns: right, indicator: position-4}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: left, indicator: position-1}
              - {to: down-branch, turns: right, indicator: position-4}

    Limits: a straight route slower than another has an indicator by rule, if the plan gives both speeds; a turning
    route that is the fastest of all, beside a straight one, has none by the same rule, which is a warning.
    """

    name = "indicator-on-obvious-route"
    scope = that_say("routes")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each indicator lit where the rulebook asks for none."""
        for route in subject.entry.routes:
            turned = bool(route.turns) and route.turns != STRAIGHT
            known = facts(subject, route)
            fastest = known["pace"] == "fastest" and known["straight"] == "beside"
            if turned and not fastest:
                continue
            for item in route_lights(subject, route):
                if superfluous(subject, route, item.indicator):
                    yield self._superfluous(subject, route, item, Level.WARNING if turned else self.level)

    def _superfluous(self, signal: BoundSignal, route: Route, item: Light, level: Level) -> Finding:
        """Return the finding for one light."""
        reason = "the fastest here" if level is Level.WARNING else "the obvious one"
        tip = "leave `indicator` out; if no route is obviously straight, say which way each of them turns"
        return self.finding(
            f"{signal.name} lights {item} for {called(route)}, {reason}, where the main aspect stands alone",
            signal.layout.spot(*item.path),
            related=(
                signal.layout.spot(*route.path, "turns", label="the way it turns"),
                *book_spot(signal, item.indicator, "needed", label="when one is needed"),
            ),
            citations=why(signal, item.indicator, "needed"),
            tip=tip,
            level=level,
        )


class MissingRouteIndicator(Check):
    """Finds a route that must be told by an indicator and lights none.

    The driver of a train that is to turn off must know it before the points: for the turning route beside a straight
    one, for every route where none is obviously straight, and for a straight one that is slower than another.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left}    # expect: missing-route-indicator "down-branch"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, down-branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: down-branch, turns: left, indicator: position-1}

    Limits: a route without `turns` is not looked at. A turning route that is the only one written is a note: with no
    other route there is nothing to be told from. Before indicators came into use, none is missing. One that is needed
    below the speed of the line is asked for only where that speed is known.
    """

    name = "missing-route-indicator"
    scope = that_say("routes")
    needs = ("unknown-form", "indicator-on-obvious-route")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each route that needs an indicator and has none."""
        for route in subject.entry.routes:
            if indicator := lacking(subject, route):
                yield self._lacking(subject, route, indicator)

    def _lacking(self, signal: BoundSignal, route: Route, indicator: str) -> Finding:
        """Return the finding for one route."""
        others = beside(signal, route)
        told = tells_route(record(signal, indicator))
        what = "no indicator" if told else f"no {indicator}"
        reason = _turning(route) if told else "needs one"
        alone = ", the only one written for it" if told and not others else ""
        asking = asked_by(signal, indicator, route)
        return self.finding(
            f"{signal.name} lights {what} for {called(route)}, which {reason}{alone}",
            signal.layout.spot(*route.path, "turns" if told else "to"),
            related=(
                *(signal.layout.spot(*other.path, "to", label=f"beside {called(other)}") for other in others[:1]),
                *book_spot(signal, indicator, *asking, label="when one is needed"),
            ),
            citations=why(signal, indicator, *asking),
            tip=_suggested(signal, route, indicator),
            level=Level.NOTE if alone else None,
        )


class IndicatorForWrongClass(Check):
    """Finds an indicator lit for a class of route whose aspects it never stands with.

    A junction indicator belongs to the main aspect. A shunting or calling-on movement goes by the position light with
    the main aspect at danger, and is told, if at all, by an indicator of the position light; and the other way about.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, yard: {kind: unsignalled}}
        signals:
          HF3:
            form: three-aspect-with-position-light
            routes:
              - {to: down-main, turns: straight}
              - {to: yard, turns: left, class: shunt, indicator: position-1}  # expect: indicator-for-wrong-class "yard"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, yard: {kind: unsignalled}}
        signals:
          HF3:
            form: three-aspect-with-position-light
            routes:
              - {to: down-main, turns: straight}
              - {to: yard, turns: left, class: shunt}

    Limits: which aspects a class of route can have is worked out from the rulebook's sequence; without one, nothing is
    looked at.
    """

    name = "indicator-for-wrong-class"
    scope = that_say("routes")
    needs = ("unknown-form",)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each light that no aspect of its route allows."""
        for route in subject.entry.routes:
            for item in lit(subject, route):
                if not record(subject, item.indicator).stands_with:
                    continue
                aspects = aspects_for(subject, route)
                if aspects and not may_stand(subject, item.indicator, aspects):
                    yield self._wrong(subject, route, item, aspects)

    def _wrong(self, signal: BoundSignal, route: Route, item: Light, aspects: list[str]) -> Finding:
        """Return the finding for one light."""
        kind = record(signal, item.indicator).kind
        others = [
            name
            for name in in_use(signal)
            if may_stand(signal, name, aspects) and (record(signal, name).kind == kind or kind == "positions")
        ]
        return self.finding(
            f"{signal.name} lights {item} for {called(route)}, and no aspect of a {route_class(route)} route allows it",
            signal.layout.spot(*item.path),
            related=(
                signal.layout.spot(*route.path, "class", label="the class of the route"),
                *book_spot(signal, item.indicator, "stands-with", label="when it may be lit"),
            ),
            citations=why(signal, item.indicator, "stands-with"),
            tip=f"leave it out, or use {listed(others, 'or')}" if others else "leave it out",
        )


def _turning(route: Route) -> str:
    """Say which way a route goes, and why that matters."""
    return "is slower than another" if route.turns == STRAIGHT else f"turns {route.turns}"


def _suggested(signal: BoundSignal, route: Route, indicator: str) -> str:
    """Return which light would do: one it carries and no route lights, else any on the right side."""
    burning = {item.shown for other in signal.entry.routes for item in lit(signal, other)}
    sides = record(signal, indicator).positions
    fitting = [position for position, side in sides.items() if route.turns in (side, STRAIGHT)]
    hanging = [item for item in carried(signal) if item.position in fitting and item.shown not in burning]
    if hanging:
        return f"it carries {hanging[0]}, which no route lights"
    free = [position for position in fitting if (indicator, position, "") not in burning]
    return f"light {listed(free, 'or')}" if free else f"light its {indicator} indicator"


def _free(signal: BoundSignal, item: Light, turns: str) -> list[str]:
    """Return the positions of an indicator on one side; those the signal carries, if it carries any."""
    fitting = [position for position, side in record(signal, item.indicator).positions.items() if side == turns]
    hanging = [one.position for one in carried(signal) if one.position in fitting]
    return hanging or fitting
