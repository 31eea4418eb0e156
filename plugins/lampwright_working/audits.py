"""Routes compared with the track: whether there is such a way at all."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.checks import PLAN
from lampwright.findings import Level
from lampwright.words import counted, did_you_mean
from lampwright.working.bound import ROUTE
from lampwright.working.track import CROSSING
from lampwright.working.trails import track_of, ways_of
from lampwright.working.ways import FIRM, ways
from lampwright_working.auditing import LAID, Audit, standing_spot
from lampwright_working.matching import breaks_at, matches, points_of
from lampwright_working.saying import place, said, some

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright_working.matching import Match

CROSSINGS: Final = "crossings of the track"
TOGETHER: Final = 2
"""Routes that must disagree before it is more likely the track that is wrong."""


class TrackAgainstRoutes(Audit):
    """Finds points, a crossing or a signal that every route has otherwise than the track.

    One slip in the track, two legs swapped or a signal turned round, makes every route there look wrong. Where all
    of them agree with each other and none with the track, it is the track that is looked at first.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101, HF2: west}}
          101: {toe: AA, normal: AD, reverse: AC}      # expect: track-against-routes "101"
          AC: {next: [101, east], signals: {HF4: 101}}
          AD: {next: [101, bay]}
        signals:
          HF3:
            routes:
              - {to: east, over: AC, points: {101: normal}}
              - {to: bay, over: AD, points: {101: reverse}}
          HF4: {routes: [{to: HF2, over: AA, points: {101: normal}}]}
          HF2: {routes: [{to: west}]}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101, HF2: west}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, east], signals: {HF4: 101}}
          AD: {next: [101, bay]}
        signals:
          HF3:
            routes:
              - {to: east, over: AC, points: {101: normal}}
              - {to: bay, over: AD, points: {101: reverse}}
          HF4: {routes: [{to: HF2, over: AA, points: {101: normal}}]}
          HF2: {routes: [{to: west}]}

    Limits: at least two routes must run over the place, or begin or end there. Until this is mended, routes are not
    compared one by one.
    """

    name = "track-against-routes"
    scope = PLAN
    needs = LAID

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place, the one with most routes first, until no two routes are left."""
        found = list(matches(subject).values())
        off = {match for match in found if not match.sound and not match.capped and not match.others}
        places = _places(found)
        for name in sorted(places, key=lambda name: -len(places[name])):
            over = places[name]
            against = [match for match in over if match in off and (name in match.lies or not match.goes_there)]
            if len(over) >= TOGETHER and against == over:
                off -= set(over)
                yield self._against(subject, name, over)

    def _against(self, layout: Layout, name: str, over: list[Match]) -> Finding:
        """Return the finding for one place."""
        track = track_of(layout)
        number = counted(len(over), "route")
        if name in layout.signals:
            spot = layout.spot(*track.signals[name].path, on_key=True)
            message = f"{number} from and to {name}, all there are, find no way as it stands on the track"
            tip = "look whether it faces the other way, or stands elsewhere"
        elif all(set(match.lies) == {name} for match in over):
            spot = layout.spot("track", points_of(layout).get(name, name), on_key=True)
            message = f"{number} over {name}, all there are, have it lie otherwise than the track"
            tip = "normal and reverse look swapped"
        else:
            spot = layout.spot("track", points_of(layout).get(name, name), on_key=True)
            message = f"{number} over {name}, all there are, find no way through it as the track has it"
            tip = "look whether two of its legs or ways are swapped"
        related, because = some(place(match.route, "points", name, "so a route has it") for match in over)
        return self.finding(message, spot, related=related, because=because, tip=tip)


