"""What no route uses: sections, points, signals that no train comes to, ways that no route is written for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.routes import MAIN, route_class
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.words import listed
from lampwright.working.bound import bound_routes
from lampwright.working.trails import track_of, trails, ways_of
from lampwright.working.uses import gangs
from lampwright_working.auditing import LAID, Audit
from lampwright_working.matching import matches
from lampwright_working.saying import no_routes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright.working.bound import BoundRoute
    from lampwright.working.ways import Way


class UnwrittenRoute(Audit):
    """Finds a way over the track, from a signal to the next or to an end, for which no route is written.

    A train could run there, and nothing says what its signal shows or what it excludes. Either the route was
    forgotten, or a wrong exit took its place.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, east]}
          AD: {next: [101, south]}
        signals:
          HF3: {routes: [{to: east, over: AC}]}      # expect: unwritten-route "south"

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, east]}
          AD: {next: [101, south]}
        signals:
          HF3: {routes: [{to: east, over: AC}, {to: south, over: AD}]}

    Limits: main routes only. Not asked for: a second way to an exit that has a route, a way into sidings, or over trap
    points, and one to an end that trains only come from. Signals that begin no main route, while others in the plan
    do, are told of if the track leads on from them to a stop signal or an end.
    """

    name = "unwritten-route"
    scope = PLAN
    level = Level.WARNING
    needs = (*LAID, "track-against-routes")

    def missing(self, whole: Layout) -> str:
        """Ask for a track, and for routes."""
        return super().missing(whole) or no_routes(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each signal with ways that are not written."""
        outward = {route.entry.to for route in bound_routes(subject)}
        off = {match.route.signal.name for match in matches(subject).values() if not match.sound}
        off |= {route.signal.name for route in bound_routes(subject) if route.index not in matches(subject)}
        for signal in subject.signals.values():
            if signal.name not in off and _begins_main(signal):
                exits = _unwritten(subject, signal, outward)
                if exits:
                    yield self._unwritten(subject, signal, exits)

    def _unwritten(self, layout: Layout, signal: BoundSignal, exits: dict[str, Way]) -> Finding:
        """Return the finding for one signal."""
        way = next(iter(exits.values()))
        lies = ", ".join(f"{name}: {lie}" for name, lie in way.lies.items())
        points = f", points: {{{lies}}}" if lies else ""
        standing = track_of(layout).signals[signal.name]
        return self.finding(
            f"the track leads from {signal.name} to {listed(exits)}, and no route is written for it",
            signal.spot("routes", on_key=True) if signal.entry.routes else signal.spot(),
            related=(layout.spot(*standing.path, label="here it begins", on_key=True),),
            tip=f"{{to: {way.to}, over: [{', '.join(way.over)}]{points}}}",
        )


