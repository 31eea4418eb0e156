"""Slips in what a route runs over: its points and sections."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mutation.plans import Mutant, at, put, slip, spread, without, words
from mutation.signals import called, routes, tracked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

OTHER = {"normal": "reverse", "reverse": "normal"}
NO_TRACK = "without a track nothing says where the route runs"


@slip("points", blind=NO_TRACK)
def lie_flipped(values: Values) -> Iterator[Mutant]:
    """Let points of a route lie the other way."""
    for way in routes(values):
        for name, lie in at(values, way).get("points", {}).items():
            place = (*way, "points", name)
            made = put(values, place, OTHER[lie])
            yield Mutant(f"{called(values, way)}: {name}", made, place, held=tracked(values))


@slip("points", blind=f"{NO_TRACK}; with one, a route that says no points gets them from it")
def points_dropped(values: Values) -> Iterator[Mutant]:
    """Take points out of a route."""
    for way in routes(values):
        said = at(values, way).get("points", {})
        for name in said:
            mutant = without(values, (*way, "points", name) if len(said) > 1 else (*way, "points"))
            held = tracked(values) and len(said) > 1
            yield Mutant(f"{called(values, way)}: {name}", mutant, way if len(said) == 1 else (*way, "points"), held)


@slip("points", blind=NO_TRACK)
def points_added(values: Values) -> Iterator[Mutant]:
    """Name points in a route that it does not run over: the first and the last there are."""
    known = list(dict.fromkeys(name for way in routes(values) for name in at(values, way).get("points", {})))
    for way in routes(values):
        mine = at(values, way).get("points")
        for name in ends([name for name in values.get("points", known) if mine and name not in mine]):
            place = (*way, "points", name)
            made = put(values, place, "normal")
            yield Mutant(f"{called(values, way)}: {name}", made, place, held=tracked(values))


@slip("sections", blind=f"{NO_TRACK}; with one, a route that says no sections gets them from it")
def section_dropped(values: Values) -> Iterator[Mutant]:
    """Take a section out of a route."""
    for way in routes(values):
        over = words(at(values, way).get("over", []))
        for number, name in enumerate(over):
            left = [*over[:number], *over[number + 1 :]]
            made = put(values, (*way, "over"), left) if left else without(values, (*way, "over"))
            held = tracked(values) and bool(left)
            yield Mutant(f"{called(values, way)}: {name}", made, (*way, "over") if left else way, held)


@slip("sections", blind=NO_TRACK)
def section_added(values: Values) -> Iterator[Mutant]:
    """Name a section in a route that it does not run over: the first and the last there are."""
    for way in routes(values):
        over = words(at(values, way).get("over", []))
        for name in ends([name for name in values.get("sections", {}) if over and name not in over]):
            made = put(values, (*way, "over"), [*over, name])
            yield Mutant(f"{called(values, way)}: {name}", made, (*way, "over"), held=tracked(values))


@slip("sections", blind=NO_TRACK)
def section_of_sister_leg(values: Values) -> Iterator[Mutant]:
    """Name, instead of a section of a route, one of another route of the same signal."""
    for way in routes(values):
        over = words(at(values, way).get("over", []))
        for other in routes(values):
            theirs = words(at(values, other).get("over", []))
            mine, its = [s for s in over if s not in theirs], [s for s in theirs if s not in over]
            if other[:2] == way[:2] and other != way and mine and its:
                made = put(values, (*way, "over"), [its[-1] if name == mine[-1] else name for name in over])
                yield Mutant(f"{called(values, way)}: {its[-1]}", made, (*way, "over"), held=tracked(values))


@slip("sections", blind=NO_TRACK)
def sections_out_of_order(values: Values) -> Iterator[Mutant]:
    """Name the first two sections of a route in the wrong order."""
    for way in routes(values):
        over = words(at(values, way).get("over", []))
        if len(over) > 1:
            made = put(values, (*way, "over"), [over[1], over[0], *over[2:]])
            yield Mutant(called(values, way), made, (*way, "over"), held=tracked(values))


def ends(found: list[str]) -> list[str]:
    """Return the first and the last."""
    return spread(found, 2) if len(found) < 2 else [found[0], found[-1]]
