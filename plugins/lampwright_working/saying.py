"""What several checks of routes say or point at in the same way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.words import counted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.findings import Spot
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute

SHOWN: Final = 3
"""How many places of one kind a finding points to; the rest is counted."""


def no_routes(layout: Layout) -> str:
    """Return why nothing that looks at routes can run, or an empty text."""
    return "" if any(signal.entry.routes for signal in layout.signals.values()) else "no routes given"


def no_track(layout: Layout) -> str:
    """Return why nothing that compares with the track can run, or an empty text."""
    return "" if layout.plan.values.get("track") else "no track given"


def said(route: BoundRoute, *steps: str) -> Any:
    """Return what the plan itself writes of a route, nothing completed; None if it does not say it."""
    values: Any = route.layout.plan.values
    for step in (*route.path, *steps):
        if values is None or (isinstance(values, dict) and step not in values):
            return None
        values = values[step]
    return values


def place(route: BoundRoute, key: str, name: str, label: str = "") -> Spot:
    """Return where a route says a name under a key: the item of a list, the key of a map, or the key itself."""
    value = said(route, key)
    if isinstance(value, list) and name in map(str, value):
        return route.spot(key, [str(item) for item in value].index(name), label=label)
    if isinstance(value, dict) and name in value:
        return route.spot(key, name, label=label, on_key=True)
    return route.spot(key, label=label) if value is not None else route.spot(label=label)


def some(spots: Iterable[Spot]) -> tuple[tuple[Spot, ...], str]:
    """Return the first few spots, and in words how many more there are."""
    found = list(spots)
    rest = len(found) - SHOWN
    return tuple(found[:SHOWN]), f"so it is in {counted(rest, 'more place')}" if rest > 0 else ""
