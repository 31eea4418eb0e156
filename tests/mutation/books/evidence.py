"""Slips in names, years, sources and figures of a rulebook."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from mutation.books.places import book_slip, leaves, told
from mutation.plans import Mutant, at, near, put, renamed, without

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values, Way

DATED = ("years", "fitted")
BASES = {"verified": "memory", "secondary": "verified", "memory": "verified", "common-practice": "verified"}
TEXTS = {
    "title",
    "note",
    "name",
    "code",
    "because",
    "accepted",
    "publisher",
    "issue",
    "date",
    "alternative-names",
    "id",
    "class",
}
"""Keys behind which no name of something that is defined is written."""
FREE = {"notation", "speeds", "states", "eras", "colours", "parameters", "lamps", "heads", "parts", "faces", "marks"}
"""Maps whose keys are names that are made here."""
NAMED = ("aspects", "forms", "indicators", "plates", "sources")


@book_slip("names")
def name_to_nowhere(values: Values) -> Iterator[Mutant]:
    """Name an aspect, form, indicator, plate or source that is not there."""
    yield from _misnamed(values, lambda _: "qx99")


@book_slip("names")
def near_miss_name(values: Values) -> Iterator[Mutant]:
    """Misspell an aspect, form, indicator, plate or source by a letter."""
    yield from _misnamed(values, lambda name: near(name, ()))


@book_slip("names")
def thing_renamed(values: Values) -> Iterator[Mutant]:
    """Misspell a name where it is defined, if something names it."""
    used = {str(value).split()[0] for _, value in leaves(values) if str(value)}
    used |= {str(step) for way, _ in leaves(values) for step in way[2:]}
    for kind in NAMED:
        for name in values.get(kind, {}):
            if name in used:
                yield Mutant(f"{kind} {name}", renamed(values, (kind, name), near(name, values[kind])), ())


@book_slip("years", blind="when a thing was in use its source says once")
def years_moved(values: Values) -> Iterator[Mutant]:
    """Begin or end a time ten years later, or earlier."""
    for way, value in leaves(values):
        if way[-1] in DATED and re.search(r"\d{4}", str(value)):
            for by in (10, -10):
                new = re.sub(r"\d{4}", lambda found, by=by: str(int(found[0]) + by), str(value))  # type: ignore[misc]
                yield Mutant(f"{told(way)}: {new}", put(values, way, new), way, held=False)


@book_slip("years", blind="when a thing was in use its source says once")
def years_turned(values: Values) -> Iterator[Mutant]:
    """Let a time end in the year in which it begins, and begin in that in which it ends."""
    for way, value in leaves(values):
        first, dots, last = str(value).partition("..")
        if way[-1] in DATED and dots:
            new = f"{last}..{first}"
            yield Mutant(f"{told(way)}: {new}", put(values, way, new), way, held=bool(first and last))


@book_slip("years", blind="when a thing was in use its source says once")
def years_dropped(values: Values) -> Iterator[Mutant]:
    """Forget a time."""
    for way, _ in leaves(values):
        if way[-1] in DATED:
            yield Mutant(told(way), without(values, way), way[:-1], held=False)


@book_slip("sources", blind="only who opens the source can tell")
def source_dropped(values: Values) -> Iterator[Mutant]:
    """Forget where a datum comes from."""
    for way, value in leaves(values):
        if way[0] != "sources" and "source" in way and len(way) > 1:
            place = way[: way.index("source") + 1]
            if at(values, place) == value:
                yield Mutant(told(place), without(values, place), place[:-1], held=False)


@book_slip("sources", blind="only who opens the source can tell")
def source_mistaken(values: Values) -> Iterator[Mutant]:
    """Name another source of the list."""
    known = list(values.get("sources", {}))
    for way, value in leaves(values):
        name, _, rest = str(value).partition(" ")
        if way[0] != "sources" and name in known and len(known) > 1:
            other = known[known.index(name) - 1]
            yield Mutant(f"{told(way)}: {other}", put(values, way, f"{other} {rest}".strip()), way, held=False)


@book_slip("sources", blind="only who opens the source can tell")
def basis_mistaken(values: Values) -> Iterator[Mutant]:
    """Claim that a source is better known than it is, or less."""
    for name, source in values.get("sources", {}).items():
        if source.get("basis") in BASES:
            place: Way = ("sources", name, "basis")
            yield Mutant(name, put(values, place, BASES[source["basis"]]), place, held=False)


@book_slip("figures", blind="a figure its source says once")
def figure_times_ten(values: Values) -> Iterator[Mutant]:
    """Write ten times as much for a figure with a unit: of speeds, parameters, states."""
    for way, value in leaves(values):
        found = re.fullmatch(r"(\d+)( [a-z/%]+.*)", str(value))
        if found and way[0] not in {"sources", "aspects"} and not TEXTS.intersection(map(str, way)):
            yield Mutant(told(way), put(values, way, f"{int(found[1]) * 10}{found[2]}"), way, held=False)


def _misnamed(values: Values, wrong: Any) -> Iterator[Mutant]:
    """Yield every place that names something, with another name."""
    known = {name for kind in NAMED for name in values.get(kind, {})}
    for way, value in leaves(values):
        keys = {str(step) for step in way[:-1]}
        name = str(value).split(" ")[0]
        if name in known and way[-1] not in TEXTS and not (FREE | TEXTS).intersection(keys):
            new = f"{wrong(name)}{str(value)[len(name) :]}"
            yield Mutant(f"{told(way)}: {new}", put(values, way, new), way)
