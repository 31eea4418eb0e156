"""Written routes laid beside the track: which way each one means, and where it says something else."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.rulebooks.codec import as_words
from lampwright.working.bound import bound_routes
from lampwright.working.track import CROSSING, POINTS
from lampwright.working.trails import shunned, track_of, ways_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.layout import Layout
    from lampwright.plans import Route
    from lampwright.working.bound import BoundRoute
    from lampwright.working.ways import Way

MATCHES: Final = "routes beside the track"
POINTS_OF: Final = "points of the track"
SECTIONS_OF: Final = "sections of the track"


class Match(Struct, frozen=True, eq=False, dict=True):
    """A route and the way it means, as far as that can be told.

    ``way`` is the nearest one, None if there is none; ``others`` counts further ways that it may mean as well.
    ``capped``: there are more ways than are looked at, and nothing is known.
    """

    route: BoundRoute
    way: Way | None
    others: int = 0
    capped: bool = False

    @property
    def goes_there(self) -> bool:
        """Whether the way leads where the route says."""
        return self.way is not None and leads_to(self.route, self.way)

    @property
    def lacks(self) -> tuple[str, ...]:
        """Sections of the way that the route leaves out, though it names some."""
        over = self.route.entry.over
        return tuple(section for section in self.way.over if section not in over) if self.way and over else ()

    @property
    def extra(self) -> tuple[str, ...]:
        """Sections that the route names and the way does not run over."""
        return tuple(section for section in self.route.entry.over if self.way and section not in self.way.over)

    @property
    def jumbled(self) -> bool:
        """Whether the right sections stand in another than the running order."""
        over = self.route.entry.over
        return bool(self.way and over and over != self.way.over and not self.lacks and not self.extra)

    @property
    def lies(self) -> dict[str, tuple[str, str]]:
        """Points that the route and the way have otherwise: how each has them, empty if it does not name them."""
        said = self.route.entry.points
        meant = self.way.lies if self.way and said else said
        names = dict.fromkeys((*said, *meant))
        return {name: (said.get(name, ""), meant.get(name, "")) for name in names if said.get(name) != meant.get(name)}

    @property
    def sound(self) -> bool:
        """Whether the route is one way over the track and says nothing else."""
        return self.goes_there and not (self.others or self.lacks or self.extra or self.jumbled or self.lies)


def matches(layout: Layout) -> Mapping[int, Match]:
    """Return by number the routes that can be laid beside the track.

    Left out are those whose entry or exit does not stand on it, and those that name what is nowhere.
    """
    found: dict[int, Match] | None = layout.cache.get(MATCHES)
    if found is None:
        found = {}
        for route in bound_routes(layout) if track_of(layout) else ():
            match = _match(route)
            if match is not None:
                found[route.index] = match
        layout.cache[MATCHES] = found
    return found


def leads_to(route: BoundRoute, way: Way) -> bool:
    """Tell whether a way leads where a route says; to another file it may lead by any end."""
    return way.to == route.entry.to or ("/" in route.entry.to and way.to in route.layout.plan.ends)


def _match(route: BoundRoute) -> Match | None:
    """Find the way that a route means: the one with the fewest differences, and rather one that leads there."""
    if not _known(route):
        return None
    found = ways_of(route.layout, route.signal.name)
    if found.capped:
        found = shunned(route)
    if found.capped:
        return Match(route, None, capped=True)
    ranked = sorted(found.found, key=lambda way: _distance(route, way))
    if not ranked:
        return Match(route, None)
    best = ranked[0]
    equal = [way for way in ranked[1:] if _distance(route, way) == _distance(route, best) == (0, False)]
    return Match(route, best, len(equal))


def _distance(route: BoundRoute, way: Way) -> tuple[int, bool]:
    """Return in how many things a way is not what the route says, the exit among them."""
    entry, away = route.entry, not leads_to(route, way)
    return _sections(entry, way) + _lies(entry, way) + away, away


def _sections(entry: Route, way: Way) -> int:
    """Count sections that are left out or too many; one for another counts once, and so does a wrong order."""
    if not entry.over:
        return 0
    wrong = max(len(set(way.over) - set(entry.over)), len(set(entry.over) - set(way.over)))
    return wrong or int(entry.over != way.over)


def _lies(entry: Route, way: Way) -> int:
    """Count points that lie otherwise, are left out or too many."""
    if not entry.points:
        return 0
    return sum(entry.points.get(name) != way.lies.get(name) for name in {*entry.points, *way.lies})


def _known(route: BoundRoute) -> bool:
    """Tell whether entry and exit stand on the track, and all that the route names is somewhere in the plan."""
    plan, track, entry = route.layout.plan, track_of(route.layout), route.entry
    if route.signal.name not in track.signals:
        return False
    there = "/" in entry.to or entry.to in plan.ends or entry.to in track.signals
    sections, points = sections_of(route.layout), points_of(route.layout)
    known = all(name in plan.sections or name in sections or name in track.pieces for name in entry.over)
    return there and known and all(name in plan.points or name in points for name in entry.points)


def breaks_at(route: BoundRoute) -> str:
    """Return the piece where a train goes no further that keeps to the sections and points which a route says.

    Of the last piece it may run over and the next, which it may not, that is the one which can lead several ways.
    """
    track, entry = track_of(route.layout), route.entry
    standing = track.signals[route.signal.name]
    pending, seen = [(standing.piece, standing.side)], set()
    last = standing.piece
    while pending:
        before, side = pending.pop(0)
        entered = track.beyond(before, side)
        if entered is None or entered in seen:
            continue
        seen.add(entered)
        piece = track.pieces[entered[0]]
        inside = piece.section in ("", *entry.over)
        last = before if not inside and track.pieces[before].kind in (POINTS, CROSSING) else piece.name
        fitting = [one for one in piece.passages.get(entered[1], ()) if inside and _keeps(entry, one.lies)]
        pending += [(piece.name, one.go) for one in fitting]
    return last


def _keeps(entry: Route, lies: Mapping[str, str]) -> bool:
    """Tell whether points lie as a route says, where it says so."""
    return all(entry.points.get(name, lie) == lie for name, lie in lies.items())


def points_of(layout: Layout) -> dict[str, str]:
    """Return the points that the track names, each with the piece that has them: itself, or the slip it works."""
    found: dict[str, str] | None = layout.cache.get(POINTS_OF)
    if found is None:
        found = layout.cache[POINTS_OF] = {}
        for piece in track_of(layout).pieces.values():
            for passages in piece.passages.values():
                found.update(dict.fromkeys((name for passage in passages for name in passage.lies), piece.name))
    return found


def sections_of(layout: Layout) -> set[str]:
    """Return the sections that the track names."""
    found: set[str] | None = layout.cache.get(SECTIONS_OF)
    if found is None:
        found = {piece.section for piece in track_of(layout).pieces.values() if piece.section}
        layout.cache[SECTIONS_OF] = found
    return found


def lying_in(layout: Layout, points: str) -> tuple[str, ...]:
    """Return the section that points lie in, as the plan's ``points`` have it."""
    said = layout.plan.points.get(points) or {}
    return as_words(said["in"]) if "in" in said else ()
