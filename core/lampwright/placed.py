"""Which lamp of its form each lamp of a signal is, as far as the plan tells."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.layout import full_name

if TYPE_CHECKING:
    from lampwright.layout import BoundSignal
    from lampwright.plans import BuiltLamp
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.model import Lamp


class Placed(Struct, frozen=True):
    """A lamp as built, with its names in the form and its colour.

    ``names`` are several where parts of the form share one lamp, and none where it cannot be told which it is.
    ``colour`` is empty for a lamp of several colours that is not told by colours. ``many`` tells whether the form's
    lamp can show several, so that a display says which.
    """

    built: BuiltLamp
    names: tuple[str, ...] = ()
    colour: str = ""
    many: bool = False


def placed(signal: BoundSignal) -> tuple[Placed, ...]:
    """Return the lamps of a signal in the order in which the plan tells them; none if it tells none."""
    built, form = signal.entry.lamps or (), signal.reader
    if form is None:
        return tuple(Placed(lamp, (lamp.name,) if lamp.name else (), lamp.colour) for lamp in built)
    if not signal.entry.listed:
        return tuple(_by_name(form, lamp) for lamp in built)
    blanked = {name for lamp in signal.entry.blanked if (name := full_name(form, lamp))}
    free = [(name, colour) for name, colour in places(form) if name not in blanked]
    return tuple(_of_list(form, lamp, free) for lamp in built)


def places(form: FormReader) -> list[tuple[str, str]]:
    """Return the lamps of a form by name and colour, from the top down if it is one column; a shared one once."""
    down = form.column
    if down is not None:
        return list(down)
    again = {name for group in form.form.shared for name in group[1:]}
    return [(name, colour) for name in form.lamps if name not in again for colour in lamp_of(form, name).colours]


def lamp_of(form: FormReader, name: str) -> Lamp:
    """Return the rulebook's record of a lamp, a part's included; raises KeyError if there is none."""
    if form.parts:
        part, _, rest = name.partition(".")
        return lamp_of(form.parts[part], rest)
    return form.anatomy.lamps[name]


def shared(form: FormReader, name: str) -> tuple[str, ...]:
    """Return all names of a lamp: parts of a form may share one."""
    return next((group for group in form.form.shared if name in group), (name,))


def _by_name(form: FormReader, lamp: BuiltLamp) -> Placed:
    """Place a lamp that the plan names: ``red``, ``main.red``, ``lens`` with a colour, ``top`` with that of a face."""
    name = full_name(form, f"{lamp.name}.{lamp.colour}") if lamp.colour else ""
    name = name or full_name(form, lamp.name)
    if name not in form.lamps:
        return Placed(lamp, (), lamp.colour)
    colours = lamp_of(form, name).colours
    colour = lamp.colour or (colours[0] if len(colours) == 1 else "")
    return Placed(lamp, shared(form, name), colour, many=len(colours) > 1)


def _of_list(form: FormReader, lamp: BuiltLamp, free: list[tuple[str, str]]) -> Placed:
    """Place a lamp of a list: the first place of its colour that is still free."""
    place = _taken(free, lamp.colour)
    if place is None:
        return Placed(lamp, (), lamp.colour)
    return Placed(lamp, shared(form, place), lamp.colour, many=len(lamp_of(form, place).colours) > 1)


def _taken(free: list[tuple[str, str]], colour: str) -> str | None:
    """Take a place of a colour out of those that are free."""
    found = next((place for place in free if place[1] == colour), None)
    if found is None:
        return None
    free.remove(found)
    return found[0]
