"""The way of each route over the track that the plan gives."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.working.bound import bound_routes
from lampwright.working.found import agrees
from lampwright.working.track import Track
from lampwright.working.ways import Ways, stops, ways

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright.working.ways import Step

TRACK: Final = "track"
WAYS: Final = "ways"
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
        ending = layout.cache.setdefault("stops", None) or stops(layout.plan)
        layout.cache["stops"] = ending
        known[signal] = ways(track_of(layout), signal, ending)
    return known[signal]


def trails(layout: Layout) -> dict[int, tuple[Step, ...]]:
    """Return, by the number of the route, the steps of the one way over the track that it is; others are left out."""
    if not track_of(layout):
        return {}
    found = {}
    for route in bound_routes(layout):
        meant = [way for way in ways_of(layout, route.signal.name).found if agrees(route.entry, way)]
        if len(meant) == 1:
            found[route.index] = meant[0].steps
    return found
