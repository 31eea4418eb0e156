"""The lamps of a signal as built, compared with those of its form; one slip shows in one respect only."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.layout import full_name
from lampwright_signals.saying import blanked

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lampwright.layout import BoundSignal
    from lampwright.plans import BuiltLamp
    from lampwright.rulebooks.displays import FormReader

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


class Place(Struct, frozen=True):
    """A lamp place of a form: the lamp's full name and one of its colours."""

    lamp: str
    colour: str


class Compared(Struct, frozen=True):
    """How lamps as built differ from the form's; at most one of the four is not empty.

    ``missing`` are places without a lamp (several alike if it cannot be told which), ``surplus`` lamps without a
    place, ``wrong`` lamps with the place they stand in, ``order`` the form's column from the top if only that differs.
    """

    missing: tuple[Place, ...] = ()
    surplus: tuple[BuiltLamp, ...] = ()
    wrong: tuple[tuple[BuiltLamp, Place], ...] = ()
    order: tuple[Place, ...] = ()


SAME = Compared()


def compared(signal: BoundSignal) -> Compared:
    """Compare the lamps as built with the form's; worked out once."""
    if "built" not in signal.cache:
        signal.cache["built"] = _compared(signal)
    known: Compared = signal.cache["built"]
    return known


def unknown(signal: BoundSignal) -> list[BuiltLamp]:
    """Return the lamps built under a name that the form does not have."""
    form = signal.reader
    if form is None or signal.entry.listed:
        return []
    return [lamp for lamp in signal.entry.lamps or () if not _lamp(form, lamp)]


def places(form: FormReader) -> list[Place]:
    """Return every lamp place of a form, one for each colour it can show; a lamp shared by parts only once."""
    if not form.parts:
        return [Place(name, colour) for name, lamp in form.anatomy.lamps.items() for colour in lamp.colours]
    again = {name for group in form.form.shared for name in group[1:]}
    inner = [Place(f"{part}.{item.lamp}", item.colour) for part, one in form.parts.items() for item in places(one)]
    return [place for place in inner if place.lamp not in again]


def ordinal(number: int) -> str:
    """Return ``first`` for 1."""
    return ORDINALS[number - 1] if number <= len(ORDINALS) else f"{number}th"


def _compared(signal: BoundSignal) -> Compared:
    """Compare in the way the plan tells the lamps: from the top down, or by name."""
    form, built = signal.reader, signal.entry.lamps
    if form is None or built is None:
        return SAME
    plated = blanked(signal)
    if not signal.entry.listed:
        return _by_name(form, built, plated)
    down = form.column
    wanted = [Place(*item) for item in down] if down is not None else places(form)
    with_plated = _from_the_top(wanted, built, ordered=down is not None)
    if not plated or with_plated == SAME:
        return with_plated
    return _from_the_top([item for item in wanted if item.lamp not in plated], built, ordered=down is not None)


def _from_the_top(wanted: Sequence[Place], built: Sequence[BuiltLamp], *, ordered: bool) -> Compared:
    """Compare a list of colours with the form's places: their number, then colours, then order."""
    if [lamp.colour for lamp in built] == [place.colour for place in wanted]:
        return SAME
    here, there = Counter(lamp.colour for lamp in built), Counter(place.colour for place in wanted)
    if here == there:
        return Compared(order=tuple(wanted)) if ordered else SAME
    if len(built) < len(wanted):
        return Compared(missing=_without(wanted, built, there - here, ordered=ordered))
    if len(built) > len(wanted):
        return Compared(surplus=_over(built, wanted, here - there))
    return Compared(wrong=_instead(wanted, built, here - there, there - here))


def _without(
    wanted: Sequence[Place], built: Sequence[BuiltLamp], lacking: Counter[str], *, ordered: bool
) -> tuple[Place, ...]:
    """Return the places that got no lamp: those left over if the rest fits, else by colour, named if all of it lack."""
    fitted = _fitted([place.colour for place in wanted], [lamp.colour for lamp in built])
    if ordered and len(fitted) == len(built):
        return tuple(place for index, place in enumerate(wanted) if index not in fitted)
    found: list[Place] = []
    for colour, number in lacking.items():
        named = [place for place in wanted if place.colour == colour]
        found += named if len(named) == number else [Place("", colour)] * number
    return tuple(found)


