"""The worst case of random small plans: what trying every state of all signals gives."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from lampwright.layout import Layout
from lampwright.plans import load
from lampwright_wiring.current.loads import loads
from oracle import PROCEED, Choice, Oracle, Seen, Shown
from support import library

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.layout import BoundSignal

    World = tuple[tuple[str, frozenset[str]], ...]

ZERO = Fraction(0)
VF = {
    "red": ("1.8", "2.0", "2.1"),
    "yellow": ("2.1", "2.1", "2.2"),
    "green": ("3.0", "3.2", "3.5"),
    "white": ("3.0", "3.2", "3.3"),
}
"""Forward voltages of the kinds of LED used, least, typical and greatest, as the parts data have them."""
VOLTS = ("4.75", "5", "5.25")
OWN = Fraction("0.080")
"""A controller of 50 mA, and three boards of 10 mA."""
KINDS = {"red": "red-3mm", "yellow": "yellow-3mm", "green": "green-3mm", "white": "warm-white-3mm"}
LAMPS = {
    "two-aspect-stop": {"green": "green", "red": "red"},
    "two-aspect-red-yellow": {"yellow": "yellow", "red": "red"},
    "three-aspect": {"green": "green", "yellow": "yellow", "red": "red"},
    "four-aspect": {"upper-yellow": "yellow", "green": "green", "lower-yellow": "yellow", "red": "red"},
    "three-aspect-with-position-light": {
        "main.green": "green",
        "main.yellow": "yellow",
        "main.red": "red",
        "subsidiary.upper": "white",
        "subsidiary.lower": "white",
    },
    "two-aspect-distant": {"green": "green", "yellow": "yellow"},
}
STOPS = ("two-aspect-stop", "two-aspect-red-yellow", "three-aspect", "four-aspect", "three-aspect-with-position-light")
BEYOND = ["danger", "caution", "preliminary-caution", "clear"]
ENDS = {"bay": {"kind": "buffer-stop"}, "yard": {"kind": "unsignalled"}}
FAR = {f"far-T{number}": {"kind": "off-stage", "assume": BEYOND} for number in range(8)}
"""For each route one of its own: beyond an end that two lead to, one signal need not stand for both."""
OHMS = st.sampled_from(["150 ohm", "180 ohm", "270 ohm", "330 ohm", "1 kohm"])


@st.composite
def plans(draw: Any, *, circles: bool = False, routes: bool = True) -> dict[str, Any]:
    """Return the values of a plan with a few wired signals; without circles each leads to later ones only."""
    stops = [f"S{number}" for number in range(draw(st.integers(1, 3)))]
    signals: dict[str, Any] = {}
    for count, name in enumerate(stops):
        goals = [*(stops if circles else stops[count + 1 :]), *ENDS]
        form = draw(st.sampled_from(STOPS))
        signals[name] = {"form": form, "lamps": draw(lamps(form, name))}
        if draw(st.booleans()):
            signals[name]["fades"] = "filament"
        if not form.endswith("position-light") and draw(st.booleans()):
            signals[name]["carries"] = {"position-1": draw(wired(f"{name}i"))}
        if routes:
            ways = range(draw(st.integers(1, 2)))
            signals[name]["routes"] = [draw(route(goals, f"T{2 * count + way}", signals[name])) for way in ways]
    if draw(st.booleans()):
        signals["D0"] = {
            "form": "two-aspect-distant",
            "lamps": draw(lamps("two-aspect-distant", "D0")),
            "repeats": draw(st.sampled_from(stops)),
        }
    used = {route["to"] for signal in signals.values() for route in signal.get("routes", ())}
    return {
        "plan": 1,
        "rulebook": "gb-colour-light",
        "year": draw(st.sampled_from([1960, 1990])),
        "ends": {name: end for name, end in {**ENDS, **FAR}.items() if name in used},
        "signals": signals,
        "controllers": {"east": {"supply": "usb", "uses": "50 mA"}},
        "boards": {name: {"kind": "pwm-16", "controller": "east", "drive": "sink"} for name in "ABC"},
        "supplies": {"usb": {"kind": "usb-2"}},
        "leds": {colour: {"kind": kind} for colour, kind in KINDS.items()},
    }


@st.composite
def lamps(draw: Any, form: str, name: str) -> dict[str, Any]:
    """Return the lamps of a form, each on an output of its own."""
    return {lamp: draw(wired(f"{name}{number}")) for number, lamp in enumerate(LAMPS[form])}


@st.composite
def wired(draw: Any, output: str) -> dict[str, str]:
    """Return how one lamp is wired."""
    return {"output": f"{draw(st.sampled_from('ABC'))}.{output}", "resistor": draw(OHMS)}


@st.composite
def route(draw: Any, goals: list[str], section: str, signal: dict[str, Any]) -> dict[str, Any]:
    """Return a route over a section of its own, perhaps with points, an indicator, or a release."""
    found: dict[str, Any] = {"to": draw(st.sampled_from([*goals, f"far-{section}"])), "over": [section]}
    if draw(st.booleans()):
        found["points"] = {draw(st.sampled_from(["P1", "P2"])): draw(st.sampled_from(["normal", "reverse"]))}
    if draw(st.integers(0, 3)) == 0:
        found["release"] = {"from": "red"}
    if "position-1" in signal.get("carries", ()) and draw(st.booleans()):
        found["indicator"] = "position-1"
    if signal["form"].endswith("position-light") and draw(st.booleans()):
        found["class"] = "shunt"
    return found


class Worlds(Oracle):
    """Keeps every world in which a layout settles: what is set, and what each part of each signal shows."""

    def __init__(self, layout: Layout) -> None:
        super().__init__(layout)
        self.found: list[tuple[dict[str, Choice], dict[str, Shown | None]]] = []
        self.seen = self.run()

    def _note_lacks(  # what is called for every signal of a world that has settled
        self, name: str, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None], seen: Seen
    ) -> None:
        if name == next(iter(now)):
            self.found.append((world, dict(now)))
        super()._note_lacks(name, world, ends, now, seen)


def currents(layout: Layout, corner: int) -> dict[tuple[str, str], tuple[str, Fraction]]:
    """Return the board and the current of each lamp at a corner, by signal and name."""
    found = {}
    for name, signal in layout.plan.signals.items():
        form = layout.signals[name].form_name
        told = [(lamp.name, LAMPS[form][lamp.name], lamp.detail) for lamp in signal.lamps or ()]
        told += [(item.name, "white", item.detail) for item in signal.carries or ()]
        for lamp, colour, detail in told:
            left = Fraction(VOLTS[corner]) - Fraction(VF[colour][2 - corner])
            found[name, lamp] = (
                detail["output"][0],
                left / int(Fraction(detail["resistor"].replace(" kohm", "000").split()[0])),
            )
    return found


def lit(signal: BoundSignal, shown: Shown, *, arm: bool) -> Iterator[frozenset[str]]:
    """Yield what is lit of a signal that shows aspects, once for each way to show them."""
    form = signal.reader
    assert form is not None
    ways = [form.displays(f"{part}.{aspect}" if part else aspect) or ({},) for part, aspect in shown]
    beside = {"position-1"} if arm and any(aspect in PROCEED for _, aspect in shown) else set()
    for several in product(*ways):
        yield frozenset(beside.union(*several))


def free(signal: BoundSignal) -> set[frozenset[str]]:
    """Return what can be lit of a signal that nothing is asked of; a position light holds the main aspect at danger."""
    form = signal.reader
    assert form is not None
    parts = {part: inner.gives for part, inner in form.parts.items()} or {"": form.gives}
    aspects = [tuple(zip(parts, several, strict=True)) for several in product(*parts.values())]
    aspects = [one for one in aspects if dict(one).get("subsidiary", "unlit") == "unlit" or ("main", "danger") in one]
    arms = {False, bool(signal.entry.carries)}
    return {lamps for shown in aspects for arm in arms for lamps in lit(signal, shown, arm=arm)}


def indicated(choice: Choice) -> bool:
    """Tell whether the route that is set has an indicator lit."""
    return choice.route is not None and bool(choice.route.indications)


def worlds(layout: Layout) -> tuple[set[World], bool]:
    """Return what is lit in every state a layout settles in, and whether each signal can show what it is asked."""
    oracle = Worlds(layout)
    shown = {
        tuple((name, aspects, indicated(world[name])) for name, aspects in now.items() if aspects is not None)
        for world, now in oracle.found
    }
    found: set[World] = set()
    for state in shown:
        each = [[(name, on) for on in lit(layout.signals[name], aspects, arm=arm)] for name, aspects, arm in state]
        found.update(product(*each))
    return found, not any(oracle.seen.lacked.values()) and all(len(world) == len(layout.signals) for world in found)


def greatest(layout: Layout, found: Iterable[World], board: str, corner: int) -> Fraction:
    """Return the greatest current of a board, or (none named) of all."""
    takes = {key: amps for key, (on, amps) in currents(layout, corner).items() if board in ("", on)}
    sums = (sum(takes.get((name, lamp), ZERO) for name, on in world for lamp in on) for world in found)
    return max(sums, default=ZERO) + ZERO


def changes(layout: Layout, found: Iterable[World]) -> Fraction:
    """Return the greatest current of all boards while one world changes to another, what fades lit with what comes."""
    takes = {key: amps for key, (_, amps) in currents(layout, 2).items()}
    fading = {name for name, signal in layout.plan.signals.items() if "fades" in signal.rest}

    def added(name: str, old: frozenset[str], new: frozenset[str]) -> Fraction:
        return sum((takes[name, lamp] for lamp in (old | new if name in fading else old)), ZERO)

    pairs = product(list(found), repeat=2)
    return max(
        sum((added(name, old, new) for (name, old), (_, new) in zip(before, after, strict=True)), ZERO)
        for before, after in pairs
    )


def compare(layout: Layout, found: set[World], *, sound: bool = True) -> bool:
    """Compare the loads of a layout with what its worlds take: never less, and equal where they say they are exact.

    Returns whether all say so.
    """
    exact = True
    told = loads(layout)
    for account in (*told.boards, *told.supplies):
        case = told.worst(account)
        board = account.name if account.kind == "board" else ""
        own = ZERO if board else OWN
        for corner, amps in enumerate((case.current.least, case.current.typical, case.current.most)):
            best = greatest(layout, found, board, corner) + own
            assert amps == best if case.exact and sound else amps >= best
        exact = exact and case.exact
    return exact


def bound(values: dict[str, Any]) -> Layout:
    """Return the layout of a plan's values."""
    return Layout(load(values, "plan.yaml"), library())


