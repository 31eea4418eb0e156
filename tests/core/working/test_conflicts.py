"""Conflicts against brute force: every way the points can lie is tried, and every overlap."""

from __future__ import annotations

from itertools import combinations, pairwise, product
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.conflicts import Conflicts, conflicts
from lampwright.working.reasons import DECLARED
from support import library

SIGNALS = ["S1", "S2", "S3", "S4"]
SECTIONS = ["A", "B", "C", "D", "E"]
POINTS = ["1", "2", "3"]
ENDS = {"away": {"kind": "off-stage"}, "bay": {"kind": "buffer-stop"}, "yard": {"kind": "unsignalled"}}
Values = dict[str, Any]


def some(names: list[str], most: int) -> st.SearchStrategy[list[str]]:
    """Return lists of a few of the names, in any order."""
    return st.lists(st.sampled_from(names), max_size=most, unique=True)


LIES = st.dictionaries(st.sampled_from(POINTS), st.sampled_from(["normal", "reverse"]), max_size=2)
LAPS = st.lists(st.fixed_dictionaries({"over": some(SECTIONS, 2), "points": LIES}), max_size=3)
FLANK = st.fixed_dictionaries({"points": LIES, "signals": some(SIGNALS, 1)})
ROUTE = st.fixed_dictionaries(
    {"to": st.sampled_from([*SIGNALS, *ENDS]), "over": some(SECTIONS, 3), "points": LIES},
    optional={"overlap": LAPS.filter(bool), "flank": FLANK},
)


@st.composite
def plans(draw: st.DrawFn) -> Values:
    """Return a small plan whose routes ask nothing impossible of themselves."""
    paired = draw(st.booleans())
    points: Values = {"1": {"works-with": "2"}} if paired else {}
    signals: Values = {}
    for name in SIGNALS:
        routes = draw(st.lists(ROUTE, max_size=3))
        named = [{**route, "name": f"{name}-{number}"} for number, route in enumerate(routes)]
        signals[name] = {"routes": [route for route in named if sound(route, points)]}
    names = [route["name"] for signal in signals.values() for route in signal["routes"]]
    pairs = draw(st.lists(st.tuples(st.sampled_from(names), st.sampled_from(names)), max_size=2)) if names else []
    declared = {one: [other] for one, other in pairs}
    return {"plan": 1, "ends": ENDS, "points": points, "signals": signals, "conflicts": declared}


def sound(route: Values, points: Values) -> bool:
    """Tell whether the points can lie as a route needs them, with one of its overlaps at least."""
    return any(
        True for lap in laps(route) for lies in lyings(points) if all(lies[p] == lie for p, lie in asked(route, lap))
    )


def laps(route: Values) -> list[Values]:
    """Return the overlaps of a route; an empty one if it says none."""
    return route.get("overlap") or [{"over": [], "points": {}}]


def asked(route: Values, lap: Values) -> list[tuple[str, str]]:
    """Return how points must lie for a route with one of its overlaps."""
    return [*route["points"].items(), *route.get("flank", {}).get("points", {}).items(), *lap["points"].items()]


def lyings(points: Values) -> list[dict[str, str]]:
    """Return every way the points can lie; those that work together lie alike."""
    every = [dict(zip(POINTS, lies, strict=True)) for lies in product(["normal", "reverse"], repeat=len(POINTS))]
    return [lies for lies in every if not points or lies["1"] == lies["2"]]


def together(plan: Values, one: tuple[str, Values], other: tuple[str, Values]) -> bool:
    """Tell by trying whether two routes, each with its signal, can be set at the same time."""
    (start, first), (begin, second) = one, other
    declared = plan["conflicts"]
    if second["name"] in declared.get(first["name"], []) or first["name"] in declared.get(second["name"], []):
        return False
    if start == begin or start in at_stop(second) or begin in at_stop(first) or same_goal(first, second):
        return False
    onward, back = first["to"] == begin, second["to"] == start
    shared = set(first["over"]) & set(second["over"])
    if shared and (not (onward or back) or reversed_in(first["over"], second["over"], shared)):
        return False
    nothing: Values = {"over": [], "points": {}}
    for lap, beyond in product(laps(first), laps(second)):
        near, far = nothing if onward else lap, nothing if back else beyond
        if not possible(plan, first, lap) or not possible(plan, second, beyond):
            continue
        if set(near["over"]) & set(second["over"]) or set(far["over"]) & set(first["over"]):
            continue
        wanted = [*asked(first, near), *asked(second, far)]
        if any(all(lies[points] == lie for points, lie in wanted) for lies in lyings(plan["points"])):
            return True
    return False


