"""Turns that are slower than the track before them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.checks import Check
from lampwright.findings import Level
from lampwright.routes import MAIN, STRAIGHT, beside, line_speed, route_class, route_speed
from lampwright.working.bound import ROUTE, bound_routes
from lampwright.working.parameters import parameter
from lampwright.working.reach import reach
from lampwright_working.asked import nothing_asked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright.quantities import Quantity
    from lampwright.working.bound import BoundRoute
    from lampwright.working.parameters import Parameter

DROP: Final = "release-speed-drop"
TURNING: Final = ("left", "right")


class SuddenTurn(Check):
    """Finds a turn much slower than the track before it, for which the signal clears at once.

    A driver who sees a green with an indicator at the last moment cannot slow down from line speed before the points.
    So the prototype holds such a signal at red, or at yellow behind flashing yellows, until the train is near; or a
    splitting distant tells of the turn in advance. On the model this is the most visible difference between a junction
    that is signalled and one that merely has lamps.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        lines: {main: {speed: 75 mph}}
        sections: {AA: {line: main}, AB: {line: main}, AC: {}}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA], turns: straight}]}
          HF3:
            form: three-aspect
            routes:
              - {to: HF5, over: [AB], turns: straight}
              - {to: HF7, over: [AC], turns: left, indicator: position-1, speed: 25 mph}  # expect: sudden-turn "25 mph"
          HF5: {form: three-aspect}
          HF7: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        lines: {main: {speed: 75 mph}}
        sections: {AA: {line: main}, AB: {line: main}, AC: {}}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA], turns: straight}]}
          HF3:
            form: three-aspect
            routes:
              - {to: HF5, over: [AB], turns: straight}
              - to: HF7
                over: [AC]
                turns: left
                indicator: position-1
                speed: 25 mph
                release: {from: red, occupied: AA}
          HF5: {form: three-aspect}
          HF7: {form: three-aspect}

    Limits: it compares speeds that the plan gives: that of the route, and that of the lines a train comes from, or of
    the straight route. How much of a drop needs a release is a figure of the rulebook; if that is known from memory
    only, this is a note.
    """

    name = "sudden-turn"
    level = Level.WARNING
    scope = ROUTE

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook with a sequence, and speeds."""
        speeds = any(route.entry.speed for route in bound_routes(whole))
        return nothing_asked(whole) or ("" if speeds else "no speeds of routes given")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Compare the speed of a turning route with that of the track before it."""
        route, signal = subject.entry, subject.signal
        if route_class(route) != MAIN or route.turns not in TURNING or route.release or not route.speed:
            return
        own, before = route_speed(subject.layout, route), _speed_before(subject)
        limit = parameter(subject.layout, DROP, "speed", signal.rulebook)
        if own is None or before is None or limit is None or _told_in_advance(signal):
            return
        drop = before.amount - own.amount
        if drop > limit.own.value:
            yield self._sudden(subject, before, limit)

    def _sudden(self, route: BoundRoute, before: Quantity, limit: Parameter) -> Finding:
        """Return the finding for a turn that comes too suddenly."""
        near = [other.entry.over[-1] for other in _leading(route) if other.entry.over]
        occupied = f", occupied: {near[0]}" if near else ""
        return self.finding(
            f"{route.signal.name} clears at once for {route} at {route.entry.speed}, where trains come at {before}",
            route.spot("speed"),
            related=(limit.spot,),
            citations=limit.citations,
            because=f"a drop of more than {limit.own.text} is not left to the last moment",
            tip=f"release: {{from: red{occupied}}}",
        )


def _leading(route: BoundRoute) -> list[BoundRoute]:
    """Return the main routes that lead to the signal of a route."""
    return [
        other
        for other in bound_routes(route.layout)
        if other.entry.to == route.signal.name and route_class(other.entry) == MAIN
    ]


def _speed_before(route: BoundRoute) -> Quantity | None:
    """Return the highest speed with which trains come to a route's signal; that of the straight route if unknown."""
    speeds = [line_speed(other.layout, other.entry) for other in _leading(route)]
    known = [speed for speed in speeds if speed is not None]
    if not known:
        straight = [other for other in beside(route.signal, route.entry) if other.turns == STRAIGHT]
        known = [speed for other in straight if (speed := route_speed(route.layout, other)) is not None]
    return max(known, key=lambda speed: speed.amount, default=None)


def _told_in_advance(signal: BoundSignal) -> bool:
    """Tell whether a signal before looks different by the way this one's route turns: a splitting distant."""
    behind = reach(signal.layout).network.behind.get(signal.name, ())
    return any("turns" in coupling.when.get("next-route", {}) for via in behind for coupling in via.stand.post.coupling)
