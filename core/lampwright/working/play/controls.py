"""What each route needs to be set and its signal to clear, and why it cannot be."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.routes import MAIN, route_class
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.words import listed
from lampwright.working.bound import bound_routes
from lampwright.working.conflicts import conflicts
from lampwright.working.play.places import label
from lampwright.working.play.saying import say
from lampwright.working.track import POINTS
from lampwright.working.trails import track_of
from lampwright.working.uses import gangs

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright.working.play.places import Places
    from lampwright.working.play.situation import Situation

ON_CLEAR_TRACK: Final = frozenset({MAIN, "warner"})
"""Classes of routes that need their track clear; on all others trains run at sight, on to occupied track too.

Common practice, as is what a train does to a signal: it goes to stop when its route is run into, and one that is not
automatic waits there to be set again.
"""
AUTOMATIC: Final = "automatic"


class Control(Struct, frozen=True):
    """What one route needs: places to run over, one of its overlaps, and points as they lie by their leading names.

    ``clear``: its signal is at stop while a train stands there; ``again``: it clears by itself after the train.
    ``locked`` are the places from which a train keeps it from being taken back, ``after`` how long.
    """

    route: BoundRoute
    runs: frozenset[str]
    clear: bool
    again: bool
    laps: tuple[tuple[str, ...], ...]
    lies: Mapping[str, str]
    locked: tuple[str, ...] = ()
    after: str = ""

    def taken(self, occupied: frozenset[str]) -> tuple[str, ...]:
        """Return the places that should be clear and are not, those of the first overlap if no overlap is clear."""
        if not self.clear:
            return ()
        found = tuple(sorted(self.runs & occupied))
        laps = [tuple(place for place in lap if place in occupied) for lap in self.laps]
        return found or (laps[0] if laps and all(laps) else ())


class Controls:
    """The controls of every route of a layout, by number."""

    def __init__(self, layout: Layout, places: Places) -> None:
        self.places = places
        self.conflicts = conflicts(layout)
        self.leads = gangs(layout)
        self.sections = _sections(layout)
        self.routes = tuple(self._control(route) for route in bound_routes(layout))
        self._tellers: dict[str, list[int]] = {}
        for number, control in enumerate(self.routes):
            for name in dict.fromkeys((control.route.signal.name, *control.route.entry.passes)):
                self._tellers.setdefault(name, []).append(number)

    def open(self, situation: Situation) -> frozenset[int]:
        """Return the routes set whose signals may clear, as far as trains and overlaps go."""
        occupied = self.places.all_of(situation.occupied)
        waiting = situation.routes - situation.passed
        return frozenset(number for number in waiting if not self.routes[number].taken(occupied))

    def running(self, situation: Situation) -> frozenset[int]:
        """Return the routes that trains have run into and not yet left."""
        occupied = self.places.all_of(situation.occupied)
        return frozenset(number for number in situation.passed if self.routes[number].runs & occupied)

    def against(self, situation: Situation, number: int) -> Iterator[str]:
        """Yield why a route cannot be set; routes that exclude it first."""
        control = self.routes[number]
        for other in sorted(situation.routes - {number}):
            if why := self.between(control, self.routes[other]):
                yield say("against", str(self.routes[other].route), why)
        occupied = self.places.all_of(situation.occupied)
        taken = control.taken(occupied)
        if taken:
            what = "taken" if control.runs & occupied else "taken-overlap"
            yield say(what, listed(map(label, taken)))
        for points, lie in control.lies.items():
            if self.lie(situation, points) != lie and (held := self.sections.get(points, "")) in situation.occupied:
                yield say("held", points, lie, held)

    def lie(self, situation: Situation, points: str) -> str:
        """Return how points lie: as the last route that needed them left them, normal to begin with."""
        return "reverse" if points in situation.reverse else "normal"

    def between(self, one: Control, other: Control) -> str:
        """Return why two routes cannot be set together, in words, the same both ways round; empty if they can."""
        one, other = sorted((one, other), key=lambda control: control.route.index)
        found = [reason.sentence for reason in self.conflicts.reasons(one.route, other.route)]
        if not found and (passed := meeting(one.route, other.route)):
            found = [f"both need {listed(passed)}"]
        return listed(found)

    def beside(self, number: int) -> set[int]:
        """Return the routes that one may exclude, by number."""
        route = self.routes[number].route
        told = {other for name in (route.signal.name, *route.entry.passes) for other in self._tellers.get(name, ())}
        return {other.index for other in self.conflicts.row(route)} | told - {number}

    def _control(self, route: BoundRoute) -> Control:
        """Return what a route needs."""
        used = route.uses
        said = {**used.flank, **used.lies}
        locks = route.entry.rest.get("locks") or {}
        return Control(
            route,
            self.places.run(route.entry),
            route_class(route.entry) in ON_CLEAR_TRACK,
            AUTOMATIC in route.signal.entry.mode.split(),
            tuple(lap.over for lap in used.overlaps if lap.over) if all(lap.over for lap in used.overlaps) else (),
            {self.leads.get(points, points): lie for points, lie in said.items()},
            as_words(locks["sections"]) if "sections" in locks else (),
            as_text(locks.get("after")),
        )


def meeting(one: BoundRoute, other: BoundRoute) -> tuple[str, ...]:
    """Return the signals that would have to tell of two routes: passed by both, or passed by one where one begins."""
    both = [name for name in one.entry.passes if name in other.entry.passes]
    begin = [a.signal.name for a, b in ((one, other), (other, one)) if a.signal.name in b.entry.passes]
    return tuple(dict.fromkeys((*both, *begin)))


def _sections(layout: Layout) -> dict[str, str]:
    """Return the sections in which points lie, as far as the plan or its track says."""
    said = {name: as_text((known or {}).get("in")) for name, known in layout.plan.points.items()}
    pieces = track_of(layout).pieces.values()
    said |= {piece.name: piece.section for piece in pieces if piece.kind == POINTS and piece.section}
    return {name: section for name, section in said.items() if section}
