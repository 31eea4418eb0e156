"""Writing SVG: elements whose text is always escaped, and pieces that are put together to a picture."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from lampwright.reports.printable import printable
from lampwright_drawing.inks import stylesheet

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.tables import Beat

ESCAPES: Final = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"})
MARGIN: Final = 12
EDGE: Final = 2
"""Room in a page for lines that run along the edge of a picture."""


class Markup(str):
    """Text that is markup already; every other text is escaped."""

    __slots__ = ()


class Piece(Struct, frozen=True):
    """A drawing that can stand in another: its size, what is drawn from its upper left corner on, and how it flashes.

    ``title`` and ``desc`` are what somebody hears who does not see it.
    """

    width: float
    height: float
    body: Markup
    title: str = ""
    desc: str = ""
    beats: frozenset[Beat] = field(default_factory=frozenset)


def escaped(text: object) -> Markup:
    """Return a text as it may stand in an element or attribute; what is not seen, or XML has no place for, is shown."""
    if isinstance(text, Markup):
        return text
    return Markup("\n".join(map(printable, str(text).split("\n"))).translate(ESCAPES))


def tag(name: str, *inner: object, **attributes: object) -> Markup:
    """Return an element; ``class_`` is the attribute ``class``, other underlines are hyphens, None is left out."""
    said = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    content = "".join(escaped(item) for item in inner)
    return Markup(f"<{name}{said}>{content}</{name}>" if content else f"<{name}{said}/>")


def joined(parts: Iterable[Markup]) -> Markup:
    """Return markup one after the other."""
    return Markup("".join(parts))


def identifier(*words: str) -> str:
    """Return an id that is the same for the same words and differs for others, whatever is in them."""
    return "-".join("".join(_plain(char) for char in word) for word in words)


def text(x: float, y: float, said: str, class_: str = "", anchor: str = "") -> Markup:
    """Return a line of text."""
    return tag("text", said, x=x, y=y, class_=class_ or None, text_anchor=anchor or None)


def told(piece: Piece) -> Markup:
    """Return a piece as a group that tells what it is."""
    return tag("g", *_said(piece), piece.body, role="img", aria_label=piece.title)


def moved(piece: Piece, x: float, y: float) -> Markup:
    """Return a piece, told of, at another place."""
    return tag("g", told(piece), transform=f"translate({number(x)} {number(y)})")


def picture(piece: Piece) -> str:
    """Return a piece as a whole file, with its style, on paper."""
    width, height = piece.width + 2 * MARGIN, piece.height + 2 * MARGIN
    paper = tag("rect", class_="paper", width=width, height=height)
    style = tag("style", Markup(stylesheet(piece.beats)))
    inner = tag("g", piece.body, transform=f"translate({MARGIN} {MARGIN})")
    return (
        tag(
            "svg",
            *_said(piece),
            style,
            paper,
            inner,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {number(width)} {number(height)}",
            width=width,
            height=height,
            role="img",
            class_="lampwright",
        )
        + "\n"
    )


def inline(piece: Piece) -> str:
    """Return a piece as it stands in a page, which has the style."""
    width, height = piece.width + 2 * EDGE, piece.height + 2 * EDGE
    size = f"-{EDGE} -{EDGE} {number(width)} {number(height)}"
    return tag(
        "svg", *_said(piece), piece.body, viewBox=size, width=width, height=height, role="img", class_="lampwright"
    )


def number(value: float) -> str:
    """Return a number as short as it can be, to a tenth."""
    return f"{round(value, 1) + 0:.1f}".removesuffix(".0")


def _said(piece: Piece) -> Iterator[Markup]:
    """Yield what a piece says of itself."""
    if piece.title:
        yield tag("title", piece.title)
    if piece.desc:
        yield tag("desc", piece.desc)


def _value(value: object) -> str:
    """Return an attribute's value."""
    return number(value) if isinstance(value, int | float) else escaped(value)


def _plain(char: str) -> str:
    """Return a character as it may stand in an id, told apart from every other."""
    return char if char.isascii() and char.isalnum() else f"_{ord(char):x}_"
