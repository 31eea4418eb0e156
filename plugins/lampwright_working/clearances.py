"""Single distances of a route: its overlap, and how far its signal stands before the points."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.checks import Check
from lampwright.findings import Level
from lampwright.rulebooks.codec import as_words
from lampwright.working.measures import NOTHING, UNKNOWN, Length
from lampwright.working.parameters import parameter
from lampwright_working.demands import compared, in_figures
from lampwright_working.stretches import ROUTE, leaving, stretches
from lampwright_working.units import Units
from lampwright_working.unmeasured import no_full_size

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright.findings import Finding, Path, Spot
    from lampwright.layout import Layout
    from lampwright_working.demands import Breach
    from lampwright_working.stretches import Stretch

FULL: Final = ("", "full")
"""Kinds of overlap of which nobody said that they are shorter than usual."""


class Overlap(Struct, frozen=True):
    """Track kept free beyond the exit of a route."""

    length: Length
    kind: str
    path: Path


class ShortOverlap(Check):
    """Finds an overlap that is shorter than usual, and not said to be.

    A train that brakes a little late should still find the track clear: so a stretch beyond the red is kept free. A
    shorter one is possible where there is a reason, at low speed or with a warning to the driver, and then has a name.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        sections: {AA: {length: 2.5 m}, AB: {length: 10 cm}}
        signals:
          HF1:
            form: three-aspect
            routes:
              - {to: HF3, over: [AA], overlap: AB}    # expect: short-overlap "30 m"
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        sections: {AA: {length: 2.5 m}, AB: {length: 70 cm}}
        signals:
          HF1: {form: three-aspect, routes: [{to: HF3, over: [AA], overlap: AB}]}
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        sections: {AA: {length: 2.5 m}}
        signals:
          HF1:
            form: three-aspect
            routes:
              - {to: HF3, over: [AA], overlap: {length: 10 cm, kind: reduced}}
          HF3: {form: three-aspect}

    Limits: only overlaps whose length the plan gives, and which it gives a scale for. Of several overlaps, each of
    which would do, every one is compared. A route that says no overlap is not asked for one.
    """

    name = "short-overlap"
    level = Level.WARNING
    scope = ROUTE

    def missing(self, whole: Layout) -> str:
        """Ask for lengths of overlaps, and what track stands for."""
        lengths = [overlap.length for stretch in stretches(whole) for overlap in overlaps(stretch)]
        return no_full_size(whole, lengths)

    def look(self, subject: Stretch) -> Iterator[Finding]:
        """Compare every overlap of a route with the rulebook's."""
        figure = parameter(subject.layout, "overlap", "length", subject.signal.rulebook)
        if figure is None or not subject.running:
            return
        for overlap in overlaps(subject):
            there = overlap.length.stands
            if there is None or overlap.kind not in FULL:
                continue
            breach = compared(there, in_figures(figure, at_least=True))
            if breach is not None:
                yield self._short(subject, overlap, breach)

    def _short(self, stretch: Stretch, overlap: Overlap, breach: Breach) -> Finding:
        """Return the finding for an overlap."""
        yard, units = stretch.yard, Units.of(stretch.layout)
        there, asked = units.apart(overlap.length, yard.standing(breach.asked))
        return self.finding(
            f"the overlap beyond {stretch.route.to} is {there}, and a full one is {asked}",
            stretch.layout.spot(*overlap.path),
            related=breach.demand.spots,
            citations=breach.citations,
            because=breach.dispute,
            tip=f"{asked}; or say that it is shorter: `{{length: {_as_written(units, overlap)}, kind: reduced}}`",
            level=breach.level,
        )


