"""What many signals share, each written down once and known by its number."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Any, Final

from lampwright.tables.beats import beat_class

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.working.faces import Face
    from lampwright.working.network import Facts
    from lampwright.working.play.looks import Light, Look, Looks

FEW: Final = 4
"""Lamps lit at once up to which every set of lost ones is read; beyond, every one, every two, and all."""
KINDS: Final = ("looks", "lights", "rows", "reasons")
UNKNOWN: Final = "-1"


class Drawers:
    """Lists of what is shared."""

    def __init__(self) -> None:
        self.contents: dict[str, list[Any]] = {kind: [] for kind in KINDS}
        self._numbers: dict[tuple[str, str], int] = {}
        self._looks: dict[tuple[int, Look], int] = {}
        self._seen: dict[tuple[str, str], int] = {}
        self._words: dict[str, int] = {"": 0}
        self._facts: dict[Facts | None, int] = {None: 0}

    def number(self, kind: str, content: Any) -> int:
        """Return the number of something that JSON can say."""
        key = kind, repr(content)
        if key not in self._numbers:
            self._numbers[key] = len(self.contents[kind])
            self.contents[kind].append(content)
        return self._numbers[key]

    def word(self, said: str) -> int:
        """Return the number of a word; 0 for none."""
        return self._words.setdefault(said, len(self._words))

    def facts(self, facts: Facts | None) -> int:
        """Return the number of what is seen of a route; 0 if none is set."""
        return self._facts.setdefault(facts, len(self._facts))

    def face(self, face: Face | None) -> str:
        """Return a face as a text."""
        if face is None:
            return UNKNOWN
        return f"{self._shown(face.aspect, face.book)}.{self.facts(face.route)}.{self.word(face.second)}"

    def look(self, looks: Looks, look: Look) -> int:
        """Return the number of a look.

        It says: what is told, whether it stops, what is seen from behind, lights, boxes, what is lacking, the lamp out;
        then what it falls to by lamp, and what is read by lamps out (their labels joined by line feeds).
        """
        key = id(looks.post), look
        if key not in self._looks:
            self._looks[key] = self.number("looks", self._said(looks, look))
        return self._looks[key]

    def _said(self, looks: Looks, look: Look) -> list[Any]:
        """Return a look as a list."""
        falls = {light.lamp: looks.fallen(look, light.lamp) for light in look.lights}
        reads = {
            "\n".join(light.lamp for light in lost): looks.reads(look, {light.lamp for light in lost})
            for lost in _lost(look.lights)
        }
        return [
            look.said,
            int(look.stands),
            self._shown(look.seen, looks.post.rulebook.id),
            [self.number("lights", _light(light)) for light in look.lights],
            [list(box) for box in look.boxes],
            look.lack,
            look.out,
            {lamp: self.look(looks, fallen) for lamp, fallen in falls.items() if fallen is not None},
            {lamps: text for lamps, text in reads.items() if text},
        ]

    def _shown(self, aspect: str, book: str) -> int:
        """Return the number of an aspect of a rulebook; -1 if it is not known."""
        return self._seen.setdefault((aspect, book), len(self._seen)) if aspect else -1


def _light(light: Light) -> list[str]:
    """Return a light: its label, its colour, the class of its beat (empty if steady), its names with blanks between."""
    return [light.lamp, light.colour, beat_class(light.beat) if light.beat else "", "\n".join(light.names)]


def _lost(lights: tuple[Light, ...]) -> Iterator[tuple[Light, ...]]:
    """Yield the sets of lost lamps for which it is told what is read."""
    each = tuple({light.lamp: light for light in lights}.values())
    sizes = range(1, len(each) + 1) if len(each) <= FEW else (1, 2, len(each))
    for size in sizes:
        yield from combinations(each, size)