class NoSuchWay(Audit):
    """Finds a route for which the track has no way, or whose sections and points lead elsewhere.

    A route that cannot be run is set by nobody, and everything worked out from it is wrong: what its signal shows,
    which routes it excludes, how far a train goes.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, east]}
          AD: {next: [101, bay]}
        signals:
          HF3:
            routes:
              - {to: west, over: AC, points: {101: normal}}     # expect: no-such-way "leads to east"
              - {to: bay, over: AD, points: {101: reverse}}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, east]}
          AD: {next: [101, bay]}
        signals:
          HF3:
            routes:
              - {to: east, over: AC, points: {101: normal}}
              - {to: bay, over: AD, points: {101: reverse}}

    Limits: routes of signals that do not stand on the track are not looked at, nor those that name what is nowhere.
    """

    name = "no-such-way"
    scope = ROUTE
    needs = (*LAID, "track-against-routes")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for a route that leads nowhere on the track."""
        match = matches(subject.layout).get(subject.index)
        if match is None or match.capped or match.goes_there:
            return
        if match.way is not None and match.way.to and not (match.lacks or match.extra or match.jumbled or match.lies):
            yield self._elsewhere(subject, match.way.to)
        else:
            yield self._nowhere(subject)

    def _elsewhere(self, route: BoundRoute, to: str) -> Finding:
        """Return the finding for a route that names the way to another exit."""
        if not (said(route, "over") or said(route, "points")):
            return self._nowhere(route)
        return self.finding(
            f"{route} runs over what leads to {to} on the track",
            route.spot("to"),
            related=(standing_spot(route, route.signal.name, "here it begins"),),
            tip=f"to: {to}, or other sections and points",
        )

    def _nowhere(self, route: BoundRoute) -> Finding:
        """Return the finding for a route without a way."""
        name, to = route.signal.name, route.entry.to
        between = ways(track_of(route.layout), name, {to: FIRM}).found
        beyond = any(way.to == to for way in between)
        exits = dict.fromkeys(way.to for way in ways_of(route.layout, name).found if way.to)
        facing = " before any other stop signal" if beyond else ""
        return self.finding(
            f"the track has no way from {name} to {to}{facing}",
            route.spot("to"),
            related=(
                standing_spot(route, route.signal.name, "here it begins"),
                route.layout.spot(
                    "track", breaks_at(route), label="no further than here as it is written", on_key=True
                ),
            ),
            because="a signal stands on the way, and a route ends at the next stop signal" if beyond else "",
            tip=did_you_mean(to, exits, f"the exits from {name}") if exits else f"the track leads from {name} nowhere",
        )


class UnclearRoute(Audit):
    """Finds a route that says only where it leads, where the track has several ways there.

    Which sections and points it takes decides what it excludes and what a train needs free: a route on another way
    is another route.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, 102]}
          AD: {next: [101, 102]}
          102: {toe: east, normal: AC, reverse: AD}
        signals:
          HF3: {routes: [{to: east}]}          # expect: unclear-route "2 ways"

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, 102]}
          AD: {next: [101, 102]}
          102: {toe: east, normal: AC, reverse: AD}
        signals:
          HF3: {routes: [{to: east, points: {101: normal, 102: normal}}]}

    Limits: a signal before a yard may have more ways than are looked at; then a route must say its points.
    """

    name = "unclear-route"
    scope = ROUTE
    level = Level.WARNING
    needs = (*LAID, "track-against-routes", "no-such-way")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for a route that may mean several ways."""
        match = matches(subject.layout).get(subject.index)
        if match is not None and (match.others or match.capped):
            number = counted(match.others + 1, "way") if match.others else "more ways than are looked at"
            yield self.finding(
                f"{subject} may mean {number} over the track",
                subject.spot("to"),
                related=(standing_spot(subject, subject.signal.name, "here it begins"),),
                tip="say `points` or `over`",
            )


def _places(found: list[Match]) -> dict[str, list[Match]]:
    """Return the routes at each signal, set of points and crossing; a signal comes before what lies beyond it."""
    places: dict[str, list[Match]] = {}
    for match in found:
        for name in dict.fromkeys((match.route.signal.name, match.route.entry.to)):
            if name in match.route.layout.signals:
                places.setdefault(name, []).append(match)
    for match in found:
        for name in _pieces(match.route):
            places.setdefault(name, []).append(match)
    return places


def _pieces(route: BoundRoute) -> list[str]:
    """Return the points and crossings that a route names."""
    crossings: dict[str, str] | None = route.layout.cache.get(CROSSINGS)
    if crossings is None:
        pieces = track_of(route.layout).pieces.values()
        crossings = {piece.section: piece.name for piece in pieces if piece.kind == CROSSING and piece.section}
        route.layout.cache[CROSSINGS] = crossings
    return [*route.entry.points, *(crossings[section] for section in route.entry.over if section in crossings)]
