"""Slips in what aspects say, in boxes and posts, and in what answers a fault."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from mutation.books.places import book_slip, freer, leaves, things, told
from mutation.plans import Mutant, at, put, without, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values, Way

SAYS = {"stop": "proceed", "proceed": "stop", "shunt": "proceed", "none": "proceed", "next": "second", "second": "next"}
SIDES = {"left": "right", "right": "left"}


@book_slip("meanings", blind="what an aspect means its source says once, unless the sequence tells")
def meaning_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out one thing that an aspect says."""
    for name, aspect in things(values, "aspects"):
        for key in aspect.get("says", {}):
            place: Way = ("aspects", name, "says")
            yield Mutant(f"{name}: {key}", without(values, (*place, key)), ("aspects", name), held=False)


@book_slip("meanings", blind="what an aspect means its source says once, unless the sequence tells")
def meaning_mistaken(values: Values) -> Iterator[Mutant]:
    """Let an aspect say another authority, another signal, another aspect or another speed."""
    for name, aspect in things(values, "aspects"):
        for way, value in leaves(aspect.get("says", {})):
            figure = str(value).split()
            scaled = f"{Decimal(figure[0]) + 10} {figure[1]}" if len(figure) == 2 and figure[0].isdigit() else None
            new = scaled or SAYS.get(str(value)) or freer(values).get(str(value))
            if new:
                place: Way = ("aspects", name, "says", *way)
                yield Mutant(f"{told(place)}: {new}", put(values, place, new), ("aspects", name), held=False)


@book_slip("boxes", blind="what a box shows its source says once")
def box_datum_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out what is said of an indicator: when it is needed, with what it stands, what is confusable."""
    for name, box in things(values, "indicators"):
        for key in ("needed", "stands-with", "confusable", "proved", "times", "figures", "characters", "positions"):
            if key in box:
                made = without(values, ("indicators", name, key))
                yield Mutant(f"{name}: {key}", made, ("indicators", name), held=False)


@book_slip("boxes", blind="what a box shows its source says once")
def position_to_other_side(values: Values) -> Iterator[Mutant]:
    """Let a position of an indicator stand for a turn to the other side."""
    for name, box in things(values, "indicators"):
        for position, side in box.get("positions", {}).items():
            if side in SIDES:
                place: Way = ("indicators", name, "positions", position)
                yield Mutant(f"{name}: {position}", put(values, place, SIDES[side]), place, held=False)


@book_slip("boxes")
def box_forgotten(values: Values) -> Iterator[Mutant]:
    """Forget that a form may carry an indicator or a plate."""
    for name, form in things(values, "forms"):
        for key in ("indicators", "plates"):
            said = words(form[key]) if key in form else []
            for number, box in enumerate(said):
                left = [*said[:number], *said[number + 1 :]]
                made = put(values, ("forms", name, key), left) if left else without(values, ("forms", name, key))
                yield Mutant(f"{name}: {box}", made, ("forms", name), held=False)


@book_slip("faults")
def answer_dropped(values: Values) -> Iterator[Mutant]:
    """Forget what answers a fault."""
    for name, form in things(values, "forms"):
        for number, _ in enumerate(form.get("faults", ())):
            made = without(values, ("forms", name, "faults", number))
            yield Mutant(f"{name}: {number}", made, ("forms", name), held=False)


@book_slip("faults")
def doubt_resolved_freely(values: Values) -> Iterator[Mutant]:
    """Let a form be read, in doubt or at rest, as an aspect one step freer, or as nothing that is said."""
    for name, form in things(values, "forms"):
        for key in ("in-doubt", "rest", "failsafe"):
            said = form.get(key)
            place: Way = ("forms", name, key)
            if isinstance(said, str) and said in freer(values):
                yield Mutant(f"{name}: {key}", put(values, place, freer(values)[said]), place, held=False)


@book_slip("faults")
def coupling_dropped(values: Values) -> Iterator[Mutant]:
    """Forget that one part or lamp of a post forces another."""
    for name, form in things(values, "forms"):
        for number, _ in enumerate(form.get("coupling", ())):
            made = without(values, ("forms", name, "coupling", number))
            yield Mutant(f"{name}: {number}", made, ("forms", name), held=False)


@book_slip("forms", blind="what a form must be able to show its source says once")
def optional_forgotten(values: Values) -> Iterator[Mutant]:
    """Forget that a form may do without an aspect, or that it gives one."""
    for name, form in things(values, "forms"):
        for key in ("optional", "gives"):
            said = words(form[key]) if key in form else []
            for number, aspect in enumerate(said):
                left = [*said[:number], *said[number + 1 :]]
                made = put(values, ("forms", name, key), left) if left else without(values, ("forms", name, key))
                yield Mutant(f"{name}: {key} {aspect}", made, ("forms", name), held=False)


@book_slip("forms")
def role_mistaken(values: Values) -> Iterator[Mutant]:
    """Give a form another role."""
    others = {"stop": "distant", "distant": "stop", "shunt": "stop", "repeater": "distant", "subsidiary": "stop"}
    for name, form in things(values, "forms"):
        if isinstance(form.get("role"), str) and form["role"] in others:
            place: Way = ("forms", name, "role")
            yield Mutant(name, put(values, place, others[at(values, place)]), place, held=False)
