"""Where routes lead: to their own signal, or never to an end that the plan has."""

from __future__ import annotations

from support import findings_of, rules_of

LINE = """
plan: 1
rulebook: gb-colour-light
year: 1986
ends: {east: {kind: off-stage, assume: [danger, clear]}, west: {kind: off-stage}, bay: {kind: buffer-stop}}
signals:
  S1:
    form: three-aspect
    from: west
    routes: [{to: S3, turns: straight}, {to: bay, turns: left, indicator: position-1}]
  S3: {form: three-aspect, routes: [{to: east}]}
"""


def test_a_route_back_to_its_signal_is_one_finding() -> None:
    """It is found where the route says it, and nothing is said of aspects that follow from it."""
    found = [one for one in findings_of(LINE.replace("to: S3,", "to: S1,")) if one.rule != "unreached-signal"]
    assert [one.rule for one in found] == ["route-to-itself"]
    assert found[0].spot.path == ("signals", "S1", "routes", 0, "to")
    assert rules_of(LINE) == []


def test_an_end_that_nothing_names() -> None:
    """Where trains come from is named too; all that are left over are one finding."""
    (found,) = findings_of(LINE.replace("from: west", "from: off-stage"))
    assert (found.rule, found.message) == ("unused-end", "no route leads to west, and no train comes from there")
    more = "bay: {kind: buffer-stop}, dock: {kind: buffer-stop}, pit: {kind: unsignalled}"
    (both,) = findings_of(LINE.replace("bay: {kind: buffer-stop}", more))
    assert both.message == "no route leads to dock and pit, and no train comes from there"
    assert both.spot.path == ("ends", "dock")


def test_a_slip_in_a_name_is_no_unused_end() -> None:
    """The dead name is the finding."""
    assert rules_of(LINE.replace("to: east", "to: eats")) == ["dead-reference"]


def test_an_end_that_another_file_or_the_track_names_is_used() -> None:
    """Routes of the other file, and pieces of track that lead there."""
    alone = LINE.replace("from: west", "from: off-stage")
    head = "plan: 1\nrulebook: gb-colour-light\nyear: 1986\n"
    other = f"{head}signals: {{N1: {{form: three-aspect, routes: [{{to: plan/west}}]}}}}\n"
    assert "unused-end" not in rules_of(alone, beside={"north.yaml": other})
    track = "track: {A: {next: [west, B]}, B: {next: [A, east]}}\n"
    assert "unused-end" not in rules_of(f"{alone}{track}")


def test_trains_come_to_a_signal_by_its_distant() -> None:
    """The distant is what they come to first; the signal it tells of is next."""
    plan = """
plan: 1
rulebook: gb-colour-light
year: 1986
ends: {east: {kind: off-stage, assume: [danger, clear]}}
signals:
  S1D: {form: two-aspect-distant, from: off-stage, repeats: S1}
  S1: {form: two-aspect-stop, routes: [{to: east}]}
"""
    assert rules_of(plan) == []
    assert rules_of(plan.replace("repeats: S1", "repeats: S2")) != []
    apart = plan.replace(
        "from: off-stage, repeats: S1}", "repeats: S1}\n  S3: {form: two-aspect-stop, from: off-stage}"
    )
    assert "unreached-signal" in rules_of(apart)
