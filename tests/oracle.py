"""What signals can show, by brute force: every way to set a small layout is tried, and left to settle.

Written apart from the program's own reckoning, which follows the sequence back from stop and never sees a whole layout.
Shared with it are the rules (``step``), which aspects a form can give, and which routes exclude each other.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING, Any

from lampwright.routes import facts
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import step
from lampwright.working.conflicts import conflicts

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path
    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans import Route

REST = {"main": "danger", "subsidiary": "unlit", "": "danger"}
STANDS_FOR = {"buffer-stop": "buffers", "unsignalled": "end"}
PROCEED = frozenset(
    {"caution", "preliminary-caution", "clear", "flashing-caution", "flashing-preliminary-caution", "flashing-clear"}
)

Shown = tuple[tuple[str, str], ...]
"""Parts with the aspect of each; an empty aspect is one that is asked and cannot be shown."""


@dataclass(frozen=True)
class Choice:
    """What is chosen for one signal: a route or none, whether a train is near, and which allowed aspect to prefer."""

    route: Route | None = None
    near: bool = False
    prefer: int = 0


@dataclass
class Seen:
    """What was found by signal: aspects of parts with the route set, and what was asked and could not be shown."""

    shown: dict[str, set[tuple[str, str, Path]]] = field(default_factory=dict)
    lacked: dict[str, set[tuple[str, ...]]] = field(default_factory=dict)


class Oracle:
    """Tries every world of a layout that follows one rulebook."""

    def __init__(self, layout: Layout) -> None:
        assert layout.rulebook is not None
        self.layout = layout
        self.book = layout.rulebook
        self.stops = {name: signal for name, signal in layout.signals.items() if signal.entry.routes}
        self.tellers = {name: signal for name, signal in layout.signals.items() if name not in self.stops}
        self.parts = {name: self._parts(signal) for name, signal in layout.signals.items()}
        self.conflicts = conflicts(layout)

    def run(self) -> Seen:
        """Try all worlds."""
        seen = Seen({name: set() for name in self.layout.signals}, {name: set() for name in self.layout.signals})
        names = [*self.layout.signals]
        for chosen in product(*(list(self._choices(self.layout.signals[name])) for name in names)):
            world = dict(zip(names, chosen, strict=True))
            if self._possible(world):
                for ends in self._ends():
                    self._settle(world, ends, seen)
        return seen

    def _parts(self, signal: BoundSignal) -> list[tuple[str, str, tuple[str, ...]]]:
        """Return the parts of a signal: name, role, aspects it can give."""
        assert signal.form is not None
        forms = [(part, item.form) for part, item in signal.form.parts.items()] or [("", signal.form_name)]
        return [
            (part, self.book.forms[form].roles[0], reader(self.book, form, self.layout.years).gives)
            for part, form in forms
        ]

    def _choices(self, signal: BoundSignal) -> Iterator[Choice]:
        """Yield everything that can be chosen for one signal."""
        if signal.name in self.tellers:
            yield from (Choice(prefer=prefer) for prefer in (0, 1))
            return
        yield Choice()
        for route in signal.entry.routes:
            nears = (False, True) if route.release or route.kind == "warner" else (False,)
            yield from (Choice(route, near, prefer) for near in nears for prefer in (0, 1))

    def _possible(self, world: dict[str, Choice]) -> bool:
        """Tell whether the routes can be set together.

        No two exclude each other, and none has a train on it.
        """
        chosen = [(name, choice) for name, choice in world.items() if choice.route is not None]
        for name, choice in chosen:
            for other, against in chosen:
                assert choice.route is not None
                assert against.route is not None
                if name != other and self.exclude(choice.route, against.route):
                    return False
                if choice.near and self._stands_on(name, choice.route, against.route):
                    return False
        return True

    def exclude(self, one: Route, other: Route) -> bool:
        """Tell whether two routes exclude each other: by a conflict, or as both run past one signal."""
        return self.conflicts.excludes(one, other) or bool(set(one.passes) & set(other.passes))

    def _stands_on(self, name: str, released: Route, other: Route) -> bool:
        """Tell whether the train that released a signal stands on another route."""
        said = released.release.get("occupied")
        sections = set() if said is None else {said} if isinstance(said, str) else set(said)
        if sections and other.over:
            return bool(sections & set(other.over))
        return other.to == name

    def _ends(self) -> Iterator[dict[str, str]]:
        """Yield every way in which the ends may stand."""
        ends = self.layout.plan.ends
        ways = []
        for end in ends.values():
            assumed = end.get("assume") or [STANDS_FOR[end["kind"]]]
            ways.append([assumed] if isinstance(assumed, str) else list(assumed))
        for chosen in product(*ways):
            yield dict(zip(ends, chosen, strict=True))

    def _settle(self, world: dict[str, Choice], ends: dict[str, str], seen: Seen) -> None:
        """Let all signals look ahead again and again until nothing changes; what never settles counts for nothing."""
        now: dict[str, Shown | None] = {
            name: tuple((part, REST[part] if name in self.stops else self._resting(name)) for part, _, _ in parts)
            for name, parts in self.parts.items()
        }
        for _ in range(4 * len(now) + 20):
            after = {name: self._next(name, world, ends, now) for name in now}
            if after == now:
                break
            now = after
        else:
            return
        for name, shown in now.items():
            route = world[name].route
            for part, aspect in shown or ():
                if aspect:
                    seen.shown[name].add((part, aspect, route.path if route else ()))
            self._note_lacks(name, world, ends, now, seen)

    def _note_lacks(
        self, name: str, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None], seen: Seen
    ) -> None:
        """Note what a signal is asked and cannot show."""
        if world[name].prefer:
            return
        for situation in self._situations(name, world, ends, now):
            for _, role, able in self.parts[name]:
                found = step(self.book, role, able, situation, self.layout.years)
                if not found.must:
                    seen.lacked[name].add(found.wanted)

    def _next(
        self, name: str, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None]
    ) -> Shown | None:
        """Return what a signal shows when all others stand as they do now; None if nothing is known ahead of it."""
        if name in self.stops and world[name].route is None:
            return tuple((part, REST[part]) for part, _, _ in self.parts[name])
        situations = list(self._situations(name, world, ends, now))
        if not situations:
            at_rest = name in self.tellers and self._idle(name, world)
            return tuple((part, self._resting(name)) for part, _, _ in self.parts[name]) if at_rest else None
        return tuple(
            (part, self._preferred(role, able, situations[0], world[name].prefer))
            for part, role, able in self.parts[name]
        )

    def _preferred(self, role: str, able: tuple[str, ...], situation: dict[str, Any], prefer: int) -> str:
        """Return what a part shows: what must stand, or the allowed aspect that was preferred."""
        found = step(self.book, role, able, situation, self.layout.years)
        return found.may[prefer - 1] if 0 < prefer <= len(found.may) else found.must

    def _situations(
        self, name: str, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None]
    ) -> Iterator[dict[str, Any]]:
        """Yield the situation of a signal, if it is known; of a group that is not all off, one for each at stop."""
        if name in self.stops:
            choice = world[name]
            if choice.route is None:
                return
            ahead = self._ahead(choice.route, world, ends, now)
            if ahead is not None:
                route = facts(self.stops[name], choice.route)
                yield {**ahead, "route": route, "approached": choice.near}
            return
        told = self._told(name, world)
        known = [self._looks(goal, world, ends, now) for goal in told]
        found = [situation for situation in known if situation is not None]
        stopping = [situation for situation in found if situation["next"] not in PROCEED]
        if stopping or None not in known:
            yield from ({**situation, "approached": False} for situation in (stopping or found[:1]))

    def _told(self, name: str, world: dict[str, Choice]) -> list[str]:
        """Return what a distant or repeater tells of."""
        repeats = list(self.tellers[name].entry.repeats)
        if repeats:
            follows = self.book.forms[self.tellers[name].form_name].follows
            return repeats if follows == "all-off" else repeats[:1]
        passing = [(stop, route) for stop, signal in self.stops.items() for route in signal.entry.routes]
        exits = [(stop, route) for stop, route in passing if name in route.passes]
        if len({route.to for _, route in exits}) == 1:
            return [exits[0][1].to]
        return [route.to for stop, route in exits if world[stop].route is route]

    def _idle(self, name: str, world: dict[str, Choice]) -> bool:
        """Tell whether no route is set past a distant that tells of several exits, or it tells of nothing."""
        return not self._told(name, world)

    def _resting(self, name: str) -> str:
        """Return what a distant or repeater shows with nothing to tell."""
        return str(self.book.forms[self.tellers[name].form_name].rest)

    def _ahead(
        self, route: Route, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None]
    ) -> dict[str, Any] | None:
        """Return what a train sees first on a route: a distant on the way, or the exit."""
        for passed in route.passes:
            if passed in self.tellers and self.parts[passed][0][1] == "distant":
                return self._looks(passed, world, ends, now)
        return self._looks(route.to, world, ends, now)

    def _looks(
        self, goal: str, world: dict[str, Choice], ends: dict[str, str], now: dict[str, Shown | None]
    ) -> dict[str, Any] | None:
        """Return what is seen of a signal or an end; None if it is not known."""
        if goal in ends:
            return {"next": ends[goal]}
        shown = now.get(goal)
        if not shown or not shown[0][1]:
            return None
        situation: dict[str, Any] = {"next": shown[0][1]}
        route = world[goal].route
        if route is not None:
            situation["next-route"] = facts(self.stops[goal], route)
        return situation
