"""Every name that a plan uses of something it, or another plan, must say itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.plans.load import LAMP_WORDS
from lampwright.plans.model import DUMMY
from lampwright.rulebooks.codec import as_text

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from lampwright.findings import Path
    from lampwright.layout import Layout
    from lampwright.plans import Plan

SIGNAL: Final = "signal"
GOAL: Final = "signal or end"
ORIGIN: Final = "end"
SECTION: Final = "section"
POINTS: Final = "set of points"
TRACK: Final = "piece of track or end"
LINE: Final = "line"
BOARD: Final = "board"
CONTROLLER: Final = "controller"
SUPPLY: Final = "supply"
ROUTE: Final = "route"

SELF: Final = "."
"""In a table: what a plain value in this place, or each of a list, is the name of."""
KEYS: Final = "<"
"""In a table: what the keys of the map in this place are names of."""
ANY: Final = "*"
"""In a table: every key."""
WIRED: Final = "+"
"""In a table: every key that is no word of a lamp's wiring."""
OFF_STAGE: Final = "off-stage"

Table = dict[str, Any]
"""Which keys of a map lead to names: a kind of name, or a table for the map or list below."""

DEEP = (dict, list)

LIES: Table = {KEYS: POINTS}
LAMP: Table = {SELF: BOARD, "output": BOARD, "outputs": BOARD, "supply": SUPPLY}
LAMPS: Table = {ANY: {**LAMP, WIRED: LAMP}}
ROUTES: Table = {
    "to": GOAL,
    "passes": SIGNAL,
    "over": SECTION,
    "points": LIES,
    "release": {"occupied": SECTION},
    "overlap": {SELF: SECTION, "over": SECTION, "points": LIES},
    "flank": {"points": LIES, "signals": SIGNAL},
    "locks": {"sections": SECTION},
}
NAMES: Table = {
    "sections": {ANY: {"line": LINE}},
    "points": {ANY: {"in": SECTION, "works-with": POINTS}},
    "track": {
        ANY: {
            "next": TRACK,
            "toe": TRACK,
            "normal": TRACK,
            "reverse": TRACK,
            "ways": {SELF: TRACK, "between": TRACK, "points": LIES},
            "in": SECTION,
            "signals": {KEYS: SIGNAL, ANY: TRACK},
        }
    },
    "ends": {ANY: {"line": LINE}},
    "signals": {
        ANY: {
            "like": SIGNAL,
            "from": ORIGIN,
            "line": LINE,
            "section": SECTION,
            "lamps": LAMPS,
            "carries": LAMPS,
            "routes": ROUTES,
            "repeats": SIGNAL,
        }
    },
    "conflicts": {KEYS: ROUTE, ANY: {SELF: ROUTE, KEYS: ROUTE}},
    "controllers": {ANY: {"supply": SUPPLY}},
    "boards": {ANY: {"controller": CONTROLLER, "after": BOARD, "supply": SUPPLY, "led-supply": SUPPLY}},
    "supplies": {ANY: {"from": SUPPLY}},
}
"""Where in a plan names stand, and of what."""


class Mention(Struct, frozen=True):
    """A name, what it is the name of, and where it stands."""

    path: Path
    kind: str
    name: str
    on_key: bool = False


def mentions(layout: Layout) -> Iterator[Mention]:
    """Yield every name in a plan, with what it is the name of."""
    yield from mentioned(layout.plan.values)


def mentioned(values: Any) -> Iterator[Mention]:
    """Yield every name in the values of a plan, which need not be a right one."""
    found: list[Mention] = []
    _walk(values, NAMES, (), found)
    for mention in found:
        if mention.kind == BOARD and "." in mention.name:
            yield Mention(mention.path, BOARD, mention.name.partition(".")[0])
        elif mention.kind != BOARD or mention.name != DUMMY:
            yield mention


def known(layout: Layout) -> dict[str, Collection[str] | None]:
    """Return the names there are of each kind; None where the plan does not say, so that any may be right."""
    plan = layout.plan
    track = plan.values.get("track") or {}
    points = [name for name, piece in track.items() if isinstance(piece, dict) and "toe" in piece]
    sections = _given(plan, "sections", [name for name in track if name not in points])
    return {
        SIGNAL: plan.signals,
        GOAL: {**plan.signals, **plan.ends},
        ORIGIN: {**plan.ends, OFF_STAGE: None},
        SECTION: sections,
        POINTS: _given(plan, "points", points),
        TRACK: {**track, **plan.ends},
        LINE: _given(plan, "lines"),
        BOARD: _given(plan, "boards"),
        CONTROLLER: _given(plan, "controllers"),
        SUPPLY: _given(plan, "supplies"),
        ROUTE: _routes(plan),
    }


def elsewhere(layout: Layout, name: str, kind: str) -> Collection[str] | None:
    """Return the names of another file that ``north/TB9`` may mean; None if that file is not there to be asked."""
    file = name.partition("/")[0]
    other = layout.others.get(file)
    if other is None:
        return None
    there = {**other.signals, **(other.ends if kind != SIGNAL else {})}
    return [f"{file}/{one}" for one in there]


def _walk(value: Any, table: Table | str, path: Path, found: list[Mention]) -> None:
    """Find the names below one value."""
    if isinstance(value, list):
        for index, item in enumerate(value):
            _walk(item, table, (*path, index), found)
    elif not isinstance(value, dict):
        kind = table if isinstance(table, str) else table.get(SELF)
        if kind and value is not None:
            found.append(Mention(path, kind, as_text(value)))
    elif isinstance(table, dict):
        if KEYS in table:
            found += [Mention((*path, key), table[KEYS], key, on_key=True) for key in value]
        for key, said in value.items():
            below = _below(key, table)
            if below.__class__ is str and said.__class__ is str:
                found.append(Mention((*path, key), below, said))
            elif below is not None and (said.__class__ in DEEP or below.__class__ is str or SELF in below):
                _walk(said, below, (*path, key), found)


def _below(key: str, table: Table) -> Any:
    """Return what a table leads on to from a key of a map, as a table or a kind; None if to nothing."""
    if key in table and key not in (SELF, KEYS, ANY, WIRED):
        return table[key]
    if ANY in table:
        return table[ANY]
    return table.get(WIRED) if key not in LAMP_WORDS else None


def _given(plan: Plan, section: str, also: Collection[str] = ()) -> Collection[str] | None:
    """Return the names of a section of the plan and those also known; None if it has neither."""
    said = plan.values.get(section)
    return None if said is None and not also else dict.fromkeys((*(said or ()), *also))


def _routes(plan: Plan) -> Collection[str]:
    """Return the names of all routes: their own, and where they begin and end."""
    routes = [(name, route) for name, signal in plan.signals.items() for route in signal.routes]
    own = [as_text(route.rest["name"]) for _, route in routes if "name" in route.rest]
    return dict.fromkeys((*own, *(f"{name} to {route.to}" for name, route in routes)))
