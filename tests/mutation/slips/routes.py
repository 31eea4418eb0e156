"""Slips in routes as wholes: turned round, led elsewhere, left out, written twice."""

from __future__ import annotations

from copy import deepcopy
from itertools import combinations
from typing import TYPE_CHECKING

from mutation.plans import Mutant, at, put, slip, spread, without
from mutation.signals import called, inherited, is_main, routes, tracked
from mutation.slips.conflicts import without_route
from mutation.slips.ways import NO_TRACK

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values, Way

GROUP = "routes"


@slip(GROUP, blind=f"{NO_TRACK}, nor in which direction")
def entry_and_exit_swapped(values: Values) -> Iterator[Mutant]:
    """Let a route between two signals begin where it ends."""
    for way in routes(values):
        begin, route = str(way[1]), at(values, way)
        if route["to"] in values["signals"]:
            made = without(values, way)
            made["signals"][route["to"]].setdefault("routes", []).append({**deepcopy(route), "to": begin})
            target = ("signals", route["to"], "routes")
            yield Mutant(called(values, way), made, target, held=tracked(values))


@slip(GROUP, blind=f"{NO_TRACK}, and where trains come to all signals all the same")
def wrong_exit(values: Values) -> Iterator[Mutant]:
    """Let a route lead to another signal."""
    for way in routes(values):
        for to in spread([name for name in values["signals"] if name != at(values, way)["to"]], 3):
            made = put(values, (*way, "to"), to)
            held = tracked(values) or (lonely(values, way) and str(way[1]) != at(values, way)["to"])
            yield Mutant(f"{called(values, way)}: {to}", made, (*way, "to"), held=held)


@slip(GROUP, blind=f"{NO_TRACK}; with one, a route of another class may be all that is meant to be there")
def route_dropped(values: Values) -> Iterator[Mutant]:
    """Take a route out. It is missed where a track leads on, or where then no train comes to a signal."""
    for way in routes(values):
        made = without(values, way)
        if "conflicts" in made:
            made["conflicts"] = without_route(made["conflicts"], called(values, way))
        to = at(values, way)["to"]
        held = is_main(values, way) and (lonely(values, way) or (tracked(values) and alone(values, way)))
        target: Way = ("signals", way[1]) if tracked(values) or not held else ("signals", to)
        yield Mutant(called(values, way), made, target, held)


@slip(GROUP)
def route_doubled(values: Values) -> Iterator[Mutant]:
    """Write a route twice."""
    for way in routes(values):
        made = deepcopy(values)
        row = at(made, way[:-1])
        row.append(deepcopy(at(values, way)))
        yield Mutant(called(values, way), made, (*way[:-1], len(row) - 1))


@slip(GROUP)
def route_id_twice(values: Values) -> Iterator[Mutant]:
    """Give two routes one name."""
    for one, other in spread(list(combinations(routes(values), 2)), 9):
        made = put(put(values, (*one, "name"), "through"), (*other, "name"), "through")
        yield Mutant(f"{called(values, one)} and {called(values, other)}", made, (*other, "name"))


def alone(values: Values, way: Way) -> bool:
    """Tell whether no route of another class is left: over the same way, or as all that its signal has."""
    rest = [other for other in routes(values) if other[:2] == way[:2] and other != way]
    mains = [other for other in rest if is_main(values, other)]
    same = [other for other in rest if at(values, other)["to"] == at(values, way)["to"]]
    return not same and (bool(mains) or not rest)


def lonely(values: Values, way: Way) -> bool:
    """Tell whether a route is the only one by which trains come to a signal that has routes itself."""
    to = at(values, way)["to"]
    others = [at(values, other)["to"] for other in routes(values) if other != way]
    begins = to in values["signals"] and inherited(values, to, "routes") is not None
    return begins and to not in others and inherited(values, to, "from") is None
