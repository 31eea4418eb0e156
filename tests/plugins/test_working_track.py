"""Routes beside the track, and the track itself: hard cases of one slip, and of what is no slip."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from support import findings_of, line_of, result_of, rules_of

if TYPE_CHECKING:
    from lampwright.findings import Spot
    from lampwright.project import Result

TRACK = """\
plan: 1
ends: {west: {kind: off-stage}, east: {kind: off-stage}, south: {kind: off-stage}, yard: {kind: unsignalled}}
sections: {AA: {}, AB: {}, AC: {}, AD: {}, AE: {}, AF: {}}
points: {11: {}, 12: {}}
track:
  west: {next: AA, signals: {T1: AA}}
  AA: {next: [west, 11], signals: {T3R: 11, T3: 11}}
  11: {toe: AA, normal: AC, reverse: AD, in: AB}
  AC: {next: [11, AE], signals: {T5: AE}}
  AE: {next: [AC, east]}
  AD: {next: [11, 12], signals: {T7: 12}}
  12: {toe: AD, normal: south, reverse: yard, in: AF}
signals:
  T1: {from: west, routes: [{to: T3, passes: T3R, over: AA}]}
  T3R: {repeats: T3}
  T3:
    routes:
      - {to: T5, over: [AB, AC], points: {11: normal}}
      - {to: T7, over: [AB, AD], points: {11: reverse}}
  T5: {routes: [{to: east, over: AE}]}
  T7: {routes: [{to: south, over: AF, points: {12: normal}}, {to: yard, class: shunt, over: AF, points: {12: reverse}}]}
"""


def changed(old: str, new: str) -> str:
    """Return the plan with one text in it replaced."""
    assert TRACK.count(old) == 1
    return TRACK.replace(old, new)


def test_the_plan_is_clean() -> None:
    """As written, and with all that the track tells left out."""
    assert findings_of(TRACK) == []
    short = """
  T1: {from: west, routes: [{to: T3}]}
  T3R: {repeats: T3}
  T3: {routes: [{to: T5}, {to: T7}]}
  T5: {routes: [{to: east}]}
  T7: {routes: [{to: south}, {to: yard, class: shunt}]}
