"""The control table of a plan: for each route what it needs, what it excludes, and what its signal shows for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.routes import route_class
from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.working.bound import bound_routes
from lampwright.working.conflicts import conflicts
from lampwright.working.reach import reach
from lampwright_working.printing.chart import unknown

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright.working.reach import State
    from lampwright.working.reasons import Reason
    from lampwright.working.uses import Overlap


class Shown(Struct, frozen=True):
    """What the signal shows for a route, where the one ahead shows one of ``ahead``.

    ``allowed``: it may, besides what must stand first. ``released``: only with a train near.
    """

    aspect: str
    at: str
    ahead: tuple[str, ...]
    allowed: bool = False
    released: bool = False


class Line(Struct, frozen=True):
    """One line of the table: a route. ``unknown`` is what it leads to that is not known, with what would say it."""

    route: BoundRoute
    kind: str
    normal: tuple[str, ...]
    reverse: tuple[str, ...]
    clear: tuple[str, ...]
    overlaps: tuple[Overlap, ...]
    flank: Mapping[str, str]
    at_stop: tuple[str, ...]
    excludes: tuple[tuple[BoundRoute, tuple[Reason, ...]], ...]
    shows: tuple[Shown, ...]
    indicator: tuple[str, ...]
    release: str
    locking: str
    unknown: Mapping[str, str]


def control_table(layout: Layout) -> Iterator[Line]:
    """Yield the lines of the table in the order of the plan; what the plan does not say is empty."""
    found = conflicts(layout)
    states = _states(layout)
    lacking = unknown(layout) if layout.rulebook is not None else {}
    for route in bound_routes(layout):
        entry, used = route.entry, route.uses
        yield Line(
            route,
            route_class(entry),
            tuple(name for name, lie in used.lies.items() if lie == "normal"),
            tuple(name for name, lie in used.lies.items() if lie == "reverse"),
            used.over,
            tuple(lap for lap in used.overlaps if lap.over or lap.lies),
            used.flank,
            used.at_stop,
            tuple((other, found.reasons(route, other)) for other in found.row(route)),
            tuple(_shown(states.get(route.index, []))),
            tuple(f"{one.name} {one.content}".strip() for one in entry.indications),
            _release(entry.release),
            _locking(entry.rest.get("locks") or {}),
            {name: lacking[name] for name in (*entry.passes, entry.to) if name in lacking},
        )


def _states(layout: Layout) -> dict[int, list[State]]:
    """Return by route what its signal can show for it; nothing where no rulebook says."""
    numbers = {id(route.entry): route.index for route in bound_routes(layout)}
    found: dict[int, list[State]] = {}
    reached = reach(layout) if layout.rulebook is not None else None
    for name in layout.signals if reached is not None else ():
        for state in reached.of(name) if reached is not None else ():
            if state.route is not None and id(state.route) in numbers:
                found.setdefault(numbers[id(state.route)], []).append(state)
    return found


def _shown(states: list[State]) -> Iterator[Shown]:
    """Yield what is shown, each with all that may stand ahead of it."""
    ahead: dict[tuple[str, str, bool, bool], dict[str, None]] = {}
    for state in states:
        words = _aspects(state)
        if words and state.ahead is not None:
            key = (words, state.needs[0].key, bool(state.choice), state.near is not None)
            ahead.setdefault(key, {})[state.ahead.aspect] = None
    for (words, at, allowed, released), aspects in ahead.items():
        yield Shown(words, at, tuple(aspects), allowed, released)


def _aspects(state: State) -> str:
    """Return what the parts of a signal show together; those that tell a driver nothing are left out."""
    known = state.stand.post.rulebook.aspects
    shown = [aspect for _, aspect in state.answer.shows if aspect and aspect != DARK]
    telling = [aspect for aspect in shown if aspect in known and known[aspect].says.get("authority") != "none"]
    return " + ".join(telling or shown)


def _release(said: Mapping[str, Any]) -> str:
    """Say how a signal is released as a train nears it."""
    words = [f"from {as_text(said['from'])}"] if "from" in said else []
    words += ["signals before it flashing"] if said.get("flashing") is True else []
    words += [f"{' '.join(as_words(said['occupied']))} occupied"] if "occupied" in said else []
    words += [f"after {as_text(said['after'])}"] if "after" in said else []
    return ", ".join(words)


def _locking(said: Mapping[str, Any]) -> str:
    """Say how a route is locked once a train may rely on it."""
    words = [f"when {as_text(said['when'])}"] if "when" in said else []
    words += [f"with a train in {' '.join(as_words(said['sections']))}"] if "sections" in said else []
    words += [f"let go after {as_text(said['after'])}"] if "after" in said else []
    return ", ".join(words)