class UnreachedSignal(Check):
    """Finds a signal that routes begin at and no train ever comes to.

    No route leads to it, and it does not say that trains come from beyond the plan. Often the exit of a route is
    wrong, or a route is missing.

    Wrong:

        plan: 1
        ends: {east: {kind: off-stage}}
        signals:
          HF1: {from: off-stage, routes: [{to: HF3, over: AA}]}
          HF3: {routes: [{to: east, over: AB}]}
          HF5: {routes: [{to: east, over: AC}]}      # expect: unreached-signal "HF5"

    Right:

        plan: 1
        ends: {east: {kind: off-stage}}
        signals:
          HF1: {from: off-stage, routes: [{to: HF3, over: AA}, {to: HF5, over: AD}]}
          HF3: {routes: [{to: east, over: AB}]}
          HF5: {routes: [{to: east, over: AC}]}

    Limits: only in a plan that says of some signal where trains come `from`, and gives no track; with a track the
    ways without a route are told. Trains come to a signal, too, if they come to a distant that tells of it.
    """

    name = "unreached-signal"
    scope = PLAN
    level = Level.WARNING
    needs = ("dead-reference",)

    def missing(self, whole: Layout) -> str:
        """Ask for a word of where trains come from."""
        if track_of(whole):
            return "the track says more"
        said = any(signal.entry.starts for signal in whole.signals.values())
        return no_routes(whole) or ("" if said else "no signal says where trains come from")

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each signal that no train comes to."""
        routes = bound_routes(subject)
        reached = {route.entry.to for route in routes} | {name for route in routes for name in route.entry.passes}
        reached |= subject.reached_from_others
        signals = subject.plan.signals.values()
        reached |= {name for signal in signals if signal.starts for name in signal.repeats}
        for signal in subject.signals.values():
            if signal.entry.routes and not signal.entry.starts and signal.name not in reached:
                yield self.finding(
                    f"no train comes to {signal.name}: no route leads to it",
                    signal.spot(),
                    tip="`from: off-stage`, or the end that trains come from; or a route that leads to it",
                )


class UnusedTrack(Check):
    """Finds sections and points that no route runs over.

    Nothing holds them, and nothing is held by them: they are left from an earlier plan, or a route that should name
    them does not.

    Wrong:

        plan: 1
        ends: {east: {kind: off-stage}}
        sections: {AA: {length: 1 m}, AB: {length: 1 m}, AC: {length: 1 m}}      # expect: unused-track "AC"
        signals:
          HF1: {routes: [{to: HF3, over: AA}]}
          HF3: {routes: [{to: east, over: AB}]}

    Right:

        plan: 1
        ends: {east: {kind: off-stage}}
        sections: {AA: {length: 1 m}, AB: {length: 1 m}, AC: {length: 1 m}}
        signals:
          HF1: {routes: [{to: HF3, over: AA}]}
          HF3: {routes: [{to: east, over: [AB, AC]}]}

    Limits: only if every main route says its sections (for points: some route its points). A section in which a
    signal stands or trains wait, that an overlap needs, or that releases a signal, is used.
    """

    name = "unused-track"
    scope = PLAN
    level = Level.WARNING
    needs = ("dead-reference", "unwritten-route", "unreached-signal", "off-the-track", "points-both-ways")

    def missing(self, whole: Layout) -> str:
        """Ask for routes that say their sections."""
        silent = any(route_class(route.entry) == MAIN and not route.entry.over for route in bound_routes(whole))
        return no_routes(whole) or ("no sections of all routes given" if silent else "")

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for all unused sections, and one for all unused points."""
        routes = bound_routes(subject)
        if track_of(subject) and len(trails(subject)) < len(routes):
            return  # a route that does not follow the track has a finding of its own
        sections, points = _used(subject, routes)
        unused = [name for name in subject.plan.sections if name not in sections]
        if unused:
            yield self._unused(subject, "sections", unused, f"no route runs over {listed(unused)}")
        if any(route.entry.points for route in routes):
            leads = gangs(subject)
            moved = {leads.get(name, name) for name in points}
            idle = [name for name in subject.plan.points if leads.get(name, name) not in moved]
            if idle:
                yield self._unused(subject, "points", idle, f"no route calls points {listed(idle)}")

    def _unused(self, layout: Layout, kind: str, names: list[str], message: str) -> Finding:
        """Return the finding for all unused things of one kind."""
        first, *more = names
        return self.finding(
            message,
            layout.spot(kind, first, on_key=True),
            related=[layout.spot(kind, name, on_key=True, label="nor this") for name in more[:3]],
            tip="let the routes that run there name them, or take them out",
        )


def _begins_main(signal: BoundSignal) -> bool:
    """Tell whether main routes begin at a signal, or nothing says what begins there."""
    classes = {route_class(route) for route in signal.entry.routes}
    return MAIN in classes or not (classes or signal.entry.repeats)


def _unwritten(layout: Layout, signal: BoundSignal, outward: set[str]) -> dict[str, Way]:
    """Return the exits that a main route could lead to from a signal and none does, each with a way."""
    plan = layout.plan
    found = ways_of(layout, signal.name)
    written = {route.to for route in signal.entry.routes}
    if any("/" in to for to in written):  # by which end it leaves for another file is not said
        written |= plan.ends.keys()
    exits: dict[str, Way] = {}
    for way in found.found if not found.capped else ():
        kind = as_text((plan.ends.get(way.to) or {}).get("kind"))
        inward = way.to in plan.ends and way.to not in outward and _comes_from(layout, way)
        trapped = any(_traps(layout, name) for name in way.lies) and way.to in plan.ends
        asked = way.to and way.firm and kind != "unsignalled" and not inward and not trapped
        if asked and way.to not in written and way.to != signal.name:
            exits.setdefault(way.to, way)
    return exits


def _traps(layout: Layout, points: str) -> bool:
    """Tell whether points are there to throw a vehicle off the track."""
    return as_text((layout.plan.points.get(points) or {}).get("kind")) in ("trap", "derailer")


def _comes_from(layout: Layout, way: Way) -> bool:
    """Tell whether trains come in by the end that a way leads to: a signal faces them on the way, or says so."""
    if any(way.to in signal.entry.starts for signal in layout.signals.values()):
        return True
    pieces = track_of(layout).pieces
    if way.to in pieces and pieces[way.to].signals:
        return True
    return any(pieces[step.piece].signals.get(step.passage.come) for step in way.steps)


def _used(layout: Layout, routes: tuple[BoundRoute, ...]) -> tuple[set[str], set[str]]:
    """Return the sections and points that something uses."""
    sections = {section for signal in layout.signals.values() for section in as_words(signal.entry.rest.get("section"))}
    points: set[str] = set()
    for piece in track_of(layout).pieces.values():
        sections |= {piece.section} if piece.signals else set()
    for route in routes:
        used, entry = route.uses, route.entry
        sections |= {*used.over, *(section for lap in used.overlaps for section in lap.over)}
        points |= {*used.lies, *used.flank, *(name for lap in used.overlaps for name in lap.lies)}
        for said, key in ((entry.release, "occupied"), (entry.rest.get("locks") or {}, "sections")):
            sections |= set(as_words(said[key])) if key in said else set()
    return sections, points