"""
    assert findings_of(TRACK[: TRACK.index("signals:\n  T1") + 8] + short) == []


SLIPS = [
    (
        "{to: T5, over: [AB, AC], points: {11: normal}}",
        "{to: T5, over: [AB, AC], points: {11: reverse}}",
        "points-off-way",
        "11 must lie normal",
    ),
    ("over: [AB, AC]", "over: [AC, AB]", "sections-off-way", "running order, which is AB and AC"),
    ("over: [AB, AC]", "over: AC", "sections-off-way", "leaves out AB"),
    ("over: [AB, AC]", "over: [AB, AC, AE]", "sections-off-way", "names AE, which it does not run over"),
    ("over: [AB, AC]", "over: [AA, AB, AC]", "sections-off-way", "names AA"),
    ("over: [AB, AC]", "over: [AB, AD]", "sections-off-way", "names AD where the track has AC"),
    (
        "points: {11: normal}",
        "points: {11: normal, 12: normal}",
        "points-off-way",
        "names 12, which it does not run over",
    ),
    ("{to: T5, over", "{to: T7, over", "no-such-way", "runs over what leads to T5"),
    ("{to: east, over: AE}", "{to: west, over: AE}", "no-such-way", "runs over what leads to east"),
    ("{to: T3, passes: T3R, over: AA}", "{to: T5, over: AA}", "no-such-way", "runs over what leads to T3"),
    (
        "{to: T3, passes: T3R, over: AA}",
        "{to: T7, over: [AA, AB, AD]}",
        "no-such-way",
        "no way from T1 to T7 before any",
    ),
    ("passes: T3R", "passes: [T3R, T5]", "signals-off-way", "does not run past T5"),
    ("      - {to: T7, over: [AB, AD], points: {11: reverse}}\n", "", "unwritten-route", "from T3 to T7"),
    ("normal: AC, reverse: AD", "normal: AD, reverse: AC", "track-against-routes", "2 routes over 11"),
    ("signals: {T3R: 11, T3: 11}", "signals: {T3R: 11, T3: west}", "track-against-routes", "3 routes from and to T3"),
    ("AC: {next: [11, AE]", "AC: {next: [12, AE]", "one-sided-joint", "11 leads on to AC, and AC does not lead back"),
    ("AE: {next: [AC, east]}", "AE: {next: [AC, AE]}", "one-sided-joint", "AE leads on to itself"),
    ("signals: {T5: AE}", "signals: {T5: 12}", "misplaced-signal", "T5 stands in AC and looks towards 12"),
    (
        "AE: {next: [AC, east]}",
        "AE: {next: [AC, east], signals: {T5: east}}",
        "misplaced-signal",
        "T5 stands in AC and in AE",
    ),
    ("signals: {T5: AE}", "signals: {}", "off-the-track", "leaves out signal T5"),
    ("AF: {}}", "AF: {}, AG: {}}", "off-the-track", "leaves out section AG"),
    ("12: {}}", "12: {}, 13: {}}", "off-the-track", "leaves out points 13"),
    ("points: {11: {}, 12", "points: {11: {in: AA}, 12", "points-in-two-sections", "AB on the track, and in AA"),
    ("  T5: {routes: [{to: east, over: AE}]}", "  T5: {}", "unwritten-route", "from T5 to east"),
]


@pytest.mark.parametrize(("old", "new", "rule", "part"), SLIPS, ids=[f"{slip[2]} {slip[3]}" for slip in SLIPS])
def test_one_slip_makes_one_finding_where_it_was_made(old: str, new: str, rule: str, part: str) -> None:
    """At the line that was changed; what is missing is told where it should be."""
    result = result_of(changed(old, new))
    assert [finding.rule for finding in result.findings] == [rule]
    (finding,) = result.findings
    assert part in finding.message
    line = TRACK[: TRACK.index(old)].count("\n") + 1
    spots = [finding.spot, *finding.related]
    assert finding.rule in ("unwritten-route", "off-the-track") or line in [
        line_of_spot(result, spot) for spot in spots
    ]


def line_of_spot(result: Result, spot: Spot) -> int:
    """Return the line of any spot of a finding."""
    return result.documents[spot.file].place(spot.path, on_key=spot.on_key).line


def test_a_tip_says_what_would_have_been_right() -> None:
    """The way as the track has it; the exits there are; what to write for a way without a route."""
    tips = {slip[2]: findings_of(changed(*slip[:2]))[0].tip for slip in SLIPS}
    assert tips["sections-off-way"] == "over: [AB, AC]"
    assert tips["points-off-way"] == "points: {11: normal}"
    assert tips["signals-off-way"] == "passes: [T3R]"
    assert tips["unwritten-route"] == "{to: east, over: [AE]}"


def test_a_name_that_is_nowhere_is_one_finding() -> None:
    """In a route or in the track: nothing is compared with what is not there."""
    for old, new in [
        ("to: T5, over", "to: T55, over"),
        ("over: [AB, AC]", "over: [AB, AX]"),
        ("points: {11: normal}", "points: {111: normal}"),
        ("toe: AA,", "toe: AAA,"),
        ("AC: {next: [11,", "AC: {next: [111,"),
        ("signals: {T5: AE}", "signals: {T5: AEE}"),
        ("signals: {T5: AE}", "signals: {T55: AE}"),
        ("passes: T3R", "passes: T3RR"),
    ]:
        rules = rules_of(changed(old, new))
        assert rules == ["dead-reference"] or (
            new.startswith("signals: {T55") and rules == ["dead-reference", "off-the-track"]
        )


def test_two_slips_in_two_routes_are_two_findings() -> None:
    """Each at its own route: what one names wrongly says nothing of the other."""
    text = changed("over: [AB, AC]", "over: [AB]").replace(
        "over: AF, points: {12: normal}", "over: AF, points: {12: reverse}"
    )
    assert sorted(rules_of(text)) == ["points-off-way", "sections-off-way"]


BUSY = """\
plan: 1
ends: {west: {kind: off-stage}, east: {kind: off-stage}, in: {kind: off-stage}, stub: {kind: buffer-stop}}
points: {13: {kind: trap}}
track:
  west: {next: AA, signals: {B1: AA}}
  AA: {next: [west, 11]}
  11: {toe: AA, normal: AB, reverse: 12}
  AB: {next: [11, 13]}
  13: {toe: AB, normal: stub, reverse: AC}
  AC: {next: [13, east]}
  BA: {next: [in, 12], signals: {B2: 12}}
  12: {toe: BB, normal: BA, reverse: 11}
  BB: {next: [12, BC], signals: {B4: BC}}
  BC: {next: [BB, east]}
signals:
  B1: {routes: [{to: east, points: {11: normal, 13: reverse}}]}
  B2: {routes: [{to: B4}]}
  B4: {routes: [{to: east}]}
