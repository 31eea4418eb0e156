"""One lens: a ring with its letter while dark, filled and with the shape of its colour while lit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.reports.lamps import letter
from lampwright.tables.beats import beat_class
from lampwright_drawing.inks import shape
from lampwright_drawing.svg import Markup, number, tag

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright_drawing.subjects import Lit

LEGIBLE: Final = 4
"""Radius from which a lens has room for a letter."""
SIZE: Final = 1.05
"""Size of a letter in radii of its lens."""


def lens(
    lamp: str, colours: tuple[str, ...], place: tuple[float, float, float], lit: Lit | None, kind: str = ""
) -> Markup:
    """Return a lens at ``place`` (x, y, radius) with everything it can be made to show by its classes alone.

    Classes: ``lamp``, then ``dark``; or ``lit`` with the colour and, of a lens of several, its number (``c0``, ``c1``
    in the order of ``data-colours``), and ``flash`` with the beat.
    """
    x, y, radius = place
    parts = [
        tag("title", f"{lamp}: {lit.said if lit else 'dark'}"),
        tag("circle", class_="lens", r=radius),
        tag("circle", class_="light", r=radius),
        *(_signs(colours, radius) if radius > LEGIBLE else ()),
        tag("circle", class_="flashing", r=radius + 2.6),
    ]
    return tag(
        "g",
        *parts,
        class_=" ".join(filter(None, ("lamp", _state(lit, colours), kind))),
        data_lamp=lamp,
        data_colours=" ".join(colours) or None,
        transform=f"translate({number(x)} {number(y)})",
    )


def _state(lit: Lit | None, colours: tuple[str, ...]) -> str:
    """Return the classes of a lamp's state."""
    if lit is None:
        return "dark"
    which = f"c{colours.index(lit.colour)}" if len(colours) > 1 and lit.colour in colours else ""
    return " ".join(filter(None, ("lit", lit.colour, which, f"flash {beat_class(lit.beat)}" if lit.beat else "")))


def _signs(colours: tuple[str, ...], radius: float) -> Iterator[Markup]:
    """Yield shape and letter of each colour; of a lens of several, all its letters for while it is dark."""
    if len(colours) == 1:
        yield _shape(colours[0], radius, "shape")
        yield _letter(letter(colours[0]), radius)
        return
    yield _letter("".join(map(letter, colours)), radius, "while-dark")
    for index, colour in enumerate(colours):
        yield _shape(colour, radius, f"shape for-c{index}")
        yield _letter(letter(colour), radius, f"for-c{index}")


def _letter(said: str, radius: float, kind: str = "") -> Markup:
    """Return the letters of a lens, smaller if there are several."""
    size = radius * SIZE * (1 if len(said) == 1 else 0.7)
    return tag("text", said, y=size * 0.36, class_=kind or None, style=f"font-size:{number(size)}px")


def _shape(colour: str, radius: float, class_: str) -> Markup:
    """Return the shape that the letter of a lit lens stands in."""
    r = radius * 0.8
    kind = shape(colour)
    if kind == "plain":
        return Markup("")
    if kind == "ring":
        return tag("circle", class_=class_, r=r)
    corners = {
        "square": ((-0.8, -0.8), (0.8, -0.8), (0.8, 0.8), (-0.8, 0.8)),
        "triangle": ((-1.08, -0.66), (1.08, -0.66), (0, 1.16)),
        "diamond": ((0, -1.12), (1.12, 0), (0, 1.12), (-1.12, 0)),
    }[kind]
    points = " ".join(f"{number(across * r)},{number(down * r)}" for across, down in corners)
    return tag("polygon", class_=class_, points=points)


def hood(x: float, y: float, radius: float) -> Markup:
    """Return the hood of a lens: a plain arc above it."""
    r = radius + 2.6
    return tag(
        "path",
        class_="hood",
        d=f"M{number(x - r)} {number(y)}A{number(r)} {number(r)} 0 0 1 {number(x + r)} {number(y)}",
    )
