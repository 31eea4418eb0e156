"""What signals can show on random small layouts: equal to what brute force finds, whatever the order of the file.

Loops, releases, shunting and calling on, ends of every kind, repeaters: all of it mixed. A distant or repeater stands
before one signal or end here: where routes to several exits run over one, the two reckonings differ on what it tells.
"""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.lacks import lacks
from lampwright.working.reach import reach
from oracle import Oracle
from random_layouts import layouts
from support import library


def bound(values: dict[str, Any]) -> Layout:
    """Return the layout of a plan's values."""
    return Layout(load(values, "plan.yaml"), library())


Found = dict[str, tuple[set[tuple[str, str, Any]], set[tuple[str, ...]]]]


def found_in(layout: Layout) -> Found:
    """Return, for each signal, what its parts can show on which route, and what it is asked and cannot show."""
    seen = reach(layout)
    return {
        name: (
            {
                (part, aspect, state.route.path if state.route else ())
                for state in seen.of(name)
                for part, aspect in state.answer.shows
                if aspect
            },
            {lack.step.wanted for lack in lacks(seen, name) if not lack.let_run},
        )
        for name in layout.signals
    }


def in_order(found: Found, layout: Layout) -> Found:
    """Return the same with routes by what they say, since their places depend on the order of the file."""
    routes = {route.path: str(route) for signal in layout.plan.signals.values() for route in signal.routes}
    said = {path: text.partition("to=")[2] for path, text in routes.items()}
    return {
        name: ({(p, a, said.get(path, "")) for p, a, path in shown}, lacked) for name, (shown, lacked) in found.items()
    }


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(layouts())
def test_what_signals_can_show_is_what_brute_force_finds(values: dict[str, Any]) -> None:
    """No aspect more, none less; the same with what is asked in vain."""
    layout = bound(values)
    seen = Oracle(layout).run()
    assert found_in(layout) == {name: (seen.shown[name], seen.lacked[name]) for name in layout.signals}


@settings(max_examples=60, deadline=None)
@given(layouts(), st.randoms(use_true_random=False))
def test_the_order_of_the_file_changes_nothing(values: dict[str, Any], random: Any) -> None:
    """Signals and routes may be written in any order."""
    names = list(values["signals"])
    random.shuffle(names)
    signals = {name: dict(values["signals"][name]) for name in names}
    for entry in signals.values():
        if "routes" in entry:
            entry["routes"] = random.sample(entry["routes"], len(entry["routes"]))
    shuffled, plain = bound({**values, "signals": signals}), bound(values)
    assert in_order(found_in(shuffled), shuffled) == in_order(found_in(plain), plain)