class MisplacedJunctionSignal(Check):
    """Finds a junction signal that stands too near its points, or too far from them.

    Too near, and a train that runs a little past the signal stands on the points or foul of the other track. Too far,
    and when he comes to the points the driver has long passed the signal, and may have forgotten where it sent him.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        ends: {down-main: {kind: off-stage}, branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, points: {101: normal}, turns: straight, speed: 60 mph}
              - to: branch
                points: {101: reverse}
                turns: left
                speed: 55 mph
                indicator: position-1
                to-points: 5 cm    # expect: misplaced-junction-signal "HF3 stands"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        ends: {down-main: {kind: off-stage}, branch: {kind: off-stage}}
        signals:
          HF3:
            form: three-aspect
            routes:
              - {to: down-main, points: {101: normal}, turns: straight, speed: 60 mph}
              - to: branch
                points: {101: reverse}
                turns: left
                speed: 55 mph
                indicator: position-1
                to-points: 70 cm

    Limits: where a route does not say how far its points are, its sections must tell: points that lie in one are
    somewhere on its length, and only what is wrong wherever they lie is reported. Where the track has points between
    sections, they are at the end of the one before. Points that trains meet from the other side are not asked about,
    nor are shunting routes.
    """

    name = "misplaced-junction-signal"
    level = Level.WARNING
    scope = ROUTE

    def missing(self, whole: Layout) -> str:
        """Ask for distances to points, and what track stands for."""
        lengths = [length for stretch in stretches(whole) for length in to_points(stretch) if length]
        return no_full_size(whole, lengths)

    def look(self, subject: Stretch) -> Iterator[Finding]:
        """Compare the distance to the first facing points with the rulebook's."""
        figure = parameter(subject.layout, "junction-signal-to-points", "length", subject.signal.rulebook)
        low, high = to_points(subject)
        if figure is None or not subject.running or low.stands is None or high.stands is None or _told_before(subject):
            return
        near, far = (compared(end, in_figures(figure)) for end in (high.stands, low.stands))
        if near is not None and near.short:
            yield self._misplaced(subject, high, near)
        elif far is not None and not far.short:
            yield self._misplaced(subject, low, far)

    def _misplaced(self, stretch: Stretch, length: Length, breach: Breach) -> Finding:
        """Return the finding for a junction signal."""
        units = Units.of(stretch.layout)
        there, asked = units.apart(length, stretch.yard.standing(breach.asked))
        slip, most = ("only", "at least") if breach.short else ("as far as", "at most")
        return self.finding(
            f"{stretch.signal.name} stands {slip} {there} before the points to {stretch.route.to}, which is "
            f"{'too near' if breach.short else 'too far'}",
            _points_spot(stretch),
            related=(stretch.signal.spot(label="the junction signal"), *breach.demand.spots),
            citations=breach.citations,
            because=breach.dispute,
            tip=f"{most} {asked}",
            level=breach.level,
        )


def overlaps(stretch: Stretch) -> list[Overlap]:
    """Return the overlaps of a route, each with its length as far as the plan gives it."""
    said = stretch.route.rest.get("overlap")
    path = (*stretch.path, "overlap")
    if isinstance(said, list) and said and isinstance(said[0], dict):
        return [_overlap(stretch, one, (*path, index)) for index, one in enumerate(said)]
    return [] if said is None else [_overlap(stretch, said, path)]


def to_points(stretch: Stretch) -> tuple[Length, Length]:
    """Return the least and the most that it can be from a signal to the first points that trains meet facing."""
    if said := stretch.route.rest.get("to-points"):
        exact = stretch.yard.length(said)
        return exact, exact
    over = stretch.route.over
    places = [place for name in _facing(stretch) for place in _places(stretch, name) if place[0] in over]
    if not places:
        return UNKNOWN, UNKNOWN
    section, at_its_end = min(places, key=lambda place: (over.index(place[0]), place[1]))
    first = over.index(section)
    most = stretch.along(over[: first + 1])
    return (most if at_its_end else stretch.along(over[:first]) if first else NOTHING), most


def _places(stretch: Stretch, points: str) -> Iterator[tuple[str, bool]]:
    """Yield where points are: in a section, or at the end of the one before them."""
    plan = stretch.layout.plan
    track = (plan.values.get("track") or {}).get(points) or {}
    for said in (plan.points.get(points) or {}, track):
        if "in" in said:
            yield str(said["in"]), False
            return
    if "toe" in track:
        yield str(track["toe"]), True


def _told_before(stretch: Stretch) -> bool:
    """Tell whether another route of the signal comes to its points over the same sections, and stands before this."""
    if "to-points" in stretch.route.rest:
        return False
    distance = to_points(stretch)
    for other in leaving(stretch.layout, stretch.signal.name):
        if other is stretch:
            return False
        if "to-points" not in other.route.rest and to_points(other) == distance:
            return True
    return False


def _facing(stretch: Stretch) -> list[str]:
    """Return the points of a route that trains meet facing: another route of the same signal takes them otherwise."""
    others = [route for route in stretch.signal.entry.routes if route is not stretch.route]
    return [
        name
        for name, lie in stretch.route.points.items()
        if any(route.points.get(name, lie) != lie for route in others)
    ]


def _overlap(stretch: Stretch, said: Any, path: Path) -> Overlap:
    """Return one overlap: sections, or a map of what is said of it."""
    if not isinstance(said, dict):
        return Overlap(stretch.along(as_words(said)), "", path)
    sections = as_words(said["over"]) if "over" in said else ()
    length = (
        stretch.yard.length(said["length"]) if "length" in said else stretch.along(sections) if sections else UNKNOWN
    )
    return Overlap(length, str(said.get("kind", "")), path)


def _points_spot(stretch: Stretch) -> Spot:
    """Return where the plan says how far the points are, or which they are."""
    key = "to-points" if "to-points" in stretch.route.rest else "over"
    return stretch.layout.spot(*stretch.path, key)


def _as_written(units: Units, overlap: Overlap) -> str:
    """Return the length of an overlap as a plan says it."""
    if overlap.length.model is None:
        stands: Fraction | None = overlap.length.stands
        return "" if stands is None else f"real {units.real(stands)}"
    return units.model(overlap.length.model)
