"""The track of a plan as strands that run from left to right: what joins what, and where signals stand.

From ``track`` if the plan has one, else from its routes: sections that follow each other on a route join, and a signal
stands where a route to it ends and one from it begins.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, field

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright.plans import Plan, Route

SECTION: Final = "section"
POINTS: Final = "points"
CROSSING: Final = "crossing"
END: Final = "end"
TURNS: Final = {"left": -1, "right": 1}
"""Where a route turns to, as seen by a train that runs to the right: up or down on paper."""


class Strand(Struct, frozen=True):
    """One piece that is drawn in one row; ``line`` is the line it belongs to.

    ``at`` is where the plan hints it should begin, columns to the right and rows up, ``until`` the column where it
    ends if the hint has two places.
    """

    name: str
    kind: str
    line: str = ""
    at: tuple[float, float] | None = None
    lies_in: str = ""
    until: float | None = None


class Place(Struct, frozen=True):
    """Where a signal stands: at the left or right end of a strand; ``rightward`` for trains that run to the right.

    ``back`` is how many signals stand between it and that end.
    """

    strand: str
    at_right: bool
    rightward: bool
    back: int = 0


class Strands(Struct):
    """Everything that is drawn of the track. A joint leads from the right end of one strand to the left of another.

    ``named`` are the points that a joint, or an end of a strand, belongs to. ``routes`` are the strands of each route,
    in running order, by (signal, index of the route). ``leans`` are joints that routes turn off by: 1 for those that
    go down on paper, -1 for those that go up.
    """

    strands: dict[str, Strand] = field(default_factory=dict)
    joints: dict[tuple[str, str], bool] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    named: dict[tuple[str, bool], list[str]] = field(default_factory=dict)
    routes: dict[tuple[str, int], list[str]] = field(default_factory=dict)
    unplaced: tuple[str, ...] = ()
    leans: dict[tuple[str, str], int] = field(default_factory=dict)
    _after: dict[str, list[str]] = field(default_factory=dict)
    _before: dict[str, list[str]] = field(default_factory=dict)

    def join(self, left: str, right: str, *, main: bool = True) -> None:
        """Join two strands, unless they are joined the other way round; ``main`` is a way that goes straight on."""
        if left == right or (right, left) in self.joints:
            return
        if (left, right) not in self.joints:
            self._after.setdefault(left, []).append(right)
            self._before.setdefault(right, []).append(left)
        self.joints[left, right] = self.joints.get((left, right), False) or main

    def after(self, name: str) -> list[str]:
        """Return what joins the right end of a strand."""
        return self._after.get(name, [])

    def before(self, name: str) -> list[str]:
        """Return what joins the left end of a strand."""
        return self._before.get(name, [])


def strands(plan: Plan) -> Strands:
    """Return the strands of a plan; none if it says nothing of sections, routes or track."""
    from lampwright_drawing.strands_of_routes import from_routes
    from lampwright_drawing.strands_of_track import from_track

    made = from_track(plan) if plan.values.get("track") else from_routes(plan)
    made.leans = _leans(plan, made)
    made.unplaced = tuple(name for name in plan.signals if name not in made.places)
    return made


def _leans(plan: Plan, made: Strands) -> dict[tuple[str, str], int]:
    """Return where routes that turn leave those of their signal that go straight on, and to which side of the paper."""
    found: dict[tuple[str, str], int] = {}
    for name, signal in plan.signals.items():
        straight = {
            one for index, route in enumerate(signal.routes) if route.turns == "straight"
            for one in made.routes.get((name, index), ())
        }  # fmt: skip
        for index, route in enumerate(signal.routes):
            run = [*_leading(made, name), *made.routes.get((name, index), ())]
            side = TURNS.get(route.turns, 0)
            for joint in pairwise(run) if straight and side else ():
                if joint[1] not in straight:
                    if joint in made.joints:
                        found.setdefault(joint, side)
                    elif joint[::-1] in made.joints:
                        found.setdefault(joint[::-1], -side)
                    break
    return found


def _leading(made: Strands, signal: str) -> tuple[str, ...]:
    """Return the strand at whose end a signal stands, if it is not its own first one."""
    place = made.places.get(signal)
    return (place.strand,) if place is not None and place.at_right == place.rightward else ()


def strand(plan: Plan, name: str, kind: str, line: str = "", lies_in: str = "") -> Strand:
    """Return a strand with what the plan says of its section or end."""
    said: Any = plan.sections.get(lies_in or name) or plan.ends.get(name) or {}
    hints: Any = plan.points.get(name) if kind == POINTS else said
    lines = said.get("line") or line
    first = lines[0] if isinstance(lines, list) else lines
    places = _places((hints or {}).get("at"))
    at = places[0] if places else None
    return Strand(name, kind, str(first), at, lies_in, places[-1][0] if len(places) > 1 else None)


def _places(hint: Any) -> list[tuple[float, float]]:
    """Return the places of a hint, one or several, from left to right."""
    several = hint if hint and isinstance(hint[0], list) else [hint] if hint else []
    return sorted((float(place[0]), float(place[1])) for place in several)


class Ways:
    """Which way signals look, told from each other: whether two look alike or against each other."""

    def __init__(self, names: Iterable[str]) -> None:
        self._over: dict[str, tuple[str, bool]] = {name: (name, False) for name in names}

    def root(self, name: str) -> tuple[str, bool]:
        """Return the signal by which a name is told, and whether it looks against that."""
        against = False
        while self._over[name][0] != name:
            name, turned = self._over[name]
            against ^= turned
        return name, against

    def tell(self, one: str, other: str, *, against: bool) -> None:
        """Note how two look; what was told before counts."""
        first, turned = self.root(one)
        second, back = self.root(other)
        if first != second:
            self._over[second] = (first, turned ^ back ^ against)


def routes_of(plan: Plan) -> list[tuple[str, int, Route]]:
    """Return all routes with the signals they begin at, and their number there."""
    return [(name, index, route) for name, signal in plan.signals.items() for index, route in enumerate(signal.routes)]


def odd(name: str) -> bool | None:
    """Tell whether the number in a name is odd; None if there is none. Odd for one way, even for the other is usual."""
    digits = "".join(char for char in name if char.isdecimal())
    return int(digits[-1]) % 2 == 1 if digits else None


def kind_of_end(plan: Plan, name: str) -> str:
    """Return what kind of end a name is; empty if it is none."""
    said: Mapping[str, Any] = plan.ends.get(name) or {}
    return str(said.get("kind", "")) if name in plan.ends else ""
