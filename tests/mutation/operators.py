"""Slips of the pen, each made in every place of a plan that holds what it contradicts.

The groups are those of a review of validators for interlocking tables and signalling plans: conflicts, points,
sections, names, routes, overlap and flank, aspects, indicators, identity; and the track. What nothing in the plan
contradicts is no slip that anybody could find: such a mutant is left out, and its operator says why.
"""

from __future__ import annotations

from copy import deepcopy
from itertools import combinations
from typing import TYPE_CHECKING

from mutation.plans import Mutant, Values, Way, at, called, inserted, is_main, put, routes, without, words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    Operator = Callable[[Values], Iterator[Mutant]]

OTHER = {"normal": "reverse", "reverse": "normal"}
NOWHERE = "QX99"


def conflict_dropped(values: Values) -> Iterator[Mutant]:
    """Take a pair out of both rows. Routes of one signal are left: a table may do without them."""
    for row, other in _pairs(values):
        if row.split(" to ")[0] != other.split(" to ")[0]:
            made = deepcopy(values)
            made["conflicts"][row].remove(other)
            made["conflicts"][other].remove(row)
            made["conflicts"] = {name: others for name, others in made["conflicts"].items() if others}
            if row in made["conflicts"] or other in made["conflicts"]:
                yield Mutant(f"{row} x {other}", made, ("conflicts",))


def conflict_one_way(values: Values) -> Iterator[Mutant]:
    """Take a pair out of one row."""
    for row, other in _pairs(values):
        for one, two in ((row, other), (other, row)):
            made = deepcopy(values)
            made["conflicts"][one].remove(two)
            made["conflicts"] = {name: others for name, others in made["conflicts"].items() if others}
            yield Mutant(f"{one} without {two}", made, ("conflicts",))


def conflict_added(values: Values) -> Iterator[Mutant]:
    """Put a pair into both rows that shares nothing."""
    rows = list(values.get("conflicts", {}))
    for row, other in combinations(rows, 2):
        if other not in values["conflicts"][row]:
            made = deepcopy(values)
            made["conflicts"][row].append(other)
            made["conflicts"][other].append(row)
            yield Mutant(f"{row} x {other}", made, ("conflicts",))


def lie_flipped(values: Values) -> Iterator[Mutant]:
    """Let points of a route lie the other way. Without a track nothing says which way is right."""
    for way in routes(values) if "track" in values else ():
        for name, lie in at(values, way).get("points", {}).items():
            place = (*way, "points", name)
            yield Mutant(f"{called(values, way)}: {name}", put(values, place, OTHER[lie]), place)


def points_dropped(values: Values) -> Iterator[Mutant]:
    """Take one of several points out of a route. A route without any has not said them, and the track fills them in."""
    for way in routes(values) if "track" in values else ():
        for name in at(values, way).get("points", {}):
            if len(at(values, way)["points"]) > 1:
                mutant = without(values, (*way, "points", name))
                yield Mutant(f"{called(values, way)}: {name}", mutant, (*way, "points"))


def points_added(values: Values) -> Iterator[Mutant]:
    """Name points in a route that it does not run over."""
    for way in routes(values) if "track" in values else ():
        for name in values.get("points", {}):
            if name not in at(values, way).get("points", {name: ""}):
                place = (*way, "points", name)
                yield Mutant(f"{called(values, way)}: {name}", put(values, place, "normal"), place)


def section_dropped(values: Values) -> Iterator[Mutant]:
    """Take one of several sections out of a route. Without a track nothing says that it runs there."""
    for way in routes(values) if "track" in values else ():
        over = words(at(values, way).get("over", []))
        for number, name in enumerate(over if len(over) > 1 else ()):
            left = [*over[:number], *over[number + 1 :]]
            yield Mutant(f"{called(values, way)}: {name}", put(values, (*way, "over"), left), (*way, "over"))


def section_added(values: Values) -> Iterator[Mutant]:
    """Name a section in a route that it does not run over: the first and the last there are."""
    for way in routes(values) if "track" in values else ():
        over = words(at(values, way).get("over", []))
        for name in [name for name in values["sections"] if name not in over][
            :: len(values["sections"]) - len(over) - 1
        ]:
            mutant = put(values, (*way, "over"), [*over, name])
            yield Mutant(f"{called(values, way)}: {name}", mutant, (*way, "over"))


