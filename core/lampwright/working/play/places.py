"""Where trains can stand: sections; and track to a signal or end, where the plan gives no sections for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.rulebooks.codec import as_words
from lampwright.rulebooks.sequence import fits, rules
from lampwright.words import listed
from lampwright.working.asking import without_bounds
from lampwright.working.faces import occupied_by
from lampwright.working.uses import uses

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import Layout
    from lampwright.plans import Route
    from lampwright.working.network import Network, Via

TRACK: Final = "to "
UNSAID: Final = "sections to "
"""How the places begin that are the track to a signal or end, and the sections to it that a route does not say."""


def label(place: str) -> str:
    """Return what a place is called in a sentence: ``DA``, ``the track to TB1``, ``the unsaid sections to TB1``."""
    if place.startswith(UNSAID):
        return f"the unsaid {place}"
    return f"the track {place}" if place.startswith(TRACK) else place


class Places:
    """Every place of a layout in its order, and what else is occupied when some of them are.

    A signal that says no section to be released from, is by a train in the last section of a route to it: where that
    train would stop, as common practice has it.
    """

    def __init__(self, layout: Layout, network: Network) -> None:
        self._goals = {id(via.held): via.over for stand in network.stands.values() for via in stand.vias if via.held}
        routes = [route for signal in layout.plan.signals.values() for route in signal.routes]
        own = {id(route) for route in routes}
        vias = [via for stand in network.stands.values() for via in stand.vias if id(via.route) in own]
        bare = dict.fromkeys(f"{TRACK}{via.stand.name}" for via in vias if _bare(via) and minds_trains(via))
        self.implied = dict(_implied(vias))
        for route in routes:
            for place in bare.keys() & self.run(route) if route.over else ():
                self.implied[place] = (*self.implied.get(place, ()), frozenset(route.over[-1:]))
        sections = dict.fromkeys(layout.plan.sections)
        for route in routes:
            sections |= dict.fromkeys((*route.over, *_beside(route)))
        tracks = [place for route in routes if not route.over for place in self.run(route) if place.startswith(TRACK)]
        tracks += [place for place in bare if place not in self.implied]
        self.names = (*sections, *dict.fromkeys(tracks))
        self._known: dict[frozenset[str], frozenset[str]] = {}

    def run(self, route: Route) -> frozenset[str]:
        """Return the places that a route runs over."""
        return self._goals.get(id(route)) or occupied_by(route, route.to)

    def all_of(self, occupied: frozenset[str]) -> frozenset[str]:
        """Return what is occupied, with what is taken to be so too: unsaid sections, the track to a signal."""
        if occupied not in self._known:
            also = {place for place, said in self.implied.items() if any(sections <= occupied for sections in said)}
            self._known[occupied] = occupied | also
        return self._known[occupied]

    def reached(self, via: Via) -> str:
        """Return, in words, the places that a train must have reached for a signal to be released."""
        places = releasing(via)
        if len(places) == 1 and places[0] in self.implied and places[0] not in self.names:
            return listed(dict.fromkeys(name for sections in self.implied[places[0]] for name in sections), "or")
        return listed(map(label, places))


def releasing(via: Via) -> tuple[str, ...]:
    """Return the places that must all be occupied for a signal to be released: those said, or the track to it."""
    said = via.route.release.get("occupied") if via.route else None
    return (f"{TRACK}{via.stand.name}",) if said is None else as_words(said)


def minds_trains(via: Via) -> bool:
    """Tell whether a rule asks for a route whether a train is near, before one that asks for nothing but the route."""
    return any(_minds(via, unit.role) for unit in via.stand.post.units)


def _minds(via: Via, role: str) -> bool:
    """Tell whether the first rule of a role that can decide for a route asks whether a train is near."""
    book, facts = via.stand.post.rulebook, {"route": dict(via.facts)}
    for _, rule in rules(book, role):
        route = rule.when.get("route", {})
        if "approached" in rule.when and fits(book, {"route": without_bounds(route)}, facts):
            return True
        if rule.when.keys() <= {"route"} and fits(book, {"route": route}, facts):
            return False
    return False


def _bare(via: Via) -> bool:
    """Tell whether a signal is released from no section that is said."""
    return via.route is not None and via.owner == via.stand.name and via.route.release.get("occupied") is None


def _beside(route: Route) -> Iterator[str]:
    """Yield sections that a route names and does not run over: of its overlaps, and those that release its signal."""
    for lap in uses(route).overlaps:
        yield from lap.over
    yield from as_words(route.release["occupied"]) if "occupied" in route.release else ()


def _implied(vias: list[Via]) -> dict[str, tuple[frozenset[str], ...]]:
    """Return, by the unsaid sections of routes to a signal, the said ones that release it and are taken for them."""
    found: dict[str, tuple[frozenset[str], ...]] = {}
    for via in vias:
        if via.route is not None and via.route.release.get("occupied") is not None:
            key = f"{UNSAID}{via.stand.name}"
            found[key] = (*found.get(key, ()), frozenset(releasing(via)))
    return found
