"""What is lit for an aspect, as colours and places: the words in which rule books describe displays."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.rulebooks.anatomy import LIT
from lampwright.rulebooks.displays import FormReader, reader
from lampwright.rulebooks.sequence import step
from lampwright.years import Years

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook

Place = tuple[Any, Any]


def form(book: Rulebook, name: str, year: int = 0) -> FormReader:
    """Return what reads a form, in a year or in any."""
    return reader(book, name, Years(year, year) if year else None)


def lit(book: Rulebook, name: str, aspect: str) -> list[str]:
    """Return what is lit for an aspect, as ``green`` or ``flash green``, sorted; boxes and plates are no lamps."""
    signal = form(book, name)
    (display,) = signal.displays(aspect)
    lamps = {lamp: state for lamp, state in display.items() if lamp in signal.lamps}
    return sorted(f"{'' if state == LIT else f'{state} '}{_colour(signal, lamp)}" for lamp, state in lamps.items())


def places(book: Rulebook, name: str, aspect: str) -> list[tuple[str, Place]]:
    """Return colour and place of every light of an aspect, the lowest first, from left to right."""
    signal = form(book, name)
    (display,) = signal.displays(aspect)
    found = [(_colour(signal, lamp), at) for lamp in display if lamp in signal.lamps for at in signal.at(lamp)]
    return sorted(found, key=lambda item: (item[1][1], item[1][0]))


def rises(lights: list[tuple[str, Place]]) -> bool:
    """Tell whether of two lights the lower one is on the left."""
    (_, lower), (_, upper) = lights
    return bool(lower[0] < upper[0] and lower[1] < upper[1])


def is_level(lights: list[tuple[str, Place]]) -> bool:
    """Tell whether all lights are at one height, side by side."""
    return len({at[1] for _, at in lights}) == 1 and len({at[0] for _, at in lights}) == len(lights)


def is_upright(lights: list[tuple[str, Place]]) -> bool:
    """Tell whether all lights stand one above the other."""
    return len({at[0] for _, at in lights}) == 1 and len({at[1] for _, at in lights}) == len(lights)


def must(book: Rulebook, name: str, ahead: str, **facts: Any) -> str:
    """Return the aspect that must stand at a form while the next signal shows ``ahead``; empty if it can give none."""
    signal = form(book, name)
    route = {"class": "main", "speed": "line", "turns": "straight", **facts.pop("route", {})}
    known = {"next": ahead, "route": route, "next-route": {"speed": "line"}, "mode": "controlled", **facts}
    return step(book, signal.form.roles[0], signal.gives, known, None).must


def _colour(signal: FormReader, lamp: str) -> str:
    """Return the colour of a lamp that has one."""
    part, dot, inner = lamp.partition(".")
    return _colour(signal.parts[part], inner) if dot else signal.anatomy.lamps[lamp].colours[0]
