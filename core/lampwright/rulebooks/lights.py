"""What is seen of a display at night: the lights that are lit and how they lie, whatever their names and dark lamps."""

from __future__ import annotations

from collections.abc import Mapping  # noqa: TC003  (an alias below needs it)
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.rulebooks.boxes import NOT_THERE
from lampwright.rulebooks.displays import reader

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.meanings import Meaning
    from lampwright.rulebooks.model import Lamp, Rulebook
    from lampwright.years import Years

NO_PLACE: Final = (-1, -1)
SCATTERED: Final = "scattered"


class Light(Struct, frozen=True, order=True):
    """One light: how many rows are lit above it and columns left of it; its colour, state and size."""

    down: int
    right: int
    colour: str
    state: str
    size: str


class Sight(Struct, frozen=True, order=True):
    """What is seen of a display: its lights from the top down, and what else must be there, in words."""

    lights: tuple[Light, ...]
    beside: tuple[str, ...] = ()

    @property
    def lie(self) -> str:
        """How several lights lie; a column goes without saying."""
        places = {(light.down, light.right) for light in self.lights}
        if NO_PLACE in places:
            return "places not known"
        rows, across = {down for down, _ in places}, {right for _, right in places}
        if len(across) <= 1:
            return ""
        if len(rows) == 1:
            return "in a row"
        if not len(rows) == len(across) == len(places):
            return SCATTERED
        if len({down + right for down, right in places}) == 1:
            return "rising"
        return "falling" if len({down - right for down, right in places}) == 1 else SCATTERED


class Known(Struct, frozen=True):
    """An aspect that a rulebook has for what is seen, and a form that shows it."""

    aspect: str
    form: str


def sights(rulebook: Rulebook, years: Years | None = None) -> Mapping[Sight, tuple[Known, ...]]:
    """Return everything that can be seen and means something, with the aspects it is; of forms in use in the years.

    Forms with parts are left out: their parts are forms too.
    """
    found: dict[Sight, dict[Known, None]] = {}
    for name, form in rulebook.forms.items():
        if not form.parts and (years is None or form.years.meets(years)):
            made = reader(rulebook, name, years)
            for meaning in made.meanings:
                found.setdefault(sight(made, meaning), {})[Known(meaning.aspect, name)] = None
    return {seen: tuple(known) for seen, known in found.items()}


def sight(form: FormReader, meaning: Meaning) -> Sight:
    """Return what is seen of one display of a form."""
    lit = [light for lamp, token in sorted(meaning.lamps) for light in _lights(form, lamp, token)]
    tests = ((name, state) for name, state in meaning.tests if state not in NOT_THERE)
    beside = sorted(_beside(form.rulebook, name, state) for name, state in tests)
    return Sight(tuple(sorted(_ranked(lit))), tuple(beside))


def _lights(form: FormReader, lamp: str, token: str) -> Iterator[tuple[tuple[float, float] | None, str, str, str]]:
    """Yield the lights of a lamp: place, colour, state, size."""
    record = form.anatomy.lamps[lamp]
    colour = _colour(record, token)
    state = " ".join(word for word in token.split() if word not in (colour, "lit"))
    seen = _looks_like(form.rulebook, colour)
    places: list[tuple[float, float] | None] = [(-float(up), float(right)) for right, up in record.at]
    for place in places or [None]:
        yield place, seen, state, record.size


def _ranked(lit: list[tuple[tuple[float, float] | None, str, str, str]]) -> Iterator[Light]:
    """Yield lights by rows and columns that are lit: distances differ from railway to railway, and say nothing here."""
    places = [place for place, *_ in lit]
    known = [place for place in places if place is not None]
    if len(known) < len(lit):
        known = []
    downs, rights = (_ranks(place[axis] for place in known) for axis in (0, 1))
    for place, colour, state, size in lit:
        alone = len(lit) == 1
        down, right = (downs[place[0]], rights[place[1]]) if known and place else (0, 0) if alone else NO_PLACE
        yield Light(down, right, colour, state, size)


def _ranks(values: Iterable[float]) -> dict[float, int]:
    """Return each value with the number of those below it."""
    return {value: rank for rank, value in enumerate(sorted(set(values)))}


def _colour(record: Lamp, token: str) -> str:
    """Return the colour a lamp has in a state."""
    return next((word for word in token.split() if word in record.colours), record.colours[0])


def _looks_like(rulebook: Rulebook, colour: str) -> str:
    """Return the colour that a colour with a name of its own looks like."""
    said = rulebook.colours.get(colour)
    return str(said.get("like", colour)) if isinstance(said, dict) else colour


def _beside(rulebook: Rulebook, name: str, state: str) -> str:
    """Return a box or plate as it is seen: ``white figure``, ``flashing white figure``, ``plate white on black``."""
    box = rulebook.indicators.get(name.partition(".")[0])
    if box is not None:
        flashing = "flashing" if state.startswith("flash") else ""
        return " ".join(filter(None, (flashing, box.colour, box.kind.removesuffix("s"))))
    plate = rulebook.plates.get(name)
    if plate is not None:
        return f"plate {plate.colour or name}"
    return name if state == "present" else f"{name} {state}"
