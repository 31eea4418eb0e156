"""Names and comments that a C compiler takes, whatever a plan is called."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

LONGEST: Final = 63
"""How much of a name C99 promises to look at."""


class Names:
    """Hands out names for a header, each once."""

    def __init__(self) -> None:
        """Begin with none."""
        self._taken: set[str] = set()

    def new(self, *parts: str) -> str:
        """Return ``LW_`` and the parts in capitals; a number behind it if that is taken."""
        wanted = "_".join(("LW", *map(capitals, parts)))
        name, count = wanted[:LONGEST], 1
        while name in self._taken:
            count += 1
            name = f"{wanted[: LONGEST - len(str(count)) - 1]}_{count}"
        self._taken.add(name)
        return name


def capitals(text: str) -> str:
    """Return a text as part of a name: what is neither letter nor figure of ASCII becomes a line below."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    known = "".join(one if one.isascii() else f"u{ord(one):x}" for one in plain if not unicodedata.combining(one))
    return re.sub("[^a-z0-9]+", "_", known).strip("_").upper() or "X"


def comment(text: str) -> str:
    """Return a text as it may stand in a comment: one line that neither ends the comment nor begins another."""
    shown = "".join(one if one.isalnum() or (one.isascii() and one.isprintable()) else "?" for one in text)
    return re.sub(r"(?<=\*)/|(?<=/)\*|\\|\?(?=\?)", ".", shown)
