"""Routes that contradict themselves or repeat each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.routes import route_class
from lampwright.rulebooks.codec import as_text
from lampwright.words import listed
from lampwright.working.bound import ROUTE, bound_routes
from lampwright.working.reasons import Claim, crossed
from lampwright.working.trails import track_of, trails
from lampwright.working.uses import gangs
from lampwright_working.matching import lying_in
from lampwright_working.saying import place

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Spot
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute


class PointsBothWays(Check):
    """Finds a route that would need points to lie both ways at once.

    On its own way, in its overlap or at its flank it calls the same points normal and reverse; or it calls two ends
    of a crossover, which move together, differently. Such a route can never be set.

    Wrong:

        plan: 1
        points: {101: {works-with: 102}, 102: {}}
        signals:
          HF3: {routes: [{to: HF5, points: {101: normal, 102: reverse}}]}   # expect: points-both-ways "101 and 102"
          HF5: {}

    Right:

        plan: 1
        points: {101: {works-with: 102}, 102: {}}
        signals:
          HF3: {routes: [{to: HF5, points: {101: reverse, 102: reverse}}]}
          HF5: {}

    Limits: of several overlaps it is enough that one is possible.
    """

    name = "points-both-ways"
    scope = ROUTE

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield one finding for a route that cannot be set."""
        layout = subject.layout
        if track_of(layout) and subject.entry.points and subject.index not in trails(layout):
            return  # the comparison with the track says more
        used = subject.uses
        claim = Claim(subject.signal.name, subject.entry.to, "", used, gangs(layout))
        wrong = [crossed(claim, lap) for lap in used.overlaps]
        if all(wrong):
            names = tuple(dict.fromkeys(wrong[0]))
            where = [key for key in ("points", "overlap", "flank") if _names(subject, key, names)]
            together = ", which move together" if len(names) > 1 else ""
            yield self.finding(
                f"{subject} needs {listed(names)}{together}, to lie both normal and reverse",
                _first(subject, where, names),
                related=[subject.spot(key, label="and here") for key in where[1:]],
                tip="let them lie one way for it, in its way, overlap and flank alike",
            )


class PointsOffSection(Check):
    """Finds a route over points that leaves out the section they lie in, or runs over that section and calls no points.

    The section protects its points: while a train is seen there, they do not move. A route that names one without the
    other has lost one of them.

    Wrong:

        plan: 1
        sections: {AA: {}, AB: {}, AC: {}}
        points: {101: {in: AB}}
        signals:
          HF3: {routes: [{to: HF5, over: [AA, AC], points: {101: normal}}]}    # expect: points-off-section "AB"
          HF1: {routes: [{to: HF3, over: AB, points: {101: reverse}}]}
          HF5: {}

    Right:

        plan: 1
        sections: {AA: {}, AB: {}, AC: {}}
        points: {101: {in: AB}}
        signals:
          HF3: {routes: [{to: HF5, over: [AA, AB, AC], points: {101: normal}}]}
          HF1: {routes: [{to: HF3, over: AB, points: {101: reverse}}]}
          HF5: {}

    Limits: only where the plan says in which section points lie (`in`) and gives no track; with a track, routes are
    compared with that. A section may hold points of two lines: then one set of them is enough.
    """

    name = "points-off-section"
    scope = ROUTE
    level = Level.WARNING

    def missing(self, whole: Layout) -> str:
        """Ask for points with their sections, and no track."""
        if track_of(whole):
            return "the track says more"
        said = any("in" in (points or {}) for points in whole.plan.points.values())
        return "" if said else "no sections of points given"

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield a finding for each section or set of points that is left out."""
        entry, layout = subject.entry, subject.layout
        homes = {name: section for name in layout.plan.points for section in lying_in(layout, name)}
        if not entry.over or not set(entry.points) <= set(layout.plan.points):
            return
        for name in entry.points:
            if name in homes and homes[name] not in entry.over and homes[name] in layout.plan.sections:
                yield self.finding(
                    f"{subject} runs over points {name} and not over {homes[name]}, in which they lie",
                    subject.spot("over"),
                    related=(subject.layout.spot("points", name, "in", label="here they lie"),),
                    tip=f"over: [{', '.join((*entry.over, homes[name]))}], in running order",
                )
        for section in entry.points and entry.over:
            inside = [name for name, home in homes.items() if home == section]
            if inside and not set(inside) & set(entry.points):
                yield self.finding(
                    f"{subject} runs over {section} and says nothing of the points in it: {listed(inside)}",
                    subject.spot("points"),
                    related=[layout.spot("points", name, "in", label="here they lie") for name in inside[:3]],
                    tip="say how they must lie for it",
                )


class TwinRoutes(Check):
    """Finds two routes of one signal that nothing tells apart: class, exit, sections, points, turn and indicator.

    One of them is a copy that was never changed; or they differ in something the plan does not say.

    Wrong:

        plan: 1
        signals:
          HF3:
            routes:
              - {to: HF5, over: [AA, AB], points: {101: normal}}
              - {to: HF5, over: [AA, AB], points: {101: normal}}     # expect: twin-routes "HF3 to HF5"
          HF5: {}

    Right:

        plan: 1
        signals:
          HF3:
            routes:
              - {to: HF5, over: [AA, AB], points: {101: normal}}
              - {to: HF5, over: [AA, AC], points: {101: reverse}, name: HF3-slow}
          HF5: {}

    Limits: routes of different classes or names may share everything: a main route and a shunting one. Whether a
    driver can tell routes apart is asked by the checks of indicators.
    """

    name = "twin-routes"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each route that is like an earlier one."""
        first: dict[tuple[object, ...], BoundRoute] = {}
        for route in bound_routes(subject):
            earlier = first.setdefault(_looks(route), route)
            if earlier is not route:
                yield self.finding(
                    f"{route} stands twice, with nothing to tell one from the other",
                    route.spot(),
                    related=(earlier.spot(label="the first"),),
                    tip="take one out, or say what they run over",
                )


