"""Lamps as letters, so that a display reads the same in colour, without it, and in a log."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.reports.tables import Drawn
from lampwright.rulebooks.anatomy import DARK, LIT
from lampwright.rulebooks.lights import SCATTERED

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lampwright.reports.style import Style
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.lights import Light, Sight
    from lampwright.rulebooks.model import Lamp

DARK_LETTER: Final = "."
EMPTY: Final = "-"
NEXT_ROW: Final = "/"
FLASHING: Final = "*"
LEGEND: Final = f"{DARK_LETTER} dark, {FLASHING} flashing; lamps from the top down"

SEEN_LEGEND: Final = f"{FLASHING} flashing; lights from the top down, {NEXT_ROW} begins the next row"


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


def seen(sight: Sight, style: Style) -> Drawn:
    """Return what is seen lit: ``Y* Y``, ``W W in a row``, ``- W / W -`` row by row, ``G + white figure``."""
    said = [_light(light) for light in sight.lights]
    cells = said if sight.lie != SCATTERED else _rows(sight)
    lie = "" if sight.lie == SCATTERED else sight.lie
    rest = " ".join(filter(None, (lie, *(f"+ {what}" for what in sight.beside))))
    colours = dict(zip(said, (light.colour for light in sight.lights), strict=True))
    plain = " ".join(cells) or "nothing lit"
    drawn = " ".join(style(colours.get(text, ""), text) for text in cells) or plain
    return Drawn(f"{plain} {rest}".rstrip(), f"{drawn} {rest}".rstrip())


def _rows(sight: Sight) -> list[str]:
    """Return lights row by row, each at its place in the row."""
    across = range(1 + max(light.right for light in sight.lights))
    rows = range(1 + max(light.down for light in sight.lights))
    at = {(light.down, light.right): _light(light) for light in sight.lights}
    grid = [[at.get((down, right), EMPTY) for right in across] for down in rows]
    return [cell for number, row in enumerate(grid) for cell in ([NEXT_ROW] if number else []) + row]


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


def _light(light: Light) -> str:
    """Return one light: its letter, how it is lit, and its size if that is not the usual one."""
    way = FLASHING if light.state == "flash" else f"({light.state})" if light.state else ""
    return f"{letter(light.colour)}{way}{f'({light.size})' if light.size else ''}"


def _seen(lamp: Lamp) -> tuple[bool, float, float]:
    """Return what lamps are sorted by; one whose place is not known comes last."""
    if not lamp.at:
        return True, 0, 0
    right, up = lamp.at[0]
    return False, -float(up), float(right)