def sections_swapped(values: Values) -> Iterator[Mutant]:
    """Name, instead of a section of a route, one of another route of the same signal; or two in the wrong order."""
    for way in routes(values) if "track" in values else ():
        over = words(at(values, way).get("over", []))
        for other in routes(values):
            if other[:2] == way[:2] and other != way:
                theirs = words(at(values, other)["over"])
                mine, its = [s for s in over if s not in theirs], [s for s in theirs if s not in over]
                if mine and its:
                    place = (*way, "over", over.index(mine[-1]))
                    yield Mutant(f"{called(values, way)}: {its[-1]}", put(values, place, its[-1]), place)
        if len(over) > 1:
            turned = [over[1], over[0], *over[2:]]
            yield Mutant(f"{called(values, way)}: order", put(values, (*way, "over"), turned), (*way, "over"))


def name_to_nowhere(values: Values) -> Iterator[Mutant]:
    """Misspell a signal, end, section or points where a route names them."""
    for way in routes(values):
        route = at(values, way)
        yield Mutant(f"{called(values, way)}: to", put(values, (*way, "to"), NOWHERE), (*way, "to"))
        for key in ("over", "passes"):
            for number, name in enumerate(words(route[key]) if key in route else ()):
                row = words(route[key])
                mutant = put(values, (*way, key), [*row[:number], NOWHERE, *row[number + 1 :]])
                yield Mutant(f"{called(values, way)}: {key} {name}", mutant, (*way, key))
        for name in route.get("points", {}) if "points" in values or "track" in values else ():
            lies = {NOWHERE if points == name else points: lie for points, lie in route["points"].items()}
            yield Mutant(f"{called(values, way)}: points {name}", put(values, (*way, "points"), lies), (*way, "points"))


def thing_renamed(values: Values) -> Iterator[Mutant]:
    """Misspell a signal, section, end or line where it is defined, if something names it."""
    for kind in ("sections", "ends", "lines"):
        for name in values.get(kind, {}):
            if f'"{name}"' in str(values).replace("'", '"').replace(f'"{name}":', ""):
                renamed = {f"{one}Z" if one == name else one: said for one, said in values[kind].items()}
                yield Mutant(f"{kind} {name}", {**deepcopy(values), kind: deepcopy(renamed)}, ())


def route_named_twice(values: Values) -> Iterator[Mutant]:
    """Give two routes one name."""
    for one, other in list(combinations(routes(values), 2))[:8]:
        made = inserted(inserted(values, one, "name", "through"), other, "name", "through")
        yield Mutant(f"{called(values, one)} and {called(values, other)}", made, (*other, "name"))


def route_turned(values: Values) -> Iterator[Mutant]:
    """Swap entry and exit of a route between two signals. Without a track nothing says in which direction it runs."""
    for way in routes(values) if "track" in values else ():
        begin, route = str(way[1]), at(values, way)
        if route["to"] in values["signals"]:
            made = without(values, way)
            made["signals"][route["to"]].setdefault("routes", []).append({**deepcopy(route), "to": begin})
            yield Mutant(called(values, way), made, ("signals", route["to"], "routes"))


