"""Random layouts worked at random: what stands after each move is what brute force finds, and what reach says can be.

What a move may do is reckoned once more here, with plain sets; how signals come to stand is the oracle's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.play import Assume, Cancel, Clear, Occupy, Play, Refusal, Set, Situation
from lampwright.working.reach import reach
from oracle import Choice, Oracle, Seen
from random_layouts import layouts
from support import library

if TYPE_CHECKING:
    from lampwright.plans import Route
    from lampwright.working.play import Move
    from oracle import Shown

MAIN = ("", "main", "warner")


class Worked(Oracle):
    """The oracle for one world whose signals may be kept at stop by a train on their route."""

    closed: frozenset[str] = frozenset()

    def stand(
        self, world: dict[str, Choice], closed: frozenset[str], ends: dict[str, str]
    ) -> dict[str, dict[str, str]]:
        """Return what the parts of each signal come to show; nothing if they never settle."""
        self.closed = closed
        seen = Seen({name: set() for name in world}, {name: set() for name in world})
        self._settle(world, ends, seen)
        return {name: {part: aspect for part, aspect, _ in shown} for name, shown in seen.shown.items() if shown}

    def _next(
        self, name: str, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None]
    ) -> Shown | None:
        """Keep a signal at rest that is closed, or that sees nothing it can go by, or cannot show what it is asked."""
        shown = None if name in self.closed else super()._next(name, world, ends, now)
        if shown is None or not all(aspect for _, aspect in shown):
            return (
                super()._next(name, {**world, name: Choice()}, ends, now)
                if name in self.stops
                else self._idle_shown(name)
            )
        return shown

    def _idle_shown(self, name: str) -> Shown:
        """Return what a distant or repeater shows with nothing to tell."""
        return tuple((part, self._resting(name)) for part, _, _ in self.parts[name])

    def _looks(
        self, goal: str, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None]
    ) -> dict[str, Any] | None:
        """See no route beyond a signal that does not go by its own."""
        at_rest = goal in self.stops and now[goal] == super()._next(goal, {**world, goal: Choice()}, ends, now)
        return super()._looks(goal, {**world, goal: Choice()} if goal in self.closed or at_rest else world, ends, now)


class Yard:
    """The rules of moving, in plain sets: routes by number, what is occupied, which routes have been run into."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.oracle = Worked(layout)
        self.routes = [(name, one) for name, signal in layout.plan.signals.items() for one in signal.routes]
        self.set: set[int] = set()
        self.passed: set[int] = set()
        self.occupied: set[str] = set()
        self.ends: dict[str, str] = {}

    def held(self, route: Route) -> set[str]:
        """Return the places of a route that are occupied, or have to be taken for it."""
        places = {*route.over, f"to {route.to}"} & self.filled
        releasing = [one.release.get("occupied") for name, one in self.routes if name == route.to and not route.over]
        known = [{said} if isinstance(said, str) else set(said) for said in releasing if said is not None]
        return places | ({"unsaid"} if any(said <= self.occupied for said in known) else set())

    @property
    def filled(self) -> set[str]:
        """The places that are occupied, the track to a signal among them with a train before that signal.

        That is one that a rule has wait for a train, and that says no section to be released from.
        """
        waiting = {name for name, one in self.routes if _waits(one) and "occupied" not in one.release}
        last = {f"to {one.to}" for _, one in self.routes if set(one.over[-1:]) & self.occupied and one.to in waiting}
        return self.occupied | last

    def may_set(self, number: int) -> bool:
        """Tell whether a route can be set."""
        route = self.routes[number][1]
        if number in self.set - self.passed or (route.kind in MAIN and self.held(route)):
            return False
        return not any(self.oracle.exclude(route, self.routes[other][1]) for other in self.set - {number})

    def occupy(self, place: str) -> None:
        """Let a train run into a place."""
        before = {number: self.held(self.routes[number][1]) for number in self.set}
        self.occupied.add(place)
        self.passed |= {number for number in self.set if self.held(self.routes[number][1]) - before[number]}

    def near(self, name: str, route: Route) -> bool:
        """Tell whether a train has reached what releases a signal."""
        said = route.release.get("occupied", f"to {name}")
        return ({said} if isinstance(said, str) else set(said)) <= self.filled

    def stands(self) -> dict[str, dict[str, str]]:
        """Return what every signal comes to show, by brute force."""
        world = {name: Choice() for name in self.layout.signals}
        closed = set()
        for number in self.set:
            name, route = self.routes[number]
            world[name] = Choice(route, self.near(name, route))
            if number in self.passed or (route.kind in MAIN and self.held(route)):
                closed.add(name)
        return self.oracle.stand(world, frozenset(closed), self.ends)


