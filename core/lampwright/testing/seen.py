"""Lights as a driver sees them: their colours, and how they lie in rows from the top."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.codec import as_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.rulebooks.displays import FormReader

NOTHING = "."
"""What stands in a row where no light is."""
Point = tuple[Any, Any]


class Light(Struct, frozen=True):
    """One lamp as it is seen: its colour, and where; ``at`` is empty if that is not known."""

    colour: str
    at: tuple[Point, ...]


def lights(form: FormReader, display: Mapping[str, str]) -> Iterator[Light]:
    """Yield what is lit of a form, its parts included."""
    for name, state in display.items():
        part, _, rest = name.partition(".")
        if form.parts:
            yield from _moved(form, part, lights(form.parts[part], {rest: state}))
        else:
            shown = (form.anatomy.element(name, state) or {}).items()
            yield from (_light(form, lamp, token) for lamp, token in shown if token != DARK)


def everything(form: FormReader) -> Iterator[Light]:
    """Yield every lamp of a form, its parts included; a lens has all its colours at once, as red/green."""
    for part, item in form.parts.items():
        yield from _moved(form, part, everything(item))
    for lamp, record in form.anatomy.lamps.items():
        yield Light("/".join(record.colours), form.at(lamp))


def rows(seen: Iterable[Light]) -> tuple[str, ...]:
    """Return colours row by row from the top, by the rows and columns that are lit; nothing if a place is not known."""
    found = list(seen)
    cells = {place: light.colour for light in found for place in light.at}
    if not all(light.at for light in found):
        return ()
    across = sorted({right for right, _ in cells})
    return tuple(
        " ".join(cells.get((right, up), NOTHING) for right in across)
        for up in sorted({up for _, up in cells}, reverse=True)
    )


def drawn(said: Any) -> tuple[str, ...]:
    """Return rows that a file says, however many spaces are between two lights."""
    return tuple(" ".join(row.split()) for row in as_words(said))


def _light(form: FormReader, lamp: str, token: str) -> Light:
    """Return one lamp that is lit."""
    colours = form.anatomy.lamps[lamp].colours
    return Light(next((one for one in colours if one in token.split()), colours[0]), form.at(lamp))


def _moved(form: FormReader, part: str, seen: Iterable[Light]) -> Iterator[Light]:
    """Yield the lights of a part where they are on the post; nowhere if it is not said where the part is."""
    base = form.form.parts[part].at
    for light in seen:
        places = tuple((right + base[0], up + base[1]) for right, up in light.at) if base is not None else ()
        yield Light(light.colour, places)
