"""Slips in what a plan is about: its year, its rulebook, the forms of its signals, their plates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.rulebooks.displays import reader
from lampwright.years import Years
from mutation.plans import Mutant, near, put, slip, spread, without, words
from mutation.signals import book_of, colour_of, inherited, signals
from support import library

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

GROUP = "identity"


@slip(GROUP, blind="everything in the plan was in use in that year as well")
def year_mistaken(values: Values) -> Iterator[Mutant]:
    """Set the plan before its rulebook, its forms and its indicators, or far beyond them."""
    book = book_of(values)
    first = book.years.first
    years = [first - 1, first - 40, first + 200] if first else []
    for year in (*years, int(str(values["year"])) - 100, int(str(values["year"])) + 20):
        inside = book.years.covers(Years.parse(str(year)))
        yield Mutant(str(year), put(values, ("year",), year), ("year",), held=not inside)


@slip(GROUP)
def rulebook_misspelt(values: Values) -> Iterator[Mutant]:
    """Follow a rulebook that is not there."""
    name = values["rulebook"]
    for wrong in (near(name, ()), name[:2]):
        yield Mutant(wrong, put(values, ("rulebook",), wrong), ("rulebook",))


@slip(GROUP)
def rulebook_of_another_railway(values: Values) -> Iterator[Mutant]:
    """Follow the rulebook of another railway."""
    for other in [name for name in library().ids if name != values["rulebook"]][::3]:
        known = set(library().get(other).forms)  # type: ignore[union-attr]  # it is one of the library's
        held = any(str(inherited(values, name, "form")) not in known for name in values["signals"])
        yield Mutant(other, put(values, ("rulebook",), other), ("rulebook",), held)


@slip(GROUP)
def form_misspelt(values: Values) -> Iterator[Mutant]:
    """Give a signal a form that is not there."""
    for name, signal in signals(values):
        if "form" in signal:
            place = ("signals", name, "form")
            yield Mutant(name, put(values, place, near(signal["form"], book_of(values).forms)), place)


@slip(GROUP, blind="nothing is said of the signal's lamps that this form does not have, and it can give what is asked")
def form_changed(values: Values) -> Iterator[Mutant]:
    """Give a signal another form of its rulebook."""
    for name, signal in signals(values):
        others = [one for one in book_of(values).forms if one != signal.get("form")]
        for other in spread(others, 4) if "form" in signal else ():
            held = "lamps" in signal and fitted(values, other) != fitted(values, signal["form"], signal)
            made = put(values, ("signals", name, "form"), other)
            yield Mutant(f"{name}: {other}", made, ("signals", name), held)


@slip(GROUP)
def plate_misspelt(values: Values) -> Iterator[Mutant]:
    """Misspell a plate."""
    for name, signal in signals(values):
        for number, plate in enumerate(words(signal.get("plates", []))):
            place = ("signals", name, "plates", number)
            yield Mutant(f"{name}: {plate}", put(values, place, near(plate, book_of(values).plates)), place)


@slip(GROUP, blind="a plan need not say the plates of a signal, and the plate decides nothing that it shows")
def plate_dropped(values: Values) -> Iterator[Mutant]:
    """Forget a plate."""
    for name, signal in signals(values):
        for number, plate in enumerate(words(signal.get("plates", []))):
            made = without(values, ("signals", name, "plates", number))
            yield Mutant(f"{name}: {plate}", made, ("signals", name, "plates"), held=False)


def fitted(values: Values, form: str, signal: dict[str, object] | None = None) -> list[str]:
    """Return the colours of a form's lamps from the top down, as a list of lamps has them."""
    anatomy = reader(book_of(values), form).anatomy
    told = (signal or {}).get("lamps")
    if isinstance(told, list):
        return [colour_of(lamp) for lamp in told]
    return [colour for lamp in anatomy.lamps.values() for colour in lamp.colours]