def wrong_exit(values: Values) -> Iterator[Mutant]:
    """Let a route lead to another signal. Without a track it is found only where no train then comes to the first."""
    for way in routes(values):
        exits = [name for name in values["signals"] if name != at(values, way)["to"]]
        for to in exits[:: max(1, len(exits) // 3)] if "track" in values else ():
            yield Mutant(f"{called(values, way)}: {to}", put(values, (*way, "to"), to), (*way, "to"))


def route_dropped(values: Values) -> Iterator[Mutant]:
    """Take a main route out, where a track leads on or its exit is then reached by no other."""
    for way in routes(values):
        to = at(values, way)["to"]
        others = [at(values, other)["to"] for other in routes(values) if other != way]
        lonely = to in values["signals"] and to not in others and "routes" in values["signals"][to]
        lonely = lonely and "from" not in values["signals"][to] and "like" not in values["signals"][to]
        if is_main(values, way) and ("track" in values or lonely):
            made = without(values, way)
            if "conflicts" in made:
                made["conflicts"] = _without_route(made["conflicts"], called(values, way))
            target: Way = ("signals", way[1]) if "track" in values else ("signals", to)
            yield Mutant(called(values, way), made, target)


def route_doubled(values: Values) -> Iterator[Mutant]:
    """Write a route twice."""
    for way in routes(values):
        made = deepcopy(values)
        row = at(made, way[:-1])
        row.append(deepcopy(at(values, way)))
        yield Mutant(called(values, way), made, (*way[:-1], len(row) - 1))


def legs_swapped(values: Values) -> Iterator[Mutant]:
    """Swap two legs of points in the track, where routes over them say how they lie."""
    for name, said in values.get("track", {}).items():
        named = [way for way in routes(values) if name in at(values, way).get("points", {})]
        for one, other in combinations(("toe", "normal", "reverse"), 2) if "toe" in said and len(named) > 1 else ():
            turned = {**said, one: said[other], other: said[one]}
            yield Mutant(f"{name}: {one} and {other}", put(values, ("track", name), turned), ("track", name))


def neighbour_wrong(values: Values) -> Iterator[Mutant]:
    """Let a section lead on to another piece than the one that leads back to it."""
    for name, said in values.get("track", {}).items():
        for number, neighbour in enumerate(words(said["next"])) if "next" in said else ():
            other = next(piece for piece in values["track"] if piece not in (name, neighbour, *words(said["next"])))
            if neighbour in values["track"]:
                row = words(said["next"])
                made = put(values, ("track", name, "next"), [*row[:number], other, *row[number + 1 :]])
                if neighbour in said.get("signals", {}).values():
                    continue  # two slips: the signal then looks to what is no neighbour
                yield Mutant(f"{name}: {other} for {neighbour}", made, ("track", name, "next"))


def signal_turned(values: Values) -> Iterator[Mutant]:
    """Let a signal in the track look the other way."""
    for name, said in values.get("track", {}).items():
        for signal, ahead in said.get("signals", {}).items():
            for other in words(said["next"]):
                place = ("track", name, "signals", signal)
                if other != str(ahead):
                    yield Mutant(f"{signal}: {other}", put(values, place, other), place)


def signal_off_track(values: Values) -> Iterator[Mutant]:
    """Leave a signal out of the track."""
    for name, said in values.get("track", {}).items():
        for signal in said.get("signals", {}):
            if values["signals"][signal].get("routes"):
                made = without(values, ("track", name, "signals", signal))
                yield Mutant(signal, made, ("signals", signal))


def overlap_dropped(values: Values) -> Iterator[Mutant]:
    """Take an overlap out that a declared conflict rests on alone."""
    for name in ("CB2 to CB4", "CB10 to CB6"):
        for way in routes(values):
            if called(values, way) == name:
                yield Mutant(name, without(values, (*way, "overlap")), ("conflicts",))


def flank_dropped(values: Values) -> Iterator[Mutant]:
    """Take points out that guard the flank of a route, where another over them keeps those of this one."""
    for way in routes(values):
        route = at(values, way)
        kept = route.get("flank", {}).get("points", {})
        mutual = [
            other
            for other in routes(values)
            if set(at(values, other).get("flank", {}).get("points", {})) & set(route.get("points", {}))
            and set(at(values, other).get("points", {})) & set(kept)
        ]
        if mutual:
            yield Mutant(called(values, way), without(values, (*way, "flank")), way)


def flank_inverted(values: Values) -> Iterator[Mutant]:
    """Keep points at the flank the other way."""
    for way in routes(values) if "track" in values else ():
        for name, lie in at(values, way).get("flank", {}).get("points", {}).items():
            place = (*way, "flank", "points", name)
            yield Mutant(called(values, way), put(values, place, OTHER[lie]), place)


def display_of_neighbour(values: Values) -> Iterator[Mutant]:
    """Show for one aspect what belongs to another."""
    for name, signal in values["signals"].items():
        for one, other in combinations((signal or {}).get("shows", {}), 2):
            for aspect, shown in ((one, other), (other, one)):
                place = ("signals", name, "shows", aspect)
                yield Mutant(f"{name}: {aspect} as {shown}", put(values, place, signal["shows"][shown]), place)


def displays_swapped(values: Values) -> Iterator[Mutant]:
    """Swap what two aspects show."""
    for name, signal in values["signals"].items():
        for one, other in combinations((signal or {}).get("shows", {}), 2):
            shows = {**signal["shows"], one: signal["shows"][other], other: signal["shows"][one]}
            place = ("signals", name, "shows")
            yield Mutant(f"{name}: {one} and {other}", put(values, place, shows), place)


def display_dropped(values: Values) -> Iterator[Mutant]:
    """Take an aspect out of what a signal shows, if its form must give it."""
    for name, signal in values["signals"].items():
        for aspect in (signal or {}).get("shows", {}):
            place = ("signals", name, "shows")
            yield Mutant(f"{name}: {aspect}", without(values, (*place, aspect)), place)


def lamps_swapped(values: Values) -> Iterator[Mutant]:
    """Swap two lamps of unlike colour in a list from the top down, of a signal that says its form."""
    for name, signal in values["signals"].items():
        lamps = (signal or {}).get("lamps") or []
        for one, other in combinations(range(len(lamps)), 2) if isinstance(lamps, list) and "form" in signal else ():
            if lamps[one] != lamps[other]:
                turned = list(lamps)
                turned[one], turned[other] = lamps[other], lamps[one]
                place = ("signals", name, "lamps")
                yield Mutant(f"{name}: {one} and {other}", put(values, place, turned), place)


def lamp_dropped(values: Values) -> Iterator[Mutant]:
    """Take a lamp out of a signal that says its form."""
    for name, signal in values["signals"].items():
        lamps = (signal or {}).get("lamps") or {}
        for key in range(len(lamps)) if isinstance(lamps, list) else lamps:
            if "form" in signal:
                place: Way = ("signals", name, "lamps")
                yield Mutant(f"{name}: {key}", without(values, (*place, key)), place)


def indicator_moved(values: Values) -> Iterator[Mutant]:
    """Light the indicator of a turning route for another main route of the signal instead."""
    for one in routes(values):
        for other in routes(values):
            lit, dark = at(values, one), at(values, other)
            turning = "indicator" in lit and lit.get("turns") != "straight"
            if one[:2] == other[:2] and turning and "indicator" not in dark and is_main(values, other):
                made = inserted(without(values, (*one, "indicator")), other, "indicator", lit["indicator"])
                yield Mutant(f"{called(values, one)} -> {called(values, other)}", made, ("signals", one[1], "routes"))


def indicator_twice(values: Values) -> Iterator[Mutant]:
    """Light one indicator for two main routes that turn off to different lines."""
    for one, other in combinations(routes(values), 2):
        if one[:2] == other[:2] and "indicator" in at(values, one) and "indicator" in at(values, other):
            place = (*other, "indicator")
            mutant = put(values, place, at(values, one)["indicator"])
            yield Mutant(f"{called(values, one)} and {called(values, other)}", mutant, place)


def indicator_other_side(values: Values) -> Iterator[Mutant]:
    """Light a position on the other side."""
    sides = {"position-1": "position-4", "position-4": "position-1"}
    for way in routes(values):
        if str(at(values, way).get("indicator")) in sides:
            place = (*way, "indicator")
            made = put(values, place, sides[at(values, way)["indicator"]])

            yield Mutant(called(values, way), made, place)


def year_too_early(values: Values) -> Iterator[Mutant]:
    """Set the plan in a year in which its forms, its indicators or its rulebook were not in use."""
    for year in (1890, 1910, 1922):
        yield Mutant(str(year), put(values, ("year",), year), ("year",))


def rulebook_unknown(values: Values) -> Iterator[Mutant]:
    """Follow a rulebook that is not there."""
    for name in ("gb-color-light", "gb"):
        yield Mutant(name, put(values, ("rulebook",), name), ("rulebook",))


def form_changed(values: Values) -> Iterator[Mutant]:
    """Give a signal whose lamps are told another form, or one that is not there."""
    for name, signal in values["signals"].items():
        form = (signal or {}).get("form")
        others = [one for one in ("three-aspect", "four-aspect", "two-aspect-stop", "thre-aspect") if one != form]
        for other in others if form and "lamps" in signal else ():
            place = ("signals", name, "form")
            yield Mutant(f"{name}: {other}", put(values, place, other), ("signals", name))


OPERATORS: dict[str, tuple[Operator, ...]] = {
    "conflicts": (conflict_dropped, conflict_one_way, conflict_added),
    "points": (lie_flipped, points_dropped, points_added),
    "sections": (section_dropped, section_added, sections_swapped),
    "names": (name_to_nowhere, thing_renamed, route_named_twice),
    "routes": (route_turned, wrong_exit, route_dropped, route_doubled),
    "track": (legs_swapped, neighbour_wrong, signal_turned, signal_off_track),
    "overlap, flank": (overlap_dropped, flank_dropped, flank_inverted),
    "aspects": (display_of_neighbour, displays_swapped, display_dropped, lamps_swapped, lamp_dropped),
    "indicators": (indicator_moved, indicator_twice, indicator_other_side),
    "identity": (year_too_early, rulebook_unknown, form_changed),
}


def _pairs(values: Values) -> list[tuple[str, str]]:
    """Return the pairs that stand in two rows of the table of conflicts."""
    table = values.get("conflicts", {})
    return [(row, other) for row, other in combinations(table, 2) if other in table[row] and row in table[other]]


def _without_route(table: dict[str, list[str]], name: str) -> dict[str, list[str]]:
    """Return a table of conflicts without one route."""
    left = {row: [other for other in others if other != name] for row, others in table.items() if row != name}
    return {row: others for row, others in left.items() if others}
