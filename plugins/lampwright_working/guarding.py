"""The flank of a route as the plan says it, compared with what the track needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from lampwright.checks import Check
from lampwright.findings import Level
from lampwright.words import listed
from lampwright.working.bound import ROUTE, bound_routes
from lampwright.working.flank import OPEN, SIGNAL, flanks
from lampwright.working.track import OPPOSITE, POINTS
from lampwright.working.trails import track_of, trails
from lampwright.working.uses import gangs, uses
from lampwright_working.auditing import LAID
from lampwright_working.saying import no_track

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright.working.flank import Flank, Guard

NEEDS: tuple[str, ...] = (
    *LAID,
    "track-against-routes",
    "no-such-way",
    "sections-off-way",
    "points-off-way",
    "points-both-ways",
)


class Guarding(Check):
    """A check of what routes say under ``flank``."""

    scope = ROUTE
    needs: ClassVar[tuple[str, ...]] = NEEDS

    def missing(self, whole: Layout) -> str:
        """Ask for a track, and for a route that says its flank."""
        said = any("flank" in route.entry.rest for route in bound_routes(whole))
        return no_track(whole) or ("" if said else "no flank protection given")


class FlankTowardsRoute(Guarding):
    """Finds points kept at the flank of a route so that they lead towards it instead of away.

    Points at the flank protect a route by leading another train off. The wrong way round they show it in.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}, north: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AB, reverse: 102}
          AB: {next: [101, east]}
          102: {toe: BA, normal: BB, reverse: 101}
          BA: {next: [south, 102]}
          BB: {next: [102, north]}
        signals:
          HF3:
            routes:
              - {to: south}
              - {to: east, flank: {points: {102: reverse}}}    # expect: flank-towards-route "102"

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}, north: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AB, reverse: 102}
          AB: {next: [101, east]}
          102: {toe: BA, normal: BB, reverse: 101}
          BA: {next: [south, 102]}
          BB: {next: [102, north]}
        signals:
          HF3:
            routes:
              - {to: south}
              - {to: east, flank: {points: {102: normal}}}

    Limits: the points nearest to the route on each leg that joins it.
    """

    name = "flank-towards-route"

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for each set of points."""
        for flank in _flanks(subject):
            for guard in flank.guards:
                lie = uses(subject.entry).flank.get(guard.name, guard.lie)
                if guard.kind == POINTS and lie == OPPOSITE[guard.lie]:
                    yield self.finding(
                        f"{subject} keeps {guard.name} {lie} at its flank, which leads trains into it at {flank.piece}",
                        subject.spot("flank", "points", guard.name),
                        related=(
                            subject.layout.spot("track", guard.name, lie, label="this leg leads to the route"),
                            subject.layout.spot("track", flank.piece, label="where it joins", on_key=True),
                        ),
                        tip=f"{guard.name}: {guard.lie}",
                    )


