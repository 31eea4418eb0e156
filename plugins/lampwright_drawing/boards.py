"""Outlines of boards, and the plates that hang on a post."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from lampwright_drawing.inks import FILLS
from lampwright_drawing.svg import Markup, joined, number, tag, text

if TYPE_CHECKING:
    from lampwright.rulebooks.model import Plate
    from lampwright_drawing.hardware import Board, Point

CORNER: Final = 5
PLATE: Final = (26.0, 15.0)
BAND: Final = 8
PAINTS: Final = {**FILLS, "black": "#1b1b1b"}
LETTERS: Final = 4
"""Most letters that a plate has room for."""


def outline(board: Board) -> Markup:
    """Return the outline of a board: a disc, a rectangle, or what goes around its lenses."""
    corners = board.corners
    if len(corners) == 1:
        return tag("circle", class_="board", cx=corners[0][0], cy=corners[0][1], r=board.radius + 1)
    if _upright(corners):
        left, top, right, bottom = board.box
        return tag("rect", class_="board", x=left, y=top, width=right - left, height=bottom - top, rx=CORNER)
    return tag("path", class_="board", d=_around(corners, board.radius))


def _upright(corners: tuple[Point, ...]) -> bool:
    """Tell whether the lenses at the corners stand in a row, a column or a rectangle."""
    across, down = {x for x, _ in corners}, {y for _, y in corners}
    return len(across) == 1 or len(down) == 1 or (len(corners) == 4 and len(across) == len(down) == 2)  # noqa: PLR2004


def _around(corners: tuple[Point, ...], radius: float) -> str:
    """Return the path around corners at a distance, rounded at each."""
    edges = []
    for (x, y), (to_x, to_y) in zip(corners, (*corners[1:], corners[0]), strict=True):
        length = hypot(to_x - x, to_y - y)
        right, down = (to_y - y) / length * radius, -(to_x - x) / length * radius
        edges.append(((x + right, y + down), (to_x + right, to_y + down)))
    path = [f"M{_at(edges[0][0])}"]
    for (_, end), (start, _) in zip(edges, (*edges[1:], edges[0]), strict=True):
        path += [f"L{_at(end)}", f"A{number(radius)} {number(radius)} 0 0 1 {_at(start)}"]
    return "".join(path) + "Z"


def _at(point: Point) -> str:
    """Return a point in a path."""
    return f"{number(point[0])} {number(point[1])}"


def plate_height(plate: Plate | None) -> float:
    """Return how much of the post a plate takes."""
    return len(_bands(plate)) * BAND if _bands(plate) else PLATE[1]


def plate_width(name: str, record: Plate | None, figures: str) -> float:
    """Return how wide a plate is, by what is written on it."""
    return max(PLATE[0], 7.5 * len(figures or _lettering(name, record)) + 8)


def plate(name: str, record: Plate | None, figures: str, x: float, y: float) -> Markup:
    """Return a plate around the middle ``x``, from ``y`` down: painted in bands, striped, or lettered."""
    title = tag("title", record.title or name if record else name)
    if bands := _bands(record):
        painted = [
            tag("rect", x=x - BAND, y=y + index * BAND, width=2 * BAND, height=BAND, fill=PAINTS[band])
            for index, band in enumerate(bands)
        ]
        frame = tag("rect", class_="detail", x=x - BAND, y=y, width=2 * BAND, height=len(bands) * BAND)
        return tag("g", title, *painted, frame, class_="plate-of", data_plate=name)
    return tag("g", title, *_face(name, record, figures, x, y), class_="plate-of", data_plate=name)


def _face(name: str, record: Plate | None, figures: str, x: float, y: float) -> list[Markup]:
    """Return what is seen of a plate that is not painted in bands."""
    words = (record.title if record else name).lower()
    height = PLATE[1]
    if "triangle" in words:
        points = f"{_at((x - 10, y))} {_at((x + 10, y))} {_at((x, y + height))}"
        return [tag("polygon", class_="plate", points=points)]
    said = figures or _lettering(name, record)
    width = plate_width(name, record, figures)
    frame = tag("rect", class_="plate", x=x - width / 2, y=y, width=width, height=height, rx=1.5)
    if figures or "stripe" not in words:
        shown = "" if "plain" in words and not figures else said
        return [frame, text(x, y + 11, shown, "small", "middle")] if shown else [frame]
    middle = {"x1": x, "y1": y, "x2": x, "y2": y + height}
    if "horizontal" in words:
        middle = {"x1": x - width / 2, "y1": y + height / 2, "x2": x + width / 2, "y2": y + height / 2}
    return [frame, tag("line", class_="line", **middle), *_over(record, x, y)]


def _over(record: Plate | None, x: float, y: float) -> list[Markup]:
    """Return letters that stand with a stripe: ``SEMI``."""
    words = [word.strip(",") for word in record.title.split()] if record else []
    letters = next((word for word in words if word.isupper()), "")
    return [text(x, y + PLATE[1] + 9, letters, "small", "middle")] if letters else []


def _bands(record: Plate | None) -> list[str]:
    """Return the colours a plate is painted in from the top down, if it is told as such."""
    colours = [word.strip() for word in record.colour.split(",")] if record else []
    return colours if len(colours) > 1 and all(colour in PAINTS for colour in colours) else []


def _lettering(name: str, record: Plate | None) -> str:
    """Return the letters on a plate: those its title begins with, else its name."""
    first = (record.title if record else "").split(",")[0].split(":")[0].split(" ")[0]
    return first if first.isupper() and len(first) <= LETTERS else name[:LETTERS].upper()


def plates(items: list[tuple[str, Plate | None, str]], x: float, y: float) -> tuple[Markup, float]:
    """Return plates one below the other, and where they end."""
    drawn = []
    for name, record, figures in items:
        drawn.append(plate(name, record, figures, x, y))
        y += plate_height(record) + 5
    return joined(drawn), y
