"""The side to which a route turns, against the points it runs over."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.findings import Level
from lampwright.working.bound import ROUTE
from lampwright.working.track import POINTS
from lampwright.working.trails import track_of, trails
from lampwright_working.auditing import LAID, Audit

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.working.bound import BoundRoute

ACROSS: Final = {"left": "right", "right": "left"}
TOE: Final = 0
"""The side of points by which a train comes to them that can go either way."""


class TurnAgainstPoints(Audit):
    """Finds a route that turns to one side, over points that lead to the other.

    Which way a route turns decides which indicator a driver is shown. Where the plan says to which side its points
    lead, the two must agree.

    Wrong:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        points: {101: {normal: straight, reverse: left}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, east]}
          AD: {next: [101, bay]}
        sections: {AA: {}, AC: {}, AD: {}}
        signals:
          HF3:
            routes:
              - {to: east, over: [AC], turns: straight}
              - {to: bay, over: [AD], turns: right}       # expect: turn-against-points "turns right, and 101 lead left"

    Right:

        plan: 1
        ends: {west: {kind: off-stage}, east: {kind: off-stage}, bay: {kind: buffer-stop}}
        points: {101: {normal: straight, reverse: left}}
        track:
          AA: {next: [west, 101], signals: {HF3: 101}}
          101: {toe: AA, normal: AC, reverse: AD}
          AC: {next: [101, east]}
          AD: {next: [101, bay]}
        sections: {AA: {}, AC: {}, AD: {}}
        signals:
          HF3:
            routes:
              - {to: east, over: [AC], turns: straight}
              - {to: bay, over: [AD], turns: left}

    Limits: only points that the route runs over from the toe, and only where all of them that lead aside lead to one
    side. A route that goes straight is not compared.
    """

    name = "turn-against-points"
    level = Level.WARNING
    scope = ROUTE
    needs = (*LAID, "points-off-way", "indicator-on-wrong-side", "unknown-form")

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Compare the turn of a route with the sides of its points."""
        aside = dict(_aside(subject))
        sides = {side for side, _ in aside.values()}
        if len(sides) != 1 or ACROSS.get(subject.entry.turns) not in sides:
            return
        names, side = " and ".join(aside), sides.pop()
        yield self.finding(
            f"{subject} turns {subject.entry.turns}, and {names} lead {side}",
            subject.spot("turns"),
            related=[subject.layout.spot(*path, label="says the plan") for _, path in aside.values()],
        )


def _aside(route: BoundRoute) -> Iterator[tuple[str, tuple[str, Path]]]:
    """Yield the points by which a route leaves the straight track: the side, and where the plan says it."""
    pieces, said = track_of(route.layout).pieces, route.layout.plan.points
    for step in trails(route.layout).get(route.index, ()):
        if pieces[step.piece].kind == POINTS and step.passage.come == TOE:
            for name, lie in step.passage.lies.items():
                side = (said.get(name) or {}).get(lie)
                if side in ACROSS:
                    yield name, (side, ("points", name, lie))