class RouteNameUsedTwice(Check):
    """Finds a name that two routes have.

    Where the plan names a route, as in its conflicts, either could be meant.

    Wrong:

        plan: 1
        signals:
          HF3: {routes: [{to: HF5, name: through, over: AA}]}
          HF4: {routes: [{to: HF6, name: through, over: BA}]}      # expect: route-name-used-twice "through"
          HF5: {}
          HF6: {}

    Right:

        plan: 1
        signals:
          HF3: {routes: [{to: HF5, name: through, over: AA}]}
          HF4: {routes: [{to: HF6, name: back, over: BA}]}
          HF5: {}
          HF6: {}

    Limits: routes without a name of their own are called after where they begin and end; two of them between the same
    signals may share that name.
    """

    name = "route-name-used-twice"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each second use."""
        first: dict[str, BoundRoute] = {}
        for route in bound_routes(subject):
            if "name" not in route.entry.rest:
                continue
            earlier = first.setdefault(as_text(route.entry.rest["name"]), route)
            if earlier is not route:
                yield self.finding(
                    f"two routes are called {route.name}: {earlier.ends} and {route.ends}",
                    route.spot("name"),
                    related=(earlier.spot("name", label="the first"),),
                    tip="give one of them another name",
                )


def _looks(route: BoundRoute) -> tuple[object, ...]:
    """Return all that tells a route from others of its signal."""
    entry = route.entry
    lit = tuple((one.name, one.content) for one in entry.indications)
    lies = tuple(sorted(entry.points.items()))
    return (
        route.signal.name,
        entry.to,
        route.name,
        route_class(entry),
        entry.over,
        lies,
        entry.turns,
        entry.speed,
        lit,
    )


def _names(route: BoundRoute, key: str, names: tuple[str, ...]) -> bool:
    """Tell whether what a route says under a key names one of these points."""
    used = route.uses
    lies = {"points": [used.lies], "flank": [used.flank], "overlap": [lap.lies for lap in used.overlaps]}[key]
    return any(name in said for said in lies for name in names)


def _first(route: BoundRoute, where: list[str], names: tuple[str, ...]) -> Spot:
    """Return the place of the points in the last part that names them: the way of a route is what it is for."""
    key = where[-1]
    return place(route, "points", names[-1]) if key == "points" else route.spot(key)
