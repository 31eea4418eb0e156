"""Reads our pictures back with a parser that nobody here wrote, for tests to compare what is in them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

if TYPE_CHECKING:
    from collections.abc import Iterator

SVG = "{http://www.w3.org/2000/svg}"
MOVE = re.compile(r"translate\(([-\d.]+) ([-\d.]+)\)")


@dataclass(frozen=True)
class Seen:
    """One lens in a picture: its lamp, its classes, its letter, where it is on the paper, and its radius."""

    lamp: str
    classes: frozenset[str]
    letter: str
    x: float
    y: float
    radius: float


def parsed(picture: str) -> ET.Element:
    """Return the root of a picture; one that is no XML raises."""
    return ET.fromstring(picture)  # noqa: S314  (our own)


def with_class(root: ET.Element, name: str) -> list[ET.Element]:
    """Return the elements of a class, in the order of the file."""
    return [element for element in root.iter() if name in element.get("class", "").split()]


def lenses(root: ET.Element) -> list[Seen]:
    """Return every lens of a picture."""
    return [_seen(element, x, y) for element, x, y in _moved(root, 0, 0) if "lamp" in _classes(element)]


def texts(root: ET.Element) -> list[str]:
    """Return every line of text."""
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def _classes(element: ET.Element) -> frozenset[str]:
    """Return the classes of an element."""
    return frozenset(element.get("class", "").split())


def _moved(element: ET.Element, x: float, y: float) -> Iterator[tuple[ET.Element, float, float]]:
    """Yield every element with where its origin is on the paper."""
    for move in MOVE.finditer(element.get("transform", "")):
        x, y = x + float(move[1]), y + float(move[2])
    yield element, x, y
    for child in element:
        yield from _moved(child, x, y)


def _seen(element: ET.Element, x: float, y: float) -> Seen:
    """Return a lens from its group."""
    letters = {text.get("class", ""): text.text or "" for text in element.iter(f"{SVG}text")}
    shown = next((f"for-{name}" for name in _classes(element) if re.fullmatch(r"c\d", name)), "while-dark")
    letter = letters.get("") or letters.get(shown, "")
    radius = max(float(circle.get("r", 0)) for circle in element.iter(f"{SVG}circle") if circle.get("class") == "lens")
    return Seen(element.get("data-lamp", ""), _classes(element), letter, x, y, radius)
