"""The way of each route over the track that the plan gives."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.working.bound import bound_routes
from lampwright.working.found import agrees
from lampwright.working.track import OPPOSITE, Track
from lampwright.working.ways import Ways, stops, ways

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright.working.ways import Step

TRACK: Final = "track"
WAYS: Final = "ways"
STOPS: Final = "stops"
TRAILS: Final = "trails"


def track_of(layout: Layout) -> Track:
    """Return the track of a layout, built once; it is empty, and false, if the plan gives none."""
    found = layout.cache.get(TRACK)
    if not isinstance(found, Track):
        found = layout.cache[TRACK] = Track(layout.plan)
    return found


def ways_of(layout: Layout, signal: str) -> Ways:
    """Return the ways that begin at a signal, looked for once."""
    known: dict[str, Ways] = layout.cache.setdefault(WAYS, {})
    if signal not in known:
        known[signal] = ways(track_of(layout), signal, _stops(layout))
    return known[signal]


def _stops(layout: Layout) -> dict[str, str]:
    """Return where ways end, worked out once."""
    if STOPS not in layout.cache:
        layout.cache[STOPS] = stops(layout.plan)
    found: dict[str, str] = layout.cache[STOPS]
    return found


def shunned(route: BoundRoute) -> Ways:
    """Return the ways that have their points as a route says; for a signal with too many ways to look at them all."""
    against = {(points, OPPOSITE.get(lie, "")) for points, lie in route.entry.points.items()}
    return ways(track_of(route.layout), route.signal.name, _stops(route.layout), against)


def trails(layout: Layout) -> dict[int, tuple[Step, ...]]:
    """Return, by the number of the route, the steps of the one way over the track that it is; others are left out."""
    found: dict[int, tuple[Step, ...]] | None = layout.cache.get(TRAILS)
    if found is None:
        found = {}
        for route in bound_routes(layout) if track_of(layout) else ():
            all_ways = ways_of(layout, route.signal.name)
            known = shunned(route) if all_ways.capped and route.entry.points else all_ways
            meant = [way for way in known.found if agrees(route.entry, way)]
            if len(meant) == 1:
                found[route.index] = meant[0].steps
        layout.cache[TRAILS] = found
    return found