"""


def test_not_every_way_is_a_route() -> None:
    """Not asked for: over trap points off the track, to an end that trains come from, against their signals.

    B1 leads over the crossover to B4 as well: that is asked for.
    """
    (finding,) = findings_of(BUSY)
    assert finding.rule == "unwritten-route"
    assert "from B1 to B4" in finding.message
    assert (
        findings_of(BUSY.replace("points: {11: normal, 13: reverse}}", "points: {11: normal, 13: reverse}}, {to: B4}"))
        == []
    )


def test_a_route_to_another_file_may_leave_by_any_end() -> None:
    """The track of this file ends there; the next one goes on with its own."""
    north = "plan: 1\nsignals:\n  TB9: {}\n"
    text = changed("{to: east, over: AE}", "{to: north/TB9, over: AE}")
    assert [finding.rule for finding in findings_of(text, beside={"north.yaml": north})] == []
    wrong = changed("{to: east, over: AE}", "{to: north/TB9, over: AC}")
    assert [finding.rule for finding in findings_of(wrong, beside={"north.yaml": north})] == ["sections-off-way"]


def test_a_signal_at_the_mouth_of_a_yard() -> None:
    """Hundreds of ways: a route that says its points is compared, one that says nothing is unclear."""
    rungs = 20
    rows = ["  A: {next: [w, p0], signals: {S1: p0}}"]
    for number in range(rungs):
        before, behind = f"q{number - 1}" if number else "A", f"p{number + 1}" if number + 1 < rungs else "e"
        legs = f"normal: u{number}, reverse: v{number}"
        rows += [f"  p{number}: {{toe: {before}, {legs}}}", f"  q{number}: {{toe: {behind}, {legs}}}"]
        rows += [f"  {side}{number}: {{next: [p{number}, q{number}]}}" for side in "uv"]
    head = "plan: 1\nends: {w: {kind: off-stage}, e: {kind: off-stage}}\ntrack:\n" + "\n".join(rows)
    lies = ", ".join(f"{end}{number}: normal" for number in range(rungs) for end in "pq")
    said = f"{head}\nsignals:\n  S1: {{routes: [{{to: e, points: {{{lies}}}}}]}}\n"
    assert findings_of(said) == []
    assert [finding.rule for finding in findings_of(said.replace("q7: normal", "q7: reverse"))] == ["no-such-way"]
    silent = f"{head}\nsignals:\n  S1: {{routes: [{{to: e}}]}}\n"
    (finding,) = findings_of(silent)
    assert (finding.rule, "more ways than are looked at" in finding.message) == ("unclear-route", True)


def test_points_both_ways_in_overlap_and_flank() -> None:
    """A route's own way, its only overlap and its flank must agree; of several overlaps one must."""
    text = """
plan: 1
signals:
  P1: {routes: [{to: P3, over: [AA, AB], points: {11: normal}, MORE}]}
  P3: {}
"""
    assert rules_of(text.replace("MORE", "overlap: {over: AC, points: {11: reverse}}")) == ["points-both-ways"]
    assert rules_of(text.replace("MORE", "flank: {points: {11: reverse}}")) == ["points-both-ways"]
    several = "overlap: [{over: AC, points: {11: reverse}}, {over: AD, points: {12: reverse}}]"
    assert rules_of(text.replace("MORE", several)) == []
    neither = (
        "overlap: [{over: AC, points: {11: reverse}}, {over: AD, points: {12: reverse}}], flank: {points: {12: normal}}"
    )
    (finding,) = findings_of(text.replace("MORE", neither))
    assert finding.rule == "points-both-ways"
    assert finding.spot.path == ("signals", "P1", "routes", 0, "overlap")


def test_routes_that_differ_in_anything_are_no_twins() -> None:
    """Class, name, exit, sections, points, turn, indicator: one of them is enough."""
    text = """\
plan: 1
ends: {out: {kind: off-stage}}
signals:
  P1: {routes: [{to: out, over: AA}, {to: out, over: AA, MORE}]}
"""
    for more in (
        "class: shunt",
        "name: other",
        "points: {11: normal}",
        "turns: left",
        "indicator: position-1",
        "speed: 25 mph",
    ):
        assert "twin-routes" not in rules_of(text.replace("MORE", more)), more
    assert rules_of(text.replace(", MORE", "")) == ["twin-routes"]
    assert line_of(result_of(text.replace(", MORE", "")), findings_of(text.replace(", MORE", ""))[0]) == 4
