"""Declared conflicts beside those that follow: kinds of table, words for routes, what is not compared."""

from __future__ import annotations

import pytest

from support import findings_of, rules_of

PLAN = """
plan: 1
signals:
  P1: {routes: [{to: P3, over: [AA, AB]}, {to: P5, over: [AA, AC]}]}
  P2: {routes: [{to: P4, over: [AB, AD]}]}
  P3: {routes: [{to: P7, over: [AB, AE]}]}
  P8: {routes: [{to: P9, over: [BA]}]}
  P4: {}
  P5: {}
  P7: {}
  P9: {}
conflicts:
"""
"""P1 to P3 and P2 to P4 share AB, as P3 to P7 does with both; P3 to P7 goes on from P1 to P3; P8 to P9 is apart."""


def rules(*rows: str) -> list[str]:
    """Return the rules found with a table of conflicts."""
    return rules_of(PLAN + "".join(f"  {row}\n" for row in rows))


BOTH_WAYS = ("P1 to P3: [P2 to P4]", "P2 to P4: [P1 to P3, P3 to P7]", "P3 to P7: [P2 to P4]")


def test_a_table_that_says_what_follows_is_clean() -> None:
    """Both ways; routes of one signal left out, and the route that goes on from another."""
    assert rules(*BOTH_WAYS) == []


def test_a_table_may_list_each_pair_once() -> None:
    """Then no row leaves anything out for saying it elsewhere."""
    assert rules("P1 to P3: [P2 to P4]", "P2 to P4: [P3 to P7]") == []


def test_a_single_pair_said_once_is_a_table_of_that_kind() -> None:
    """But a row that is there is expected to be whole."""
    assert rules("P1 to P3: P2 to P4") == []
    assert rules("P2 to P4: P1 to P3") == ["missing-conflict"]


def test_a_pair_that_no_row_could_say_is_not_asked_for() -> None:
    """Neither route has a row: the table does not speak of them."""
    assert rules("P8 to P9: {P1 to P3: the platforms stand too near}") == []


def test_routes_of_one_signal_are_asked_for_where_the_table_lists_such() -> None:
    """A table that lists one pair of a signal's own routes lists them all."""
    text = PLAN.replace("P2: {routes: [", "P2: {routes: [{to: P6, over: [AD]}, ").replace(
        "  P7: {}", "  P6: {}\n  P7: {}"
    )
    rows = (
        "P1 to P3: [P1 to P5, P2 to P4]",
        "P1 to P5: [P1 to P3]",
        "P2 to P4: [P1 to P3, P3 to P7]",
        "P3 to P7: [P2 to P4]",
    )
    (finding,) = findings_of(text + "".join(f"  {row}\n" for row in rows))
    assert finding.rule == "missing-conflict"
    assert finding.message.startswith("route P2 to P6 and route P2 to P4 exclude each other")
    assert finding.because == "both begin at P2; both run over AD"


@pytest.mark.parametrize(
    ("row", "message", "tip"),
    [
        (
            "P1 to P3: [P2 to P4, P8 to P9]",
            "route P1 to P3 and route P8 to P9 are said to exclude each other",
            "say what",
        ),
        ("P1 to P3: [P2 to P4, P3 to P7]", "route P1 to P3 and route P3 to P7", "a train that runs through needs both"),
        ("P1 to P3: [P2 to P4, P1 to P3]", "route P1 to P3 is said to exclude itself", "take it out"),
    ],
)
def test_a_conflict_without_a_reason(row: str, message: str, tip: str) -> None:
    """Nothing shared; a route that goes on; a route and itself. Said once or twice, it is one finding."""
    back = ("P8 to P9: [P1 to P3]",) if "P8" in row else ()
    found = findings_of(PLAN + "".join(f"  {line}\n" for line in (row, *BOTH_WAYS[1:], *back)))
    assert [finding.rule for finding in found] == ["unfounded-conflict"]
    assert found[0].message.startswith(message)
    assert found[0].tip.startswith(tip)
    assert found[0].spot.path == ("conflicts", "P1 to P3", 1)


def test_a_reason_in_words_is_taken_as_it_is() -> None:
    """The modeller knows of the pillar between the tracks."""
    assert rules(*BOTH_WAYS[1:], "P1 to P3: {P2 to P4: both use AB, P8 to P9: a pillar stands between}") == []


def test_nothing_is_said_of_routes_that_say_nothing() -> None:
    """Without sections and points a declared conflict can neither be confirmed nor doubted."""
    text = """
plan: 1
signals:
  P1: {routes: [{to: P3}]}
  P2: {routes: [{to: P4}]}
  P3: {}
  P4: {}
conflicts: {P1 to P3: [P2 to P4], P2 to P4: [P1 to P3]}
"""
    assert rules_of(text) == []


def test_a_route_goes_by_its_own_name() -> None:
    """And two without one, to the same exit, are both meant."""
    text = """
plan: 1
signals:
  P1: {routes: [{to: P3, name: fast, over: [AA]}, {to: P3, name: slow, over: [AB]}]}
  P2: {routes: [{to: P4, over: [AA, AC]}, {to: P4, over: [AA, AD]}]}
  P3: {}
  P4: {}
conflicts: {fast: [P2 to P4], P2 to P4: [TEXT]}
"""
    assert rules_of(text.replace("TEXT", "fast")) == []
    (finding,) = findings_of(text.replace("TEXT", "slow"))[:1]
    assert finding.rule in ("one-sided-conflict", "unfounded-conflict")


def test_points_and_flank_are_reasons_too() -> None:
    """A table from points alone: called both ways, or kept for the flank; those that move together count as one."""
    text = """
plan: 1
points: {11: {works-with: 12}, 12: {}, 13: {}}
signals:
  P1: {routes: [{to: P3, points: {11: normal}}]}
  P2: {routes: [{to: P4, points: {12: reverse}}]}
  P5: {routes: [{to: P6, points: {13: normal}, flank: {points: {12: normal}, signals: P7}}]}
  P7: {routes: [{to: P8, points: {13: normal}}]}
  P3: {}
  P4: {}
  P6: {}
  P8: {}
conflicts: {P1 to P3: [P2 to P4], P2 to P4: [P1 to P3, P5 to P6], P5 to P6: [P2 to P4, P7 to P8], P7 to P8: P5 to P6}
"""
    assert rules_of(text) == []
    found = findings_of(text.replace("P5 to P6: [P2 to P4, P7 to P8]", "P5 to P6: [P7 to P8]"))
    assert [(finding.rule, finding.because) for finding in found] == [
        ("one-sided-conflict", "the flank of one of them needs 11, which the other takes")
    ]
