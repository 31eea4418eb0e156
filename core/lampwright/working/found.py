"""Routes completed from the track: what a route leaves out and the track leaves no doubt about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from lampwright.working.track import Track
from lampwright.working.ways import stops, ways

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright.plans import Plan, Route, Signal
    from lampwright.working.ways import Way


def completed(plan: Plan) -> Plan:
    """Return the plan with the sections, points and passed signals of its routes, where the track tells them.

    A route that says some of them keeps what it says. One that may mean several ways, or none, stays as it is.
    """
    if not plan.values.get("track") or not any(map(_lacking, _routes(plan))):
        return plan
    track, ending = Track(plan), stops(plan)
    signals = {name: _completed(track, ending, signal) for name, signal in plan.signals.items()}
    return replace(plan, signals=signals)


def _routes(plan: Plan) -> Iterable[Route]:
    return (route for signal in plan.signals.values() for route in signal.routes)


def _lacking(route: Route) -> bool:
    """Tell whether a route leaves something out."""
    return not (route.over and route.points and route.passes)


def _completed(track: Track, ending: Mapping[str, str], signal: Signal) -> Signal:
    """Return a signal with its routes completed."""
    if not any(map(_lacking, signal.routes)):
        return signal
    found = ways(track, signal.name, ending)
    if found.capped:
        return signal
    return replace(signal, routes=tuple(_filled(route, found.found) for route in signal.routes))


def _filled(route: Route, found: Iterable[Way]) -> Route:
    """Return a route with what the only way it can mean adds to it."""
    meant = [way for way in found if agrees(route, way)]
    if len(meant) != 1:
        return route
    way = meant[0]
    return replace(
        route,
        over=route.over or way.over,
        points=route.points or way.lies,
        passes=route.passes or way.passes,
    )


def agrees(route: Route, way: Way) -> bool:
    """Tell whether a way leads where the route does, over what it says and no other."""
    return (
        way.to == route.to
        and (not route.over or route.over == way.over)
        and (not route.points or route.points == way.lies)
    )
