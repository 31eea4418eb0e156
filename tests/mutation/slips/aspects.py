"""Slips in what signals show, give, and are taken to show beyond the edge."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from mutation.plans import Mutant, near, put, renamed, slip, without, words
from mutation.signals import able, book_of, form_of, inherited, signals

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

GROUP = "aspects"


@slip(GROUP)
def display_of_neighbour(values: Values) -> Iterator[Mutant]:
    """Show for one aspect what belongs to another: one step freer, or stricter."""
    for name, signal in signals(values):
        for one, other in combinations(signal.get("shows", {}), 2):
            for aspect, shown in ((one, other), (other, one)):
                place = ("signals", name, "shows", aspect)
                yield Mutant(f"{name}: {aspect} as {shown}", put(values, place, signal["shows"][shown]), place)


@slip(GROUP)
def displays_swapped(values: Values) -> Iterator[Mutant]:
    """Swap what two aspects show."""
    for name, signal in signals(values):
        for one, other in combinations(signal.get("shows", {}), 2):
            shows = {**signal["shows"], one: signal["shows"][other], other: signal["shows"][one]}
            place = ("signals", name, "shows")
            yield Mutant(f"{name}: {one} and {other}", put(values, place, shows), place)


@slip(GROUP, blind="its form may do without this aspect, and nothing asks for it")
def display_dropped(values: Values) -> Iterator[Mutant]:
    """Take an aspect out of what a signal shows."""
    for name, signal in signals(values):
        form = form_of(values, name)
        for aspect in signal.get("shows", {}):
            place = ("signals", name, "shows")
            held = form is None or aspect not in form.optional or aspect in words(signal.get("gives", []))
            yield Mutant(f"{name}: {aspect}", without(values, (*place, aspect)), place, held)


@slip(GROUP)
def display_misspelt(values: Values) -> Iterator[Mutant]:
    """Misspell an aspect where a signal shows it."""
    for name, signal in signals(values):
        for aspect in signal.get("shows", {}):
            miss = near(aspect, book_of(values).aspects)
            place = ("signals", name, "shows")
            yield Mutant(f"{name}: {miss}", renamed(values, (*place, aspect), miss), place)


@slip(GROUP, blind="the plan alone says which of its form's aspects a signal gives, unless it is asked for this one")
def gives_dropped(values: Values) -> Iterator[Mutant]:
    """Take an aspect out of what a signal is said to give."""
    for name, signal in signals(values):
        for number, aspect in enumerate(words(signal.get("gives", []))):
            place = ("signals", name, "gives")
            form = form_of(values, name)
            held = aspect in (form.rest, form.failsafe) if form else False
            yield Mutant(f"{name}: {aspect}", without(values, (*place, number)), place, held)


@slip(GROUP, blind="the plan alone says which of its form's aspects a signal gives")
def gives_added(values: Values) -> Iterator[Mutant]:
    """Put an aspect more into what a signal is said to give: one of its form, and one that this cannot give."""
    for name in values["signals"]:
        given = words(inherited(values, name, "gives") or [])
        own = (values["signals"][name] or {}).get("gives")
        beyond = [aspect for aspect in book_of(values).aspects if aspect not in able(values, name)]
        more = [aspect for aspect in able(values, name) if aspect not in given]
        for aspect in (*more[:1], *beyond[:1]) if own else ():
            made = put(values, ("signals", name, "gives"), [*given, aspect])
            yield Mutant(f"{name}: {aspect}", made, ("signals", name, "gives"), held=aspect in beyond)


@slip(GROUP, blind="what stands beyond the edge only the plan says")
def assumed_dropped(values: Values) -> Iterator[Mutant]:
    """Take an aspect out of what is assumed beyond the edge."""
    for name, said in values.get("ends", {}).items():
        for number, aspect in enumerate(words(said.get("assume", []))):
            place = ("ends", name, "assume")
            yield Mutant(f"{name}: {aspect}", without(values, (*place, number)), place, held=False)