class IdleFlank(Guarding):
    """Finds points or signals kept at the flank of a route that no train could come by to its side.

    What guards nothing holds other routes back for no cause; often another name was meant.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AB, reverse: AC}
          AB: {next: [101, 103]}
          103: {toe: AB, normal: east, reverse: AD}
          AC: {next: [101, south], signals: {HF4: 101}}
          AD: {next: 103}
        signals:
          HF3:
            routes:
              - {to: east, flank: {signals: HF4}}
              - {to: south, flank: {points: {103: normal}}}       # expect: idle-flank "103"
          HF4: {routes: [{to: west}]}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AB, reverse: AC}
          AB: {next: [101, 103]}
          103: {toe: AB, normal: east, reverse: AD}
          AC: {next: [101, south], signals: {HF4: 101}}
          AD: {next: 103}
        signals:
          HF3:
            routes:
              - {to: east, flank: {signals: HF4}}
              - {to: south}
          HF4: {routes: [{to: west}]}

    Limits: whatever lies further out on a leg that joins the route may be meant to guard it, and counts.
    """

    name = "idle-flank"
    level = Level.WARNING
    needs = (*NEEDS, "flank-towards-route")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for all that guards nothing in one route."""
        if subject.index not in trails(subject.layout):
            return
        beyond = {guard.name for flank in _flanks(subject) for guard in flank.beyond}
        used, leads = uses(subject.entry), gangs(subject.layout.plan)
        moved = {leads.get(name, name) for name in beyond}
        points = [name for name in used.flank if leads.get(name, name) not in moved]
        signals = [name for name in used.at_stop if name not in beyond and "/" not in name]
        if points or signals:
            key = ("points", points[0]) if points else ("signals",)
            yield self.finding(
                f"{subject} keeps {listed((*points, *signals))} at its flank, and no train can come from there",
                subject.spot("flank", *key, on_key=bool(points)),
                related=[subject.layout.spot("track", name, label="here it is", on_key=True) for name in points[:2]],
                tip=_guarded_by(_flanks(subject)),
            )


class UnguardedFlank(Guarding):
    """Finds a leg that joins a route and that nothing guards, in a plan whose routes have their flanks guarded.

    A train that is stopped nowhere else can run into the side of another there: points would lead it off, and the
    route does not ask that they do.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}, north: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AB, reverse: 102}
          AB: {next: [101, east]}
          102: {toe: BA, normal: BB, reverse: 101}
          BA: {next: [south, 102], signals: {HF4: 102}}
          BB: {next: [102, north]}
        signals:
          HF3: {routes: [{to: south}, {to: east}]}        # expect: unguarded-flank "102"
          HF4: {routes: [{to: north, flank: {points: {101: normal}}}]}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}, north: {kind: off-stage}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AB, reverse: 102}
          AB: {next: [101, east]}
          102: {toe: BA, normal: BB, reverse: 101}
          BA: {next: [south, 102], signals: {HF4: 102}}
          BB: {next: [102, north]}
        signals:
          HF3: {routes: [{to: south}, {to: east, flank: {points: {102: normal}}}]}
          HF4: {routes: [{to: north, flank: {points: {101: normal}}}]}

    Limits: a leg guarded by a signal at stop is guarded, and so is one whose points move with those of the route. A leg
    by which no signalled train comes, from a siding or against the direction of the line, is not looked at.
    """

    name = "unguarded-flank"
    level = Level.WARNING
    needs = (*NEEDS, "flank-towards-route", "idle-flank")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for all points that should guard one route and are not asked to."""
        used, leads = uses(subject.entry), gangs(subject.layout.plan)
        kept = {leads.get(name, name) for name in (*used.flank, *used.lies)} | set(used.at_stop)
        kept |= {name for name, lead in leads.items() if lead in kept}
        found = [(flank.piece, guard) for flank in _flanks(subject) for guard in _lacking(subject, flank, kept)]
        if found:
            guards = [guard for _, guard in found]
            places = dict.fromkeys(piece for piece, _ in found)
            yield self.finding(
                f"{subject} may be run into from the side at {listed(places)}: nothing says how "
                f"{listed(guard.name for guard in guards)} must lie",
                subject.spot("flank", on_key=True) if "flank" in subject.entry.rest else subject.spot(),
                related=[
                    subject.layout.spot("track", guard.name, label=f"{guard.lie} would guard it", on_key=True)
                    for guard in guards
                ],
                tip=f"flank: {{points: {{{', '.join(f'{guard.name}: {guard.lie}' for guard in guards)}}}}}",
            )


def _flanks(route: BoundRoute) -> list[Flank]:
    """Return the legs that join a route from the side, if its way over the track is known."""
    return flanks(track_of(route.layout), trails(route.layout).get(route.index, ()))


def _lacking(route: BoundRoute, flank: Flank, kept: set[str]) -> list[Guard]:
    """Return the points that should guard a leg and are not kept, if trains come by it.

    Where one thing guards a leg, what lies further out may do it instead.
    """
    beyond = {guard.name for guard in flank.beyond}
    if (len(flank.guards) == 1 and beyond & kept) or not _used(route, flank):
        return []
    return [guard for guard in flank.guards if guard.kind == POINTS and guard.name not in kept]


def _used(route: BoundRoute, flank: Flank) -> bool:
    """Tell whether trains come by a leg: a signal stands for them, or an end that trains come from."""
    starts = {name for signal in route.layout.signals.values() for name in signal.entry.starts}
    return any(guard.kind == SIGNAL or (guard.kind == OPEN and guard.name in starts) for guard in flank.beyond)


def _guarded_by(found: list[Flank]) -> str:
    """Say what does guard a route."""
    guards = [f"{guard.name} {guard.lie}".rstrip() for flank in found for guard in flank.guards if guard.kind != "open"]
    return f"its flank is guarded by {listed(dict.fromkeys(guards))}" if guards else "nothing joins it from the side"