def _waits(route: Route) -> bool:
    """Tell whether a rule of colour light signals asks whether a train is near (railsigns: approach control)."""
    if route.kind in ("shunt", "call-on"):
        return False
    return route.release.get("from") in ("red", "yellow") or route.kind == "warner"


def does(yard: Yard, play: Play, kind: str, pick: int) -> Move | None:
    """Return a move, made in the yard if it can be made there; None if there is nothing to move."""
    if kind in ("set", "cancel"):
        number = pick % len(yard.routes)
        if kind == "set":
            if yard.may_set(number):
                yard.set.add(number)
                yard.passed.discard(number)
            return Set(number)
        yard.set.discard(number)
        yard.passed.discard(number)
        return Cancel(number)
    if kind == "assume" and play.edges:
        end = sorted(play.edges)[pick % len(play.edges)]
        yard.ends[end] = play.edges[end].choices[pick % len(play.edges[end].choices)]
        return Assume(end, yard.ends[end])
    if kind in ("occupy", "clear") and play.places.names:
        place = play.places.names[pick % len(play.places.names)]
        if kind == "clear":
            yard.occupied.discard(place)
            return Clear(place)
        yard.occupy(place)
        return Occupy(place)
    return None


KINDS = st.sampled_from(["set", "set", "set", "set", "cancel", "occupy", "occupy", "clear", "assume"])


SHUNTED: dict[str, Any] = {
    "plan": 1,
    "rulebook": "gb-colour-light",
    "year": 1960,
    "signals": {
        "S0": {
            "form": "two-aspect-stop",
            "routes": [{"to": "S0", "over": ["T0"]}, {"to": "S0", "release": {"from": "red"}, "class": "shunt"}],
        },
        "S1": {"form": "two-aspect-stop", "routes": [{"to": "S0", "release": {"from": "red"}, "class": "warner"}]},
    },
}
"""A shunting route that says it is released: no rule asks for that."""


@settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck))
@given(layouts(), st.lists(st.tuples(KINDS, st.integers(0, 50)), min_size=4, max_size=14))
@example(SHUNTED, [("set", 1), ("set", 0), ("set", 0), ("occupy", 0)])
def test_what_stands_after_each_move_is_what_brute_force_finds(values: dict[str, Any], moves: list[Any]) -> None:
    """Set, taken back, occupied, cleared, in any order; a move is refused if it must be, and never else."""
    layout = Layout(load(values, "plan.yaml"), library())
    play, yard = Play(layout), Yard(layout)
    yard.ends = {name: play.edges[name].choices[0] for name in play.edges}
    can = {name: {shown for state in reach(layout).of(name) for shown in state.answer.shows} for name in layout.signals}
    now = play.start()
    for kind, pick in moves:
        before = set(yard.set) - yard.passed
        move = does(yard, play, kind, pick)
        after = play.after(now, move) if move is not None else now
        if isinstance(move, Set):
            assert isinstance(after, Refusal) is (move.route in before or move.route not in yard.set - yard.passed)
        now = after if isinstance(after, Situation) else now
        assert [set(now.routes), set(now.passed), set(now.occupied)] == [yard.set, yard.passed, yard.occupied]
        shown = play.shown(now)
        assert {name: dict(one.aspects) for name, one in shown.items()} == yard.stands()
        for name, one in shown.items():
            assert set(one.aspects) <= can[name], one.story
