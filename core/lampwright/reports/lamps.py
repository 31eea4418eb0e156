"""Lamps as letters, so that a display reads the same in colour, without it, and in a log."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.reports.tables import Drawn
from lampwright.rulebooks.anatomy import DARK, LIT

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright.reports.style import Style
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.model import Lamp

DARK_LETTER: Final = "."
FLASHING: Final = "*"
LEGEND: Final = f"{DARK_LETTER} dark, {FLASHING} flashing; lamps from the top down"


class Lamps:
    """Draws the lamps of one form without parts, in the order in which they are seen: top down, then left to right.

    A lamp is the first letter of its colour; a lens that can change shows the letter of the colour it has. A lamp in
    a state that is neither steady nor flashing says so: ``Y(slow-flash)``.
    """

    def __init__(self, form: FormReader, style: Style) -> None:
        lamps = form.anatomy.lamps
        self.style = style
        self.lamps: dict[str, Lamp] = {name: lamps[name] for name in sorted(lamps, key=lambda name: _seen(lamps[name]))}

    def sheet(self, displays: Iterable[Mapping[str, str]]) -> list[Drawn]:
        """Return the lamps themselves, each with its colours, then the displays below them."""
        head = [("/".join(map(letter, lamp.colours)), "") for lamp in self.lamps.values()]
        rows = [head, *([_cell(lamp, lit.get(name, "")) for name, lamp in self.lamps.items()] for lit in displays)]
        widths = [max(len(text) for text, _ in column) for column in zip(*rows, strict=True)]
        return [
            self._drawn([(f"{text:{width}}", colour) for (text, colour), width in zip(row, widths, strict=True)])
            for row in rows
        ]

    def _drawn(self, cells: list[tuple[str, str]]) -> Drawn:
        """Return one row in both ways."""
        return Drawn(" ".join(text for text, _ in cells), " ".join(self.style(colour, text) for text, colour in cells))


def letter(colour: str) -> str:
    """Return the letter a colour is shown by."""
    return colour[:1].upper()


def _cell(lamp: Lamp, token: str) -> tuple[str, str]:
    """Return a lamp in a state, and the colour that is lit."""
    if not token or token == DARK:
        return DARK_LETTER, "faint"
    words = token.split()
    colour = next((word for word in words if word in lamp.colours), lamp.colours[0])
    ways = " ".join(word for word in words if word not in (colour, LIT))
    return letter(colour) + (FLASHING if ways == "flash" else f"({ways})" if ways else ""), colour


def _seen(lamp: Lamp) -> tuple[bool, float, float]:
    """Return what lamps are sorted by; one whose place is not known comes last."""
    if not lamp.at:
        return True, 0, 0
    right, up = lamp.at[0]
    return False, -float(up), float(right)
