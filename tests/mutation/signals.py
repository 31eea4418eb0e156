"""Where things stand in a plan: its signals, routes, lamps, and what the rulebook says of a signal's form."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.rulebooks.displays import reader
from mutation.plans import at
from support import bundled

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Form
    from mutation.plans import Values, Way


def signals(values: Values) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every signal with what it says itself."""
    yield from ((name, signal or {}) for name, signal in values["signals"].items())


def routes(values: Values) -> list[Way]:
    """Return the places of all routes."""
    return [
        ("signals", name, "routes", number)
        for name, signal in signals(values)
        for number in range(len(signal.get("routes", ())))
    ]


def called(values: Values, way: Way) -> str:
    """Return what the plan calls a route."""
    return f"{way[1]} to {at(values, way)['to']}"


def is_main(values: Values, way: Way) -> bool:
    """Tell whether a route is a main one."""
    return "class" not in at(values, way)


def tracked(values: Values) -> bool:
    """Tell whether a plan gives its track, which says what routes can be."""
    return "track" in values


def inherited(values: Values, name: str, key: str) -> Any:
    """Return what a signal says, or the one that it is like."""
    said = values["signals"].get(name) or {}
    if key in said:
        return said[key]
    return inherited(values, said["like"], key) if "like" in said else None


def book_of(values: Values) -> Rulebook:
    """Return the rulebook of a plan."""
    return bundled(values["rulebook"])


def form_of(values: Values, name: str) -> Form | None:
    """Return the form of a signal; None if it does not say it."""
    return book_of(values).forms.get(str(inherited(values, name, "form")))


def able(values: Values, name: str) -> tuple[str, ...]:
    """Return the aspects that the form of a signal can give in the year of the plan."""
    from lampwright.years import Years

    form = str(inherited(values, name, "form"))
    return reader(book_of(values), form, Years.parse(str(values["year"]))).gives if form_of(values, name) else ()


def lamps(values: Values) -> Iterator[tuple[str, Way, str, str]]:
    """Yield every lamp that hangs on an output: its signal, the place of the output, its colour or name, the output."""
    for name, signal in signals(values):
        said = signal.get("lamps") or {}
        for key, lamp in enumerate(said) if isinstance(said, list) else said.items():
            ways = lamp.items() if isinstance(said, list) and isinstance(lamp, dict) else [(str(key), lamp)]
            for colour, wired in ways:
                way: Way = ("signals", name, "lamps", key, *([colour] if isinstance(said, list) else []))
                output = wired.get("output") if isinstance(wired, dict) else wired
                place = (*way, "output") if isinstance(wired, dict) else way
                if "." in str(output):
                    yield name, place, colour, str(output)


def colour_of(lamp: Any) -> str:
    """Return the colour of a lamp in a list."""
    return next(iter(lamp)) if isinstance(lamp, dict) else str(lamp)
