"""The flank of a route as the plan says it, compared with what the track needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

from lampwright.checks import PLAN
from lampwright.findings import Level
from lampwright.words import listed
from lampwright.working.bound import ROUTE, bound_routes
from lampwright.working.flank import flanks
from lampwright.working.track import OPPOSITE, POINTS
from lampwright.working.trails import track_of, trails
from lampwright.working.uses import gangs
from lampwright_working.auditing import LAID, Audit
from lampwright_working.matching import points_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.checks import Scope
    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright.working.flank import Flank, Guard

KEPT: Final = "kept at flanks"
NEEDS: tuple[str, ...] = (
    *LAID,
    "track-against-routes",
    "no-such-way",
    "sections-off-way",
    "points-off-way",
    "points-both-ways",
)


class Guarding(Audit):
    """A check of what routes say under ``flank``."""

    scope: ClassVar[Scope] = ROUTE
    needs: ClassVar[tuple[str, ...]] = NEEDS

    def missing(self, whole: Layout) -> str:
        """Ask for a track, and for a route that says its flank."""
        said = any("flank" in route.entry.rest for route in bound_routes(whole))
        return super().missing(whole) or ("" if said else "no flank protection given")


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
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each set of points."""
        for route in bound_routes(subject):
            for flank in _flanks(route):
                for guard in flank.guards:
                    lie = route.uses.flank.get(guard.name, guard.lie)
                    if guard.kind == POINTS and lie == OPPOSITE[guard.lie]:
                        yield self._towards(route, flank, guard, lie)

    def _towards(self, route: BoundRoute, flank: Flank, guard: Guard, lie: str) -> Finding:
        """Return the finding for one set of points."""
        return self.finding(
            f"{route} keeps {guard.name} {lie} at its flank, which leads trains into it at {flank.piece}",
            route.spot("flank", "points", guard.name),
            related=(
                route.layout.spot("track", guard.name, lie, label="this leg leads to the route"),
                route.layout.spot("track", flank.piece, label="where it joins", on_key=True),
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

    Limits: whatever lies further out on a leg that joins the route may be meant to guard it, and counts. What does not
    stand on the track is not looked at.
    """

    name = "idle-flank"
    level = Level.WARNING
    needs = (*NEEDS, "flank-towards-route")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for all that guards nothing in one route."""
        if subject.index not in trails(subject.layout):
            return
        beyond = {guard.name for flank in _flanks(subject) for guard in flank.beyond}
        used, leads = subject.uses, gangs(subject.layout)
        moved = {leads.get(name, name) for name in beyond}
        there, standing = points_of(subject.layout), track_of(subject.layout).signals
        points = [name for name in used.flank if name in there and leads.get(name, name) not in moved]
        signals = [name for name in used.at_stop if name in standing and name not in beyond]
        if points or signals:
            key = ("points", points[0]) if points else ("signals",)
            yield self.finding(
                f"{subject} keeps {listed((*points, *signals))} at its flank, and no train can come from there",
                subject.spot("flank", *key, on_key=bool(points)),
                related=[subject.layout.spot("track", name, label="here it is", on_key=True) for name in points[:2]],
                tip=_guarded_by(_flanks(subject)),
            )


class UnguardedFlank(Guarding):
    """Finds a leg that joins a route and that nothing guards, where other routes have such a leg guarded.

    Points would lead a train off that comes by there, and the route does not ask that they do, though another route
    over the same place asks it; or two routes pass each other, and only one of them keeps the points of the other.

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

    Limits: that no route at all has a leg guarded is not told: a signal at stop may be enough. Points that move with
    those of the route guard it without a word.
    """

    name = "unguarded-flank"
    level = Level.WARNING
    needs = (*NEEDS, "flank-towards-route", "idle-flank")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for all points that should guard one route and are not asked to."""
        kept_by_others = _kept_anywhere(subject.layout)
        found = [
            (flank.piece, guard)
            for flank in _flanks(subject)
            for guard in _lacking(subject, flank)
            if (flank.piece, flank.leg, guard.name) in kept_by_others
            or any((guard.name, "", name) in kept_by_others for name in subject.entry.points)
        ]
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


def _kept(route: BoundRoute) -> set[str]:
    """Return the points that a route keeps as it needs them, by those that stand for them, and signals at stop."""
    used, leads = route.uses, gangs(route.layout)
    return {leads.get(name, name) for name in (*used.flank, *used.lies)} | set(used.at_stop)


def _kept_anywhere(layout: Layout) -> set[tuple[str, str, str]]:
    """Return what routes keep at their flanks: for which leg, and (without a leg) while they run over which points."""
    found: set[tuple[str, str, str]] | None = layout.cache.get(KEPT)
    if found is None:
        found = set()
        for route in bound_routes(layout):
            flank = route.uses.flank
            found |= {(one.piece, one.leg, name) for one in (_flanks(route) if flank else ()) for name in flank}
            found |= {(over, "", name) for over in route.entry.points for name in flank}
        layout.cache[KEPT] = found
    return found


def _lacking(route: BoundRoute, flank: Flank) -> list[Guard]:
    """Return the points that should guard a leg and are not kept.

    Where one thing guards a leg, what lies further out may do it instead.
    """
    kept, leads = _kept(route), gangs(route.layout)
    if len(flank.guards) == 1 and any(leads.get(guard.name, guard.name) in kept for guard in flank.beyond):
        return []
    points = [guard for guard in flank.guards if guard.kind == POINTS]
    return [guard for guard in points if leads.get(guard.name, guard.name) not in kept]


def _guarded_by(found: list[Flank]) -> str:
    """Say what does guard a route."""
    guards = [f"{guard.name} {guard.lie}".rstrip() for flank in found for guard in flank.guards if guard.kind != "open"]
    return f"its flank is guarded by {listed(dict.fromkeys(guards))}" if guards else "nothing joins it from the side"
