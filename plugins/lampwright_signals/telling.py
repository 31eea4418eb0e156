"""Whether a driver can tell the routes of one signal apart by its indicators."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.routes import exit_lines, route_class
from lampwright.words import counted, listed
from lampwright_signals.lights import book_spot, carried, lights_nothing, lit, record, route_lights, told_apart, why

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal
    from lampwright.plans import Route
    from lampwright_signals.lights import Light


class ConfusableIndicators(Check):
    """Finds two positions of one signal that a driver can take for each other.

    At night only the row of lights is seen: two rows of one slope, on either side of a head that itself is hardly seen,
    look alike. So both of such a pair are avoided, though not forbidden.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, branch: {kind: off-stage}, loop: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: branch, turns: left, indicator: position-1}
              - {to: loop, turns: right, indicator: position-6}    # expect: confusable-indicators "at night"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, branch: {kind: off-stage}, loop: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: branch, turns: left, indicator: position-1}
              - {to: loop, turns: right, indicator: position-4}

    Limits: a warning; five and more positions on one signal are known from the prototype.
    """

    name = "confusable-indicators"
    level = Level.WARNING
    scope = that_say("routes", "carries")
    needs = ("unknown-form", "indicator-on-wrong-side")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a warning for each pair."""
        lights = [item for route in subject.entry.routes for item in lit(subject, route)]
        first: dict[tuple[str, str], Light] = {}
        for item in (*lights, *carried(subject)):
            first.setdefault((item.indicator, item.position), item)
        for indicator in dict.fromkeys(name for name, position in first if position):
            for row, group in enumerate(record(subject, indicator).confusable):
                alike = [item for (name, position), item in first.items() if name == indicator and position in group]
                if len(alike) > 1:
                    yield self._alike(subject, indicator, row, alike)

    def _alike(self, signal: BoundSignal, indicator: str, row: int, alike: list[Light]) -> Finding:
        """Return the warning for one pair."""
        return self.finding(
            f"{signal.name} has {listed(str(item) for item in alike)}, which can be taken for each other at night",
            signal.layout.spot(*alike[-1].path),
            related=(
                *(signal.layout.spot(*item.path, label="the other one") for item in alike[:-1]),
                *book_spot(signal, indicator, "confusable", row, label="the pair"),
            ),
            citations=why(signal, indicator, "confusable", row),
            tip=f"another position on that side would do: {_others_on_side(signal, alike[-1], alike)}",
        )


class SharedIndication(Check):
    """Finds one indication, a position or a character, lit for routes to different lines.

    One indication has one meaning at one place: a driver who sees it must know which line he is sent to.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, branch: {kind: off-stage}, loop: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: branch, turns: left, indicator: position-1}
              - {to: loop, turns: left, indicator: position-1}    # expect: shared-indication "position-1"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, branch: {kind: off-stage}, loop: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: branch, turns: left, indicator: position-1}
              - {to: loop, turns: left, indicator: position-2}

    Limits: lines are those of the ends, signals and sections that routes lead to; where they are not known, another
    exit counts as another line. Shunting routes are left alone: one letter may stand for a group of sidings.
    """

    name = "shared-indication"
    scope = that_say("routes")
    needs = ("unknown-form", "indicator-on-wrong-side", "indicator-on-obvious-route")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each indication that stands for more than one line."""
        if len(subject.entry.routes) == 1:
            return
        groups: dict[tuple[str, frozenset[tuple[str, str, str]]], list[Route]] = {}
        for route in subject.entry.routes:
            lights = route_lights(subject, route)
            if lights and told_apart(subject, route) and not any(item.whole for item in lights):
                look = route_class(route), frozenset(item.shown for item in lights)
                groups.setdefault(look, []).append(route)
        for routes in groups.values():
            apart = [pair for pair in combinations(routes, 2) if _lead_apart(subject, *pair)]
            if apart:
                yield self._shared(subject, [route for route in routes if any(route in pair for pair in apart)])

    def _shared(self, signal: BoundSignal, routes: list[Route]) -> Finding:
        """Return the finding for routes that look alike."""
        lights = route_lights(signal, routes[-1])
        shown = listed(str(item) for item in lights)
        exits = listed(dict.fromkeys(route.to for route in routes))
        others = [item for route in routes[:-1] for item in route_lights(signal, route)[:1]]
        return self.finding(
            f"{signal.name} lights {shown} for the routes to {exits}, which are different lines",
            signal.layout.spot(*lights[-1].path),
            related=(*(signal.layout.spot(*item.path, label="the same") for item in others),),
            citations=why(signal, lights[-1].indicator),
            tip="give each line an indication of its own",
        )


class IndistinctRoutes(Check):
    """Finds more routes than can be told apart: several that lead elsewhere and light nothing.

    Only one route can be the one without an indicator. A driver who meets the main aspect alone cannot know which of
    several such routes is set.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, loop: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: loop, turns: straight}       # expect: indistinct-routes "cannot tell one from another"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {down-main: {kind: off-stage}, loop: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, turns: straight}
              - {to: loop, turns: left, indicator: position-1}

    Limits: only classes of route for which the rulebook asks for indicators. Where no route says which way it turns, it
    is a warning: the indicators may just not be written yet.
    """

    name = "indistinct-routes"
    scope = that_say("routes")
    needs = ("unknown-form", "missing-route-indicator", "shared-indication")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each class that has several routes lighting nothing."""
        if len(subject.entry.routes) == 1:
            return
        classes = dict.fromkeys(map(route_class, subject.entry.routes))
        for kind in classes:
            routes = [route for route in subject.entry.routes if route_class(route) == kind]
            indicator = told_apart(subject, routes[0])
            silent = [route for route in routes if lights_nothing(subject, route)]
            if indicator and len({route.to for route in silent}) > 1:
                yield self._indistinct(subject, indicator, routes, silent)

    def _indistinct(self, signal: BoundSignal, indicator: str, routes: list[Route], silent: list[Route]) -> Finding:
        """Return the finding for the routes of one class."""
        exits = {route.to for route in routes}
        looks = len(exits) - len({route.to for route in silent}) + 1
        alike = listed(dict.fromkeys(route.to for route in silent))
        kind = counted(len(exits), f"{route_class(routes[0])} route")
        told = f"can tell only {looks} apart" if looks > 1 else "cannot tell one from another"
        return self.finding(
            f"{signal.name} has {kind}, and a driver {told}: those to {alike} look the same",
            signal.layout.spot(*silent[-1].path, "to"),
            related=(
                *(signal.layout.spot(*route.path, "to", label="looks the same") for route in silent[:-1]),
                *book_spot(signal, indicator, "needed", label="when one is needed"),
            ),
            citations=why(signal, indicator, "needed"),
            tip="light an indicator for all of them but one, and say which way each turns",
            level=None if any(route.turns for route in silent) else Level.WARNING,
        )


def _lead_apart(signal: BoundSignal, one: Route, other: Route) -> bool:
    """Tell whether two routes lead to different lines, as far as lines are known, else to different exits."""
    lines, others = exit_lines(signal.layout, one), exit_lines(signal.layout, other)
    return not lines & others if lines and others else one.to != other.to


def _others_on_side(signal: BoundSignal, item: Light, alike: list[Light]) -> str:
    """Return the other positions on the side of one."""
    sides = record(signal, item.indicator).positions
    taken = {one.position for one in alike}
    side = sides[item.position]
    return listed([name for name, where in sides.items() if where == side and name not in taken], "or")
