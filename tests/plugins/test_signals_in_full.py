"""What findings on signals say in full, where a plan holds more than what is wrong: each word follows from the plan.

Facts of the rulebook have their sources beside the tests of each family.
"""

from __future__ import annotations

import pytest

from full_findings import full

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"
ENDS = (
    "ends: {main: {kind: off-stage}, branch: {kind: off-stage}, loop: {kind: off-stage}, yard: {kind: unsignalled}}\n"
)
MAIN, YARD = "{to: main, turns: straight}", "{to: yard, turns: left, class: shunt}"


def signal(form: str, shows: str) -> str:
    """Return a plan of one signal with displays."""
    return f"{HEAD}signals:\n  HF1: {{form: {form}, shows: {{{shows}}}}}\n"


def routes(*routes: str, form: str = "three-aspect", carries: str = "") -> str:
    """Return a plan of one signal with routes."""
    return f"{HEAD}{ENDS}signals:\n  HF3: {{form: {form}, carries: [{carries}], routes: [{', '.join(routes)}]}}\n"


def left(to: str, indicator: str = "") -> str:
    """Return a route that turns left."""
    return f"{{to: {to}, turns: left, indicator: {indicator}}}" if indicator else f"{{to: {to}, turns: left}}"


OBVIOUS = "indicator-on-obvious-route"
LACKS = "HF3 lights no indicator for the route to branch, which turns left"


@pytest.mark.parametrize(
    ("carries", "loop", "tip"),
    [
        ("", left("loop", "position-1"), "light position-2 or position-3"),
        ("position-5, position-6, position-2, position-1", "", "it carries position-2, which no route lights"),
        ("position-1, position-2", left("loop", "position-1"), "it carries position-2, which no route lights"),
        ("position-4", "{to: loop, turns: right, indicator: position-4}", "light position-1, position-2 or position-3"),
    ],
)
def test_a_missing_indicator_is_one_that_hangs_there_unlit_or_any_on_that_side(
    carries: str, loop: str, tip: str
) -> None:
    """What the post carries comes first; what another route lights, and what is on the other side, is no help."""
    plan = routes(*filter(None, (MAIN, left("branch"), loop)), carries=carries)
    assert full(plan, rule="missing-route-indicator") == [
        "missing-route-indicator at signals/HF3/routes/1/turns",
        LACKS,
        f"tip {tip}",
        "beside signals/HF3/routes/0/to: beside the straight route to main",
        "beside indicators/junction/needed: when one is needed",
    ]


def test_where_every_position_of_the_side_is_lit_another_kind_is_named() -> None:
    """Three routes turn left before it, and there are three positions on the left."""
    lit = [left(to, f"position-{number}") for number, to in enumerate(("loop", "yard", "main"), 1)]
    assert "tip light its junction indicator" in full(routes(*lit, left("branch")), rule="missing-route-indicator")


def test_the_fastest_route_has_no_indicator_only_beside_a_straight_one() -> None:
    """Where both turn, both have one, whatever they allow; and a doubtful one stops no look at the next."""
    both = "{to: main, turns: left, speed: 50 mph, indicator: position-1}"
    assert full(routes(both, "{to: branch, turns: right, speed: 75 mph, indicator: position-4}"), rule=OBVIOUS) == []
    plan = routes(
        "{to: branch, turns: left, indicator: position-1}", "{to: main, turns: straight, indicator: position-4}"
    )
    assert full(plan, rule=OBVIOUS)[:2] == [
        f"{OBVIOUS} at signals/HF3/routes/1/indicator",
        "HF3 lights position-4 for the straight route to main, the obvious one, where the main aspect stands alone",
    ]


def test_an_indicator_for_another_class_of_route_names_those_of_its_kind() -> None:
    """In place of characters only characters are named, and only those that stand with the position light."""
    lettered = YARD.replace("}", ", indicator: {alphanumeric: A}}")
    plan = routes(MAIN, lettered, form="three-aspect-with-position-light")
    assert full(plan, rule="indicator-for-wrong-class") == [
        "indicator-for-wrong-class at signals/HF3/routes/1/indicator/alphanumeric",
        "HF3 lights alphanumeric A for the shunt route to yard, and no aspect of a shunt route allows it",
        "tip leave it out, or use alphanumeric-shared or alphanumeric-miniature",
        "beside signals/HF3/routes/1/class: the class of the route",
        "beside indicators/alphanumeric/stands-with: when it may be lit",
    ]


@pytest.mark.parametrize(
    ("form", "shows", "message"),
    [
        ("shunt-red-white", "shunt-proceed: pivot", "HF1 shows pivot for shunt-proceed, which is no aspect"),
        (
            "three-aspect",
            "danger: red, caution: yellow, clear: [green, red]",
            "HF1 shows green and red together for clear",
        ),
        (
            "three-aspect",
            "danger: red, caution: green, clear: yellow",
            "HF1 shows caution and clear each with the other's",
        ),
        (
            "two-aspect-stop-with-position-light",
            "danger: red, clear: green, shunt-proceed: {upper: lit, lower: lit, green: lit, red: dark}",
            "HF1 shows subsidiary.upper, subsidiary.lower and main.green for shunt-proceed, where main must show",
        ),
    ],
)
def test_a_wrong_display_is_told_by_what_is_lit(form: str, shows: str, message: str) -> None:
    """One light is not together with itself, dark lamps are not shown, and of two aspects the first comes first."""
    assert full(signal(form, shows))[1].startswith(message)
