"""What a route names of the track on its way: sections, points, the signals it passes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.findings import Level
from lampwright.words import listed
from lampwright.working.bound import ROUTE
from lampwright.working.trails import track_of
from lampwright_working.auditing import LAID, Audit, standing_spot
from lampwright_working.matching import matches, points_of
from lampwright_working.saying import place

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.working.bound import BoundRoute
    from lampwright_working.matching import Match


class SectionsOffWay(Audit):
    """Finds sections of a route that are not on its way over the track, that it leaves out, or in another order.

    What a route does not name is not looked at before its signal clears: a train may stand there. What it names
    too much holds the signal at danger for a train on another track.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        sections: {AA: {}, AB: {}, AC: {}, AD: {}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD, in: AB}
          AC: {next: [101, east]}
          AD: {next: [101, bay]}
        signals:
          HF3:
            routes:
              - {to: east, over: [AB, AD], points: {101: normal}}      # expect: sections-off-way "names AD where"
              - {to: bay, over: [AB, AD], points: {101: reverse}}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        sections: {AA: {}, AB: {}, AC: {}, AD: {}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD, in: AB}
          AC: {next: [101, east]}
          AD: {next: [101, bay]}
        signals:
          HF3:
            routes:
              - {to: east, over: [AB, AC], points: {101: normal}}
              - {to: bay, over: [AB, AD], points: {101: reverse}}

    Limits: a route begins beyond its signal, so that the section in which the train waits is not one of its own. A
    route that names no section at all has not said them, which is no slip.
    """

    name = "sections-off-way"
    scope = ROUTE
    needs = (*LAID, "track-against-routes", "no-such-way")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield one finding for all sections that are wrong in one route."""
        match = matches(subject.layout).get(subject.index)
        if match is None or match.way is None or not (match.lacks or match.extra or match.jumbled):
            return
        first = next(iter(match.extra), "")
        yield self.finding(
            f"{subject} {_wrong_sections(match)}",
            place(subject, "over", first),
            related=[subject.layout.spot("track", name, on_key=True, label="left out") for name in _drawn(match)],
            tip=f"over: [{', '.join(match.way.over)}]" if match.way.over else "leave `over` out",
        )


class PointsOffWay(Audit):
    """Finds points of a route that lie otherwise than its way over the track needs, are left out, or are not on it.

    Points that lie wrong send the train elsewhere, or let it burst them open. Points left out are not locked: they
    can be thrown under it.

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
              - {to: east, over: AC, points: {101: reverse}}      # expect: points-off-way "101 must lie normal"
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

    Limits: points that protect a route and are not run over belong under `flank`. A route that names no points at all
    has not said them, which is no slip.
    """

    name = "points-off-way"
    scope = ROUTE
    needs = (*LAID, "track-against-routes", "no-such-way")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield one finding for all points that are wrong in one route."""
        match = matches(subject.layout).get(subject.index)
        if match is None or match.way is None or not match.lies:
            return
        there = points_of(subject.layout)
        pieces = dict.fromkeys(there[name] for name in match.lies if name in there)
        written = next((name for name, (has, _) in match.lies.items() if has), "")
        lies = ", ".join(f"{name}: {lie}" for name, lie in match.way.lies.items())
        yield self.finding(
            f"{_wrong_points(subject, match)}",
            place(subject, "points", written),
            related=[subject.layout.spot("track", name, on_key=True, label="on the track") for name in pieces],
            tip=f"points: {{{lies}}}" if lies else "leave `points` out",
        )


class SignalsOffWay(Audit):
    """Finds distants and repeaters that a route says it passes and does not, or passes without saying so.

    A distant shows what the driver will find at the stop signals beyond it. Which routes lead past it decides what it
    may be asked to show.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          west: {next: AA, signals: {HF1: AA}}
          AA: {next: [west, AB], signals: {HF3R: AB}}
          AB: {next: [AA, AC], signals: {HF3: AC}}
          AC: {next: [AB, AD], signals: {HF5R: AD}}
          AD: {next: [AC, east], signals: {HF5: east}}
        signals:
          HF1: {routes: [{to: HF3, passes: [HF3R, HF5R]}]}       # expect: signals-off-way "HF5R"
          HF3R: {repeats: HF3}
          HF3: {routes: [{to: HF5, passes: HF5R}]}
          HF5R: {repeats: HF5}
          HF5: {routes: [{to: east}]}

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}}
        track:
          west: {next: AA, signals: {HF1: AA}}
          AA: {next: [west, AB], signals: {HF3R: AB}}
          AB: {next: [AA, AC], signals: {HF3: AC}}
          AC: {next: [AB, AD], signals: {HF5R: AD}}
          AD: {next: [AC, east], signals: {HF5: east}}
        signals:
          HF1: {routes: [{to: HF3, passes: HF3R}]}
          HF3R: {repeats: HF3}
          HF3: {routes: [{to: HF5, passes: HF5R}]}
          HF5R: {repeats: HF5}
          HF5: {routes: [{to: east}]}

    Limits: only signals that stand on the track count, and only routes that say what they pass.
    """

    name = "signals-off-way"
    scope = ROUTE
    level = Level.WARNING
    needs = (*LAID, "track-against-routes", "no-such-way", "sections-off-way", "points-off-way")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Yield one finding for all signals that are wrong in one route."""
        match = matches(subject.layout).get(subject.index)
        unknown = [name for name in subject.entry.passes if name not in subject.layout.signals]
        if match is None or match.way is None or not match.sound or unknown:
            return
        standing = [name for name in subject.entry.passes if name in track_of(subject.layout).signals]
        extra = [name for name in standing if name not in match.way.passes]
        lacks = [name for name in match.way.passes if name not in standing]
        if extra or lacks:
            wrong = [f"does not run past {listed(extra)}"] if extra else []
            wrong += [f"runs past {listed(lacks)} without saying so"] if lacks else []
            yield self.finding(
                f"{subject} {listed(wrong)}",
                place(subject, "passes", next(iter(extra), "")),
                related=[standing_spot(subject, name) for name in (*extra, *lacks)],
                tip=f"passes: [{', '.join(match.way.passes)}]" if match.way.passes else "leave `passes` out",
            )


def _wrong_sections(match: Match) -> str:
    """Say what is wrong with the sections of a route."""
    if match.jumbled:
        return f"does not name its sections in running order, which is {listed(match.way.over if match.way else ())}"
    if match.lacks and match.extra:
        return f"names {listed(match.extra)} where the track has {listed(match.lacks)}"
    if match.lacks:
        return f"leaves out {listed(match.lacks)}, which it runs over on the track"
    return f"names {listed(match.extra)}, which it does not run over on the track"


def _wrong_points(route: BoundRoute, match: Match) -> str:
    """Say what is wrong with the points of a route."""
    turned = [f"{name} must lie {lie}" for name, (has, lie) in match.lies.items() if has and lie]
    lacks = [f"{name} ({lie})" for name, (has, lie) in match.lies.items() if not has]
    extra = [name for name, (_, lie) in match.lies.items() if not lie]
    parts = [f"{listed(turned)} for {route} on the track"] if turned else []
    parts += [f"{route} leaves out {listed(lacks)}"] if lacks else []
    parts += [f"{route} names {listed(extra)}, which it does not run over"] if extra else []
    return "; ".join(parts)


def _drawn(match: Match) -> list[str]:
    """Return the pieces of track of sections that a route leaves out."""
    pieces = track_of(match.route.layout).pieces.values()
    return [piece.name for piece in pieces if piece.section in match.lacks][:3]