def _over(built: Sequence[BuiltLamp], wanted: Sequence[Place], extra: Counter[str]) -> tuple[BuiltLamp, ...]:
    """Return the lamps that have no place: those left over if the rest fits, else the last ones of each colour."""
    fitted = _fitted([lamp.colour for lamp in built], [place.colour for place in wanted])
    if len(fitted) == len(wanted):
        return tuple(lamp for index, lamp in enumerate(built) if index not in fitted)
    left = Counter(extra)
    found = []
    for lamp in reversed(built):
        if left[lamp.colour] > 0:
            left[lamp.colour] -= 1
            found.append(lamp)
    return tuple(reversed(found))


def _fitted(longer: Sequence[str], shorter: Sequence[str]) -> set[int]:
    """Return where in ``longer`` the whole of ``shorter`` is found in its order, as far down as can be."""
    found: set[int] = set()
    left = list(shorter)
    for index in range(len(longer) - 1, -1, -1):
        if left and longer[index] == left[-1]:
            left.pop()
            found.add(index)
    return found


def _instead(
    wanted: Sequence[Place], built: Sequence[BuiltLamp], extra: Counter[str], lacking: Counter[str]
) -> tuple[tuple[BuiltLamp, Place], ...]:
    """Return lamps of a wrong colour with the place each stands in, or could stand in if others are displaced too."""
    differ = [(lamp, place) for lamp, place in zip(built, wanted, strict=True) if lamp.colour != place.colour]
    if len(differ) == extra.total():
        return tuple(differ)
    left = Counter(extra)
    strangers = []
    for lamp in built:
        if left[lamp.colour] > 0 and lamp in (item for item, _ in differ):
            left[lamp.colour] -= 1
            strangers.append(lamp)
    homes = [Place("", colour) for colour in lacking.elements()]
    return tuple(zip(strangers, homes, strict=False))


def _by_name(form: FormReader, built: Sequence[BuiltLamp], plated: frozenset[str]) -> Compared:
    """Compare a map of lamps with the form's: colours of a lens first, then lamps left out."""
    here: dict[str, list[BuiltLamp]] = {}
    for lamp in built:
        here.setdefault(_lamp(form, lamp), []).append(lamp)
    there: dict[str, list[str]] = {}
    for place in places(form):
        there.setdefault(_first_name(form, place.lamp), []).append(place.colour)
    wrong = [
        (lamp, Place(name, listed_colours(there[name])))
        for name, lamps in here.items()
        for lamp in lamps
        if name in there and lamp.colour and lamp.colour not in there[name] and not _is_head(form, lamp)
    ]
    if wrong:
        return Compared(wrong=tuple(wrong))
    missing = [Place(name, "") for name in there if name not in here and name not in plated]
    missing += _colours_left_out(form, here, there)
    return Compared(missing=tuple(missing))


def _colours_left_out(
    form: FormReader, here: dict[str, list[BuiltLamp]], there: dict[str, list[str]]
) -> Iterable[Place]:
    """Return the colours of a lens that is told by colours and lacks some."""
    for name, lamps in here.items():
        told = {lamp.colour for lamp in lamps if lamp.colour and not _is_head(form, lamp)}
        yield from (Place(name, colour) for colour in there.get(name, ()) if told and colour not in told)


def listed_colours(colours: Iterable[str]) -> str:
    """Return the colours a lens can have: ``red, yellow or green``."""
    from lampwright.words import listed

    return listed(colours, "or")


def _lamp(form: FormReader, lamp: BuiltLamp) -> str:
    """Return the full name of a lamp as built, or an empty text; ``top`` with a colour is that lamp of the head."""
    if name := full_name(form, f"{lamp.name}.{lamp.colour}") if lamp.colour else "":
        return _first_name(form, name)
    name = full_name(form, lamp.name)
    return _first_name(form, name) if name in form.lamps else ""


def _is_head(form: FormReader, lamp: BuiltLamp) -> bool:
    """Tell whether a lamp is named by its head and colour."""
    return bool(lamp.colour and full_name(form, f"{lamp.name}.{lamp.colour}"))


def _first_name(form: FormReader, name: str) -> str:
    """Return the name under which a lamp shared by parts is counted."""
    return next((group[0] for group in form.form.shared if name in group), name)
