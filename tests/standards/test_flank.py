"""Situations at the flank of a route and in its overlap, on a track of our own.

Source of the situations and of what is expected: the interlocking test folder of the simulate-digital-rail research
project (German principles; facts only, the tracks here are other ones).
"""

from __future__ import annotations

from itertools import product

import pytest

from lampwright.working.conflicts import conflicts
from lampwright.working.flank import Guard, flanks
from lampwright.working.reasons import FLANK, OVERLAP
from lampwright.working.trails import track_of, trails
from support import result_of

ENDS = "ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}, north: {kind: off-stage}}\n"


def guards(text: str, route: str) -> list[tuple[str, list[Guard]]]:
    """Return the legs at the flank of a route with what guards each."""
    layout = result_of(f"plan: 1\n{ENDS}{text}").layouts[0]
    found = conflicts(layout)
    (index,) = [one.index for one in found.routes if one.name == route]
    return [(f"{one.piece} {one.leg}", list(one.guards)) for one in flanks(track_of(layout), trails(layout)[index])]


JUNCTION = """
track:
  a: {next: [west, P1], signals: {N1: P1}}
  P1: {toe: b, normal: a, reverse: c}
  b: {next: [P1, east], signals: {N2: east}}
  c: {next: [P1, south], signals: {N3: P1}}
signals:
  N1: {routes: [{to: N2}]}
  N2: {routes: [{to: east}]}
  N3: {routes: [{to: N2}]}
"""


def test_a_signal_at_stop_guards_the_side_of_a_route() -> None:
    """Case 1: one set of points on the route; the flank is given by a signal at stop."""
    assert guards(JUNCTION, "N1 to N2") == [("P1 reverse", [Guard("signal", "N3")])]


CROSSOVER = """
track:
  a: {next: [west, P1], signals: {S1: P1}}
  P1: {toe: a, normal: b, reverse: P2}
  b: {next: [P1, east], signals: {S2: east}}
  c: {next: [south, P2], signals: {S3: south}}
  P2: {toe: d, normal: c, reverse: P1}
  d: {next: [P2, north], signals: {S4: P2}}
signals:
  S1: {routes: [{to: S2, flank: {points: {P2: normal}}}]}
  S2: {routes: [{to: east}]}
  S4: {routes: [{to: S3, flank: {points: {P1: normal}}}]}
  S3: {routes: [{to: south}]}
"""


def test_points_that_lie_away_guard_the_side_of_a_route() -> None:
    """Case 2: the flank is given by points, and how they must lie follows from the leg they would let trains out by."""
    assert guards(CROSSOVER, "S1 to S2") == [("P1 reverse", [Guard("points", "P2", "normal")])]


TRANSIT = """
track:
  a: {next: [west, P1], signals: {E1: P1}}
  P1: {toe: b, normal: a, reverse: P2}
  b: {next: [P1, east], signals: {A1: east}}
  P2: {toe: P1, normal: P3, reverse: c}
  P3: {toe: d, normal: north, reverse: P2}
  d: {next: P3}
  c: {next: [P2, south], signals: {E2: P2}}
signals:
  E1: {routes: [{to: A1}]}
  A1: {routes: [{to: east}]}
  E2: {routes: [{to: A1}]}
"""


def test_points_in_transit_pass_the_demand_on() -> None:
    """Case 3: points met at the toe guard nothing; the demand ends at one further set of points and at a signal."""
    ((leg, found),) = guards(TRANSIT, "E1 to A1")
    assert leg == "P1 reverse"
    assert sorted(found, key=lambda one: one.name) == [Guard("signal", "E2"), Guard("points", "P3", "normal")]


def test_routes_that_guard_each_other_may_be_set_together() -> None:
    """Case 4, the trap for false alarms: points at each other's flank, in the state each of the two needs anyway."""
    found = conflicts(result_of(f"plan: 1\n{ENDS}{CROSSOVER}").layouts[0])
    one, _, other, _ = found.routes
    assert (one.name, other.name) == ("S1 to S2", "S4 to S3")
    assert not found.excludes(one, other)
    assert found.reasons(one, other) == ()


