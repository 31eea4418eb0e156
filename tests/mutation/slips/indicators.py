"""Slips in route indicators, and in which way a route turns."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from lampwright.quantities import quantity
from lampwright.working.bound import bound_routes
from lampwright.working.track import POINTS
from lampwright.working.trails import track_of, trails
from mutation.plans import Mutant, at, put, slip, without, written
from mutation.signals import book_of, called, inherited, is_main, routes
from support import result_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks.model import Indicator
    from mutation.plans import Values, Way

GROUP = "indicators"
ACROSS = {"left": "right", "right": "left"}


@slip(GROUP, blind="the rulebook asks for none, or what it shows follows from the speed of the route")
def indicator_moved(values: Values) -> Iterator[Mutant]:
    """Light the indicator of a turning route for another main route of the signal instead."""
    for one in routes(values):
        for other in routes(values):
            lit, dark = at(values, one), at(values, other)
            turning = "indicator" in lit and lit.get("turns") != "straight"
            if one[:2] == other[:2] and turning and "indicator" not in dark and is_main(values, other):
                made = put(without(values, (*one, "indicator")), (*other, "indicator"), lit["indicator"])
                label = f"{called(values, one)} -> {called(values, other)}"
                yield Mutant(label, made, ("signals", one[1], "routes"), needed(values, one))


@slip(GROUP)
def indicator_twice(values: Values) -> Iterator[Mutant]:
    """Light one indicator for two main routes of a signal."""
    for one, other in combinations(routes(values), 2):
        if one[:2] == other[:2] and "indicator" in at(values, one) and "indicator" in at(values, other):
            place = (*other, "indicator")
            made = put(values, place, at(values, one)["indicator"])
            yield Mutant(f"{called(values, one)} and {called(values, other)}", made, place)


@slip(GROUP)
def indicator_other_side(values: Values) -> Iterator[Mutant]:
    """Light a position that stands for a turn to the other side."""
    for way in routes(values):
        position = str(at(values, way).get("indicator"))
        sides = next((one.positions for one in book_of(values).indicators.values() if position in one.positions), {})
        for other in [name for name, side in sides.items() if side == ACROSS.get(sides[position])][:1]:
            place = (*way, "indicator")
            yield Mutant(called(values, way), put(values, place, other), place)


@slip(GROUP, blind="the rulebook asks for none, or what it shows follows from the speed of the route")
def indicator_dropped(values: Values) -> Iterator[Mutant]:
    """Light no indicator where a route has one."""
    for way in routes(values):
        if "indicator" in at(values, way):
            yield Mutant(called(values, way), without(values, (*way, "indicator")), way, needed(values, way))


@slip(GROUP)
def indicator_unknown(values: Values) -> Iterator[Mutant]:
    """Light what is no indicator of the signal: a near miss."""
    for way in routes(values):
        lit = at(values, way).get("indicator")
        if lit:
            new = f"{lit}1" if isinstance(lit, str) else {f"{name}s": what for name, what in lit.items()}
            yield Mutant(called(values, way), put(values, (*way, "indicator"), new), (*way, "indicator"))


@slip(GROUP, blind="a character means what the plan says it does")
def figure_wrong(values: Values) -> Iterator[Mutant]:
    """Show another character or figure: one more, one less, or one that its box does not have."""
    for way in routes(values):
        lit = at(values, way).get("indicator")
        for name, said in lit.items() if isinstance(lit, dict) else ():
            box = book_of(values).indicators[name]
            for other in (*([str(int(said) + 1), str(int(said) - 1)] if str(said).isdigit() else ["B"]), "²"):
                place: Way = (*way, "indicator", name)
                made = put(values, place, other)
                beyond = other == "²" and bool(box.figures or box.characters or box.shows)
                held = beyond or (other != "²" and told_speed(values, way, box) == int(said))
                yield Mutant(f"{called(values, way)}: {other}", made, place, held)


@slip(GROUP, blind="neither an indicator nor points that it runs over from the toe say to which side it turns")
def turn_mistaken(values: Values) -> Iterator[Mutant]:
    """Let a turning route turn to the other side."""
    facing = faced(values)
    for way in routes(values):
        turns = at(values, way).get("turns")
        if turns in ACROSS:
            place = (*way, "turns")
            lit = str(at(values, way).get("indicator"))
            sided = any(box.positions.get(lit) == turns for box in book_of(values).indicators.values())
            held = sided or facing.get(way, set()) & set(ACROSS) == {turns}
            yield Mutant(called(values, way), put(values, place, ACROSS[turns]), place, held)


@slip(GROUP, blind="neither a route nor a display of the plan's own lights it, and the sequence has something else")
def carried_dropped(values: Values) -> Iterator[Mutant]:
    """Forget one of the indicators that a signal carries."""
    for name, signal in values["signals"].items():
        carried = (signal or {}).get("carries") or ()
        for key in range(len(carried)) if isinstance(carried, list) else carried:
            place: Way = ("signals", name, "carries")
            box = str(carried[key] if isinstance(carried, list) else key)
            lit = (str(route.get("indicator")) for route in inherited(values, name, "routes") or ())
            held = box in str(signal.get("shows")) or any(box in said for said in lit)
            yield Mutant(f"{name}: {key}", without(values, (*place, key)), place, held)


def needed(values: Values, way: Way) -> bool:
    """Tell whether the rulebook asks for the indicator of a route."""
    lit = at(values, way)["indicator"]
    name = lit if isinstance(lit, str) else next(iter(lit))
    book = book_of(values).indicators
    return any(bool(box.needed) for known, box in book.items() if name == known or name in box.positions)


def told_speed(values: Values, way: Way, box: Indicator) -> int | None:
    """Return the figure that tells the speed of a route; None if it has none."""
    said = at(values, way).get("speed")
    return int(quantity(said).amount / quantity(box.times).amount) if said and box.times else None


def faced(values: Values) -> dict[Way, set[str]]:
    """Return the sides to which points lead that a route runs over from the toe, by the place of the route."""
    layout = result_of(written(values)).layouts[0]
    pieces, found = track_of(layout).pieces, trails(layout)
    return {
        route.path: {
            layout.plan.points.get(name, {}).get(lie)
            for step in found.get(route.index, ())
            if pieces[step.piece].kind == POINTS and step.passage.come == 0
            for name, lie in step.passage.lies.items()
        }
        for route in bound_routes(layout)
    }
