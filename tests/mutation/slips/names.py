"""Slips in names: of what is not there, near misses, what is there under another name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.mentions import (
    BOARD,
    CONTROLLER,
    GOAL,
    LINE,
    ORIGIN,
    POINTS,
    SECTION,
    SIGNAL,
    SUPPLY,
    TRACK,
    Mention,
    mentioned,
)
from mutation.plans import Mutant, at, near, put, renamed, slip, spread
from mutation.signals import routes, tracked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values, Way

GROUP = "names"
NOWHERE = "QX99"
NOT_LISTED = "the plan has no list of these names"
LISTS = {
    "signals": {SIGNAL, GOAL},
    "ends": {GOAL, ORIGIN},
    "sections": {SECTION, TRACK},
    "points": {POINTS},
    "lines": {LINE},
    "boards": {BOARD},
    "controllers": {CONTROLLER},
    "supplies": {SUPPLY},
}
"""Where things are defined, and as what they are named."""


@slip(GROUP, blind=NOT_LISTED)
def name_to_nowhere(values: Values) -> Iterator[Mutant]:
    """Name a signal, end, section, set of points, line, board or supply that is not there."""
    for mention in mentioned(values):
        if (made := misnamed(values, mention, NOWHERE)) is not None:
            yield Mutant(told(mention), made, mention.path, listed(values, mention))


@slip(GROUP, blind=NOT_LISTED)
def near_miss_name(values: Values) -> Iterator[Mutant]:
    """Misspell a name by a letter."""
    for mention in mentioned(values):
        miss = near(mention.name.rpartition(" to ")[2], ())
        miss = mention.name.replace(mention.name.rpartition(" to ")[2], miss)
        if (made := misnamed(values, mention, miss)) is not None:
            yield Mutant(f"{told(mention)}: {miss}", made, mention.path, listed(values, mention))


@slip(GROUP, blind=NOT_LISTED)
def thing_renamed(values: Values) -> Iterator[Mutant]:
    """Misspell a signal, section, line, end or board where it is defined, if something names it."""
    named = {(mention.kind, mention.name) for mention in mentioned(values)}
    for kind, kinds in LISTS.items():
        for name in values.get(kind, {}):
            if any((one, name) in named for one in kinds):
                yield Mutant(f"{kind} {name}", renamed(values, (kind, name), near(name, values[kind])), ())


@slip(GROUP, blind="what a signal repeats, or a section is part of, the plan says once")
def name_of_another(values: Values) -> Iterator[Mutant]:
    """Name, of a kind of which there are several, the wrong one: a repeated signal, a line, a section of a release."""
    for mention in mentioned(values):
        key = mention.path[2] if mention.path[0] == "signals" else ""
        kind: dict[str, Any] = values.get({LINE: "lines"}.get(mention.kind, "signals" if key == "repeats" else ""), {})
        others = [name for name in kind if name != mention.name]
        for other in spread(others, 2):
            made = misnamed(values, mention, other)
            if made is not None:
                yield Mutant(f"{told(mention)}: {other}", made, mention.path, held=False)


@slip(GROUP, blind="conflicts name the routes of a plan without numbers by where they lead")
def points_mistaken(values: Values) -> Iterator[Mutant]:
    """Name other points than those a route runs over."""
    known = list(dict.fromkeys(name for way in routes(values) for name in at(values, way).get("points", {})))
    for way in routes(values):
        mine = at(values, way).get("points", {})
        for name in mine:
            for other in [one for one in known if one not in mine][:1]:
                made = renamed(values, (*way, "points", name), other)
                yield Mutant(f"{way[1]}.{way[3]}: {other} for {name}", made, (*way, "points"), held=tracked(values))


def told(mention: Mention) -> str:
    """Return what is named, and where."""
    return f"{'.'.join(map(str, mention.path))} {mention.name}"


def misnamed(values: Values, mention: Mention, new: str) -> Values | None:
    """Return the values with another name in the place of one; None if the place has more than that name in it."""
    way: Way = mention.path
    here = at(values, way)
    if way[-1] == mention.name and here != mention.name:
        return renamed(values, way, new)
    if str(here) == mention.name:
        return put(values, way, new)
    if mention.kind == BOARD and isinstance(here, str) and here.startswith(f"{mention.name}."):
        return put(values, way, here.replace(mention.name, new, 1))
    return None


def listed(values: Values, mention: Mention) -> bool:
    """Tell whether the plan lists the names of such things."""
    if mention.kind == POINTS:
        return "points" in values or "track" in values
    if mention.kind in {SECTION, LINE, BOARD}:
        return f"{mention.kind}s" in values
    return True