def test_points_kept_in_another_state_exclude() -> None:
    """The counterpart of case 4: with the flank demanded the other way the same two routes exclude each other."""
    wrong = CROSSOVER.replace("{points: {P2: normal}}", "{points: {P2: reverse}}")
    found = conflicts(result_of(f"plan: 1\n{ENDS}{wrong}").layouts[0])
    one, _, other, _ = found.routes
    assert [reason.kind for reason in found.reasons(one, other)] == [FLANK]
    assert found.excludes(other, one)


OVERLAPS = """
track:
  a: {next: [west, b], signals: {BS4: b}}
  b: {next: [a, P1], signals: {BS5: P1}}
  P1: {toe: b, normal: c, reverse: d}
  c: {next: [P1, east]}
  d: {next: [P1, P2]}
  P2: {toe: e, normal: north, reverse: d}
  e: {next: [P2, south], signals: {X1: P2}}
signals:
  BS4: {routes: [{to: BS5, over: b, overlap: LAPS}]}
  BS5: {routes: [{to: east}]}
  X1: {routes: [{to: north, FLANK}]}
"""
NORMAL, REVERSE = "{over: c, points: {P1: normal}}", "{over: d, points: {P1: reverse}}"


@pytest.mark.parametrize(
    ("laps", "keeps"),
    list(product([f"[{NORMAL}, {REVERSE}]", NORMAL, REVERSE], ["normal", "reverse"])),
)
def test_an_overlap_avoids_the_leg_that_must_be_guarded(laps: str, keeps: str) -> None:
    """Case 5: of two legs beyond the exit exactly one may be overlap when the other is needed for the flank.

    The route over there keeps P1 in one state. With both overlaps written there is one that fits; with one written,
    it depends on whether it is that one.
    """
    text = OVERLAPS.replace("LAPS", laps).replace("FLANK", f"flank: {{points: {{P1: {keeps}}}}}")
    found = conflicts(result_of(f"plan: 1\n{ENDS}{text}").layouts[0])
    route, _, there = found.routes
    fits = keeps in laps
    assert found.excludes(route, there) is not fits
    assert [reason.kind for reason in found.reasons(there, route)] == ([] if fits else [OVERLAP])


def test_the_route_that_goes_on_takes_the_overlap_over() -> None:
    """A second route turns the overlap of the first into part of its own way, however the points then lie."""
    text = OVERLAPS.replace("LAPS", REVERSE).replace(", FLANK", "")
    found = conflicts(result_of(f"plan: 1\n{ENDS}{text}").layouts[0])
    route, onward, _ = found.routes
    assert (onward.name, onward.entry.points) == ("BS5 to east", {"P1": "normal"})
    assert not found.excludes(route, onward)


def test_two_trains_may_stop_short_of_one_overlap_that_lies_one_way() -> None:
    """An overlap is shared if its points lie alike for both, not if they would have to lie both ways."""
    text = """
ends: {north: {kind: off-stage}, west: {kind: off-stage}}
signals:
  A1: {routes: [{to: A2, over: a, overlap: {over: z, points: {P9: normal}}}]}
  B1: {routes: [{to: B2, over: b, overlap: {over: z, points: {P9: LIE}}}]}
  A2: {routes: [{to: north, over: [z, c]}]}
  B2: {routes: [{to: west, over: [z, d]}]}
"""
    for lie, excluded in (("normal", False), ("reverse", True)):
        found = conflicts(result_of(f"plan: 1\n{text.replace('LIE', lie)}").layouts[0])
        assert found.excludes(*found.routes[:2]) is excluded
        assert found.excludes(found.routes[0], found.routes[3])
        assert not found.excludes(found.routes[0], found.routes[2])
