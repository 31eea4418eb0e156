"""The routes of a layout, each with the signal it begins at."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.checks import Scope
from lampwright.rulebooks.codec import as_text
from lampwright.working.uses import Uses, uses

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.findings import Path, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans import Route

ROUTES: Final = "routes"
NAMES: Final = "names of routes"


class BoundRoute(Struct, frozen=True, eq=False, dict=True):
    """A route with its signal; ``index`` counts all routes of the plan in the order of the file."""

    index: int
    signal: BoundSignal
    entry: Route

    @property
    def layout(self) -> Layout:
        """The layout it is part of."""
        return self.signal.layout

    @property
    def path(self) -> Path:
        """Where the plan says it."""
        return self.entry.path

    @cached_property
    def uses(self) -> Uses:
        """What it uses, as far as the plan says."""
        return uses(self.entry)

    @property
    def ends(self) -> str:
        """Where it begins and ends, which is what it is called if it has no name: ``TB1 to TB3``."""
        return f"{self.signal.name} to {self.entry.to}"

    @property
    def name(self) -> str:
        """Its own name, or where it begins and ends."""
        return as_text(self.entry.rest.get("name")) or self.ends

    def __str__(self) -> str:
        """Return the route as a message names it: ``shunt route TB1 to yard``."""
        return f"{self.entry.kind} route {self.name}".lstrip()

    def spot(self, *steps: str | int, label: str = "", on_key: bool = False) -> Spot:
        """Return the place of something the route says, or of where it leads."""
        return self.layout.spot(*self.path, *(steps or ("to",)), label=label, on_key=on_key)


def bound_routes(layout: Layout) -> tuple[BoundRoute, ...]:
    """Return all routes of a layout in the order of the file."""
    found: tuple[BoundRoute, ...] | None = layout.cache.get(ROUTES)
    if found is None:
        pairs = [(signal, route) for signal in layout.signals.values() for route in signal.entry.routes]
        found = tuple(BoundRoute(index, signal, route) for index, (signal, route) in enumerate(pairs))
        layout.cache[ROUTES] = found
    return found


def by_name(layout: Layout) -> Mapping[str, tuple[BoundRoute, ...]]:
    """Return the routes that each name means: one by its own name, else all that begin and end so."""
    found: dict[str, tuple[BoundRoute, ...]] | None = layout.cache.get(NAMES)
    if found is None:
        found = {}
        for route in bound_routes(layout):
            found[route.ends] = (*found.get(route.ends, ()), route)
        found.update({route.name: (route,) for route in bound_routes(layout) if route.name != route.ends})
        layout.cache[NAMES] = found
    return found


ROUTE = Scope("route", "plan", bound_routes)
