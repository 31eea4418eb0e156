"""Slips in what guards a route: overlaps and flank protection. Declared conflicts that rest on them contradict them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.working.conflicts import conflicts
from mutation.plans import Mutant, at, put, slip, without, written
from mutation.signals import called, routes, tracked
from mutation.slips.ways import NO_TRACK, OTHER
from support import result_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

GROUP = "overlap, flank"
NO_TABLE = "only a declared conflict that rests on it alone tells that it is there"


@slip(GROUP, blind=NO_TABLE)
def overlap_dropped(values: Values) -> Iterator[Mutant]:
    """Take an overlap out."""
    for way in routes(values):
        if "overlap" in at(values, way):
            made = without(values, (*way, "overlap"))
            held = conflicting(made) != conflicting(values)
            yield Mutant(called(values, way), made, ("conflicts",) if held else way, held)


@slip(GROUP, blind=NO_TABLE)
def flank_dropped(values: Values) -> Iterator[Mutant]:
    """Take flank protection out, where another route over the points that guard it does keep those of this one."""
    for way in routes(values):
        route = at(values, way)
        if "flank" in route:
            kept = route["flank"].get("points", {})
            others = [at(values, other) for other in routes(values)]
            mutual = any(
                set(other.get("flank", {}).get("points", {})) & set(route.get("points", {}))
                and set(other.get("points", {})) & set(kept)
                for other in others
            )
            yield Mutant(called(values, way), without(values, (*way, "flank")), way, held=mutual)


@slip(GROUP, blind=NO_TRACK)
def flank_inverted(values: Values) -> Iterator[Mutant]:
    """Keep points at the flank the other way."""
    for way in routes(values):
        for name, lie in at(values, way).get("flank", {}).get("points", {}).items():
            place = (*way, "flank", "points", name)
            yield Mutant(called(values, way), put(values, place, OTHER[lie]), place, held=tracked(values))


def conflicting(values: Values) -> set[tuple[str, str]]:
    """Return the pairs of routes that exclude each other without being declared; none where none are declared."""
    if "conflicts" not in values:
        return set()
    layout = result_of(written({key: said for key, said in values.items() if key != "conflicts"})).layouts[0]
    return {(str(one), str(other)) for one, other in conflicts(layout).pairs()}