def possible(plan: Values, route: Values, lap: Values) -> bool:
    """Tell whether a route can have one of its overlaps at all."""
    return any(all(lies[points] == lie for points, lie in asked(route, lap)) for lies in lyings(plan["points"]))


def at_stop(route: Values) -> list[str]:
    """Return the signals that a route keeps at stop."""
    return list(route.get("flank", {}).get("signals", []))


def same_goal(first: Values, second: Values) -> bool:
    """Tell whether two routes lead to one track: to a signal, or to an end that has one unless sections tell."""
    if first["to"] != second["to"] or first["to"] == "yard":
        return False
    return first["to"] in SIGNALS or not (first["over"] and second["over"])


def reversed_in(over: list[str], others: list[str], shared: set[str]) -> bool:
    """Tell whether two neighbours in the row of shared sections come in the other order."""
    row = [section for section in over if section in shared]
    back = [section for section in others if section in shared]
    return any((two, one) in pairwise(back) for one, two in pairwise(row))


def worked_out(plan: Values) -> Conflicts:
    """Return the conflicts as the program works them out."""
    return conflicts(Layout(load(plan, "plan.yaml"), library()))


def routes_of(plan: Values) -> dict[str, tuple[str, Values]]:
    """Return the routes by name, each with its signal."""
    return {route["name"]: (name, route) for name, signal in plan["signals"].items() for route in signal["routes"]}


@settings(max_examples=200, deadline=None)
@given(plans())
def test_the_matrix_is_what_trying_everything_gives(plan: Values) -> None:
    """Symmetric, nothing excludes itself, and each pair as brute force has it; a reason for each pair and no other."""
    found, routes = worked_out(plan), routes_of(plan)
    for one, other in combinations(found.routes, 2):
        excluded = not together(plan, routes[one.name], routes[other.name])
        assert found.excludes(one, other) is found.excludes(other, one) is excluded
        assert found.reasons(one, other) == found.reasons(other, one)
        assert bool(found.reasons(one, other)) is excluded
    assert not any(found.excludes(route, route) for route in found.routes)
    assert {(a.name, b.name) for a, b in found.pairs()} == {
        (one.name, other.name) for one, other in combinations(found.routes, 2) if found.excludes(one, other)
    }


@settings(max_examples=60, deadline=None)
@given(plans(), st.randoms(use_true_random=False))
def test_the_order_of_the_file_changes_nothing(plan: Values, shuffle: Any) -> None:
    """Signals and routes in another order give the same exclusions for the same kinds of reason."""
    names = list(plan["signals"])
    shuffle.shuffle(names)
    turned = {
        name: {"routes": shuffle.sample(routes, len(routes))}
        for name in names
        for routes in [plan["signals"][name]["routes"]]
    }
    assert kinds(worked_out(plan)) == kinds(worked_out({**plan, "signals": turned}))


def kinds(found: Conflicts) -> dict[frozenset[str], set[str]]:
    """Return the kinds of reason of each pair that excludes each other."""
    return {
        frozenset((one.name, other.name)): {reason.kind for reason in found.reasons(one, other)}
        for one, other in found.pairs()
    }


def test_a_row_lists_routes_in_the_order_of_the_file() -> None:
    """And a route of another plan excludes nothing here, though it stands in the same place."""
    plan: Values = {"plan": 1, "signals": {name: {"routes": [{"to": "S9", "over": ["A"]}]} for name in SIGNALS}}
    found, other = worked_out(plan), worked_out(plan)
    assert [route.name for route in found.row(found.routes[1])] == ["S1 to S9", "S3 to S9", "S4 to S9"]
    assert not found.excludes(found.routes[0], other.routes[1])
    assert found.row(other.routes[0]) == ()


def test_what_the_plan_declares_is_a_reason_too() -> None:
    """By a route's own name or by its ends, as a word, a list or a map; routes of one pair of ends are all meant."""
    plan: Values = {
        "plan": 1,
        "signals": {
            "S1": {"routes": [{"to": "S3", "over": ["A"]}, {"to": "S3", "over": ["B"]}]},
            "S2": {"routes": [{"to": "S4", "name": "low", "over": ["C"]}]},
            "S5": {"routes": [{"to": "S6", "over": ["D"]}]},
        },
        "conflicts": {"S1 to S3": ["low"], "S5 to S6": {"low": "platform too narrow", "S7 to S8": "nowhere"}},
    }
    found = worked_out(plan)
    pairs = {
        (one.index, other.index): [reason.kind for reason in found.reasons(one, other)] for one, other in found.pairs()
    }
    assert pairs == {(0, 1): ["signal", "section"][:1], (0, 2): [DECLARED], (1, 2): [DECLARED], (2, 3): [DECLARED]}
