"""Slips in the track: legs of points, neighbours of sections, signals beside it."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from mutation.plans import Mutant, at, put, slip, without, words
from mutation.signals import routes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

GROUP = "track"


@slip(GROUP, blind="no two routes over these points say how they lie")
def legs_swapped(values: Values) -> Iterator[Mutant]:
    """Swap two legs of points in the track."""
    for name, said in values.get("track", {}).items():
        named = [way for way in routes(values) if name in at(values, way).get("points", {})]
        for one, other in combinations(("toe", "normal", "reverse"), 2) if "toe" in said else ():
            made = put(values, ("track", name), {**said, one: said[other], other: said[one]})
            yield Mutant(f"{name}: {one} and {other}", made, ("track", name), held=len(named) > 1)


@slip(GROUP)
def neighbour_wrong(values: Values) -> Iterator[Mutant]:
    """Let a section lead on to another piece than the one that leads back to it."""
    for name, said in values.get("track", {}).items():
        for number, neighbour in enumerate(words(said["next"])) if "next" in said else ():
            other = next(piece for piece in values["track"] if piece not in (name, neighbour, *words(said["next"])))
            if neighbour in values["track"] and neighbour not in said.get("signals", {}).values():
                row = words(said["next"])
                made = put(values, ("track", name, "next"), [*row[:number], other, *row[number + 1 :]])
                yield Mutant(f"{name}: {other} for {neighbour}", made, ("track", name, "next"))


@slip(GROUP)
def signal_turned(values: Values) -> Iterator[Mutant]:
    """Let a signal in the track look the other way."""
    for name, said in values.get("track", {}).items():
        for signal, ahead in said.get("signals", {}).items():
            for other in words(said["next"]):
                place = ("track", name, "signals", signal)
                if other != str(ahead):
                    yield Mutant(f"{signal}: {other}", put(values, place, other), place)


@slip(GROUP, blind="a repeater may stand anywhere before its signal")
def signal_off_track(values: Values) -> Iterator[Mutant]:
    """Leave a signal out of the track."""
    for name, said in values.get("track", {}).items():
        for signal in said.get("signals", {}):
            made = without(values, ("track", name, "signals", signal))
            held = bool(values["signals"][signal].get("routes"))
            yield Mutant(signal, made, ("signals", signal), held)


@slip(GROUP)
def piece_dropped(values: Values) -> Iterator[Mutant]:
    """Leave a piece out of the track."""
    for name in values.get("track", {}):
        yield Mutant(name, without(values, ("track", name)), ("track",))