@settings(max_examples=50, deadline=None, suppress_health_check=list(HealthCheck))
@given(plans())
def test_the_worst_case_is_what_trying_every_world_gives(values: dict[str, Any]) -> None:
    """Every way to set the routes, every train that may be near, every end: left to settle, and added up."""
    layout = bound(values)
    found, sound = worlds(layout)
    assume(sound)
    assert compare(layout, found)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(plans(circles=True))
def test_no_world_takes_more_where_signals_look_at_each_other_or_lack_aspects(values: dict[str, Any]) -> None:
    """What the modeller has still to mend may not make a load look small; and what is said to be exact still is."""
    layout = bound(values)
    found, sound = worlds(layout)
    compare(layout, found, sound=sound)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(plans())
def test_the_worst_change_is_what_trying_every_pair_of_worlds_gives(values: dict[str, Any]) -> None:
    """From any world to any other; where it is no more than a bound it is never less."""
    layout = bound(values)
    found, sound = worlds(layout)
    assume(sound)
    told = loads(layout)
    case = told.changing(told.supplies[0])
    best = changes(layout, found) + OWN
    assert case.current.most == best if case.exact else case.current.most >= best


@settings(max_examples=50, deadline=None)
@given(plans(routes=False))
def test_without_routes_every_signal_shows_what_it_can(values: dict[str, Any]) -> None:
    """Whatever the form gives, with the indicator where it may stand."""
    layout = bound(values)
    each = [[(name, on) for on in free(signal)] for name, signal in layout.signals.items()]
    assert compare(layout, set(product(*each)))
