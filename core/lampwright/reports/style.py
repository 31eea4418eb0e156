"""Colour, as an addition to what the text says anyway."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.reports.printable import printable

if TYPE_CHECKING:
    from collections.abc import Mapping

CODES: Final = {
    "error": "1;31",
    "warning": "1;33",
    "note": "1;36",
    "frame": "34",
    "strong": "1",
    "faint": "2",
    "red": "31",
    "yellow": "33",
    "green": "32",
    "blue": "34",
    "white": "1",
    "lunar": "1",
    "amber": "33",
    "orange": "33",
    "violet": "35",
}
"""What may be coloured: levels, parts of a report, and the colours of lamps that a terminal has."""
PLAIN: Final = "\x1b[0m"


class Style:
    """Colours text by name, or leaves it alone."""

    def __init__(self, *, colour: bool) -> None:
        self.colour = colour

    def __call__(self, name: str, text: str) -> str:
        """Return the text in the colour of ``name``; a name without one, and spaces at the ends, change nothing.

        What would act on a terminal is escaped: no text colours itself.
        """
        text = printable(text)
        inner = text.strip(" ")
        if not self.colour or not inner or name not in CODES:
            return text
        return text.replace(inner, f"\x1b[{CODES[name]}m{inner}{PLAIN}")


def wanted(environment: Mapping[str, str], *, terminal: bool) -> bool:
    """Tell whether the user wants colour: NO_COLOR and FORCE_COLOR decide, else a terminal that can."""
    if environment.get("NO_COLOR"):
        return False
    if environment.get("FORCE_COLOR"):
        return True
    return terminal and environment.get("TERM") != "dumb"
