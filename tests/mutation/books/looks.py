"""Slips in what aspects look like: rows of displays, patterns, lamps."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from mutation.books.places import book_slip, displays, lamps, leaves, order_of, patterns, rows, told
from mutation.plans import Mutant, at, put, without, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

COLOURS = {"red": "green", "green": "yellow", "yellow": "red", "white": "blue", "orange": "green", "lunar": "red"}


@book_slip("displays")
def rows_swapped(values: Values) -> Iterator[Mutant]:
    """Swap what two aspects show on a form."""
    for place in displays(values):
        shows = at(values, place)
        for one, other in combinations(shows, 2):
            made = put(values, place, {**shows, one: shows[other], other: shows[one]})
            yield Mutant(f"{told(place)}: {one} and {other}", made, place, held=False)


@book_slip("displays")
def row_of_neighbour(values: Values) -> Iterator[Mutant]:
    """Show for one aspect what another shows."""
    for place in displays(values):
        shows = at(values, place)
        for one, other in combinations(shows, 2):
            made = put(values, (*place, one), shows[other])
            yield Mutant(f"{told(place)}: {one} as {other}", made, (*place, one))


@book_slip("displays")
def row_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out what an aspect shows."""
    for place in rows(values):
        way = place[:-1] if place[2] == "also-read" else place
        yield Mutant(told(place), without(values, way), place[:2], held=False)


@book_slip("displays")
def state_mistaken(values: Values) -> Iterator[Mutant]:
    """Let flash in a display what is steady, and the other way."""
    for place in rows(values):
        shown = at(values, place)
        states = shown if isinstance(shown, dict) else {name: "lit" for name in words(shown) if shown != "dark"}
        for name, state in states.items():
            other = {"lit": "flash", "flash": "lit"}.get(state)
            other = other or (state.removeprefix("flash ") if state.startswith("flash ") else "")
            if other:
                yield Mutant(f"{told(place)}: {name}", put(values, place, {**states, name: other}), place, held=False)


@book_slip("displays")
def pattern_mistaken(values: Values) -> Iterator[Mutant]:
    """Write another letter into a pattern."""
    for place in patterns(values):
        said = words(at(values, place))
        for number, text in enumerate(said):
            new = text.translate(str.maketrans("RGY", "GYR"))
            if new != text:
                made = put(values, place, [*said[:number], new, *said[number + 1 :]])
                yield Mutant(f"{told(place)}: {text}", made, place, held=False)


@book_slip("displays")
def pattern_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out one of the patterns of an aspect."""
    for place in patterns(values):
        said = words(at(values, place))
        for number, text in enumerate(said if len(said) > 1 else ()):
            made = put(values, place, [*said[:number], *said[number + 1 :]])
            yield Mutant(f"{told(place)}: {text}", made, place, held=False)


@book_slip("lamps")
def lamp_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out a lamp. It is missed by name in a display of its form."""
    for place in lamps(values):
        shown = [text for _, value in leaves(values["forms"][place[1]].get("shows", {})) for text in [str(value)]]
        keys = {str(step) for way, _ in leaves(values["forms"][place[1]].get("shows", {})) for step in way}
        held = str(place[3]) in {*shown, *keys}
        yield Mutant(told(place), without(values, place), ("forms", place[1]), held)


@book_slip("lamps", blind="no other datum has the colour, unless a lamp then looks like another or a source is tested")
def lamp_of_other_colour(values: Values) -> Iterator[Mutant]:
    """Give a lamp another colour."""
    for place in lamps(values):
        said = at(values, place)
        way = (*place, "colour") if isinstance(said, dict) else place
        colour = said.get("colour") if isinstance(said, dict) else said
        if colour in COLOURS:
            yield Mutant(told(place), put(values, way, COLOURS[colour]), place, held=False)


@book_slip("lamps", blind="where a lamp sits its source says once")
def lamps_change_places(values: Values) -> Iterator[Mutant]:
    """Swap the places of two lamps of a form."""
    found = [place for place in lamps(values) if isinstance(at(values, place), dict) and "at" in at(values, place)]
    for one, other in combinations(found, 2):
        if one[:2] == other[:2]:
            made = put(put(values, (*one, "at"), at(values, other)["at"]), (*other, "at"), at(values, one)["at"])
            yield Mutant(f"{told(one)} and {other[3]}", made, one, held=False)


@book_slip("order")
def chain_turned(values: Values) -> Iterator[Mutant]:
    """Swap two neighbours in the order of restriction."""
    for number, chain in enumerate(order_of(values)):
        for first in range(len(chain) - 1):
            turned = [*chain[:first], chain[first + 1], chain[first], *chain[first + 2 :]]
            chains = [turned if index == number else one for index, one in enumerate(order_of(values))]
            yield Mutant(f"{number}: {chain[first]}", put(values, ("order",), chains), ("order",), held=False)


@book_slip("order")
def left_out_of_chain(values: Values) -> Iterator[Mutant]:
    """Leave an aspect out of a chain."""
    for number, chain in enumerate(order_of(values)):
        for aspect in chain if len(chain) > 2 else ():
            left = [
                [one for one in row if one != aspect] if index == number else row
                for index, row in enumerate(order_of(values))
            ]
            yield Mutant(f"{number}: {aspect}", put(values, ("order",), left), ("order",), held=False)


@book_slip("order")
def incomparable_dropped(values: Values) -> Iterator[Mutant]:
    """Forget that two aspects cannot be compared."""
    for number, said in enumerate(values.get("incomparable", ())):
        made = without(values, ("incomparable", number))
        yield Mutant(" and ".join(said["pair"]), made, ("order",), held=False)
