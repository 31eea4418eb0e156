"""What conditions of a rulebook can ask of a route: its speed, beside that of the line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.routes import facts
from support import library

if TYPE_CHECKING:
    from collections.abc import Mapping

PLAN = {
    "plan": 1,
    "rulebook": "gb-colour-light",
    "lines": {"main": {"speed": "60 mph"}, "loop": {"speed": "25 mph"}},
    "sections": {"A": {"line": "main"}, "L": {"line": "loop"}, "M": {"line": "main"}, "N": {}},
    "ends": {"there": {"kind": "off-stage"}, "loop-end": {"kind": "off-stage"}},
}


def speed_of(*routes: Mapping[str, object]) -> object:
    """Return the speed of the first of a signal's routes, as conditions see it."""
    values = {**PLAN, "signals": {"S": {"form": "three-aspect", "routes": list(routes)}}}
    signal = Layout(load(values, "plan.yaml"), library()).signals["S"]
    return facts(signal, signal.entry.routes[0]).get("speed")


@pytest.mark.parametrize(
    ("route", "speed"),
    [
        ({"to": "there", "over": ["A", "M"], "turns": "straight"}, "line"),
        ({"to": "there", "over": ["A", "L"], "turns": "straight"}, "line"),
        ({"to": "there", "over": ["A", "M"], "speed": "60 mph"}, "line"),
        ({"to": "there", "over": ["A", "M"], "speed": "40 mph"}, "40 mph"),
        ({"to": "loop-end", "over": ["A", "L"], "speed": "25 mph"}, "25 mph"),
        ({"to": "loop-end", "over": ["L"], "speed": "25 mph"}, "line"),
        ({"to": "loop-end", "over": ["A", "N"], "speed": "60 mph"}, "60 mph"),
        ({"to": "loop-end", "over": ["A", "L"], "turns": "left"}, None),
    ],
)
def test_a_route_is_at_line_speed_if_no_section_on_it_is_faster(route: dict[str, object], speed: object) -> None:
    """A route from the line into a slow loop is slower than the line, though not than the loop."""
    assert speed_of(route) == speed


def test_a_route_slower_than_another_of_its_signal_is_not_at_line_speed() -> None:
    """The loop alone would say 25 mph and no more; the straight route beside it tells what the line allows."""
    loop = {"to": "loop-end", "over": ["L"], "turns": "left", "speed": "25 mph"}
    assert speed_of(loop, {"to": "there", "over": ["M"], "turns": "straight"}) == "25 mph"
