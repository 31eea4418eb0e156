"""Names and comments that a C compiler takes, whatever a plan is called."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

LONGEST: Final = 63
"""How much of a name C99 promises to look at."""


LEAST: Final = (3, 1)
"""Letters that words of a long name keep; what comes second only where the first is not enough."""


class Names:
    """Hands out names for a header, each once."""

    def __init__(self) -> None:
        """Begin with none."""
        self._taken: set[str] = set()

    def new(self, *parts: str, own: int = 1) -> str:
        """Return ``LW_`` and the parts in capitals, with ``_NO_`` and its own number behind it if that is taken."""
        wanted = shortened(["LW", *map(capitals, parts)])
        name = wanted
        while name in self._taken:
            behind = f"_NO_{own}"
            name = f"{wanted[: LONGEST - len(behind)]}{behind}"
            own += 1
        self._taken.add(name)
        return name


def shortened(parts: list[str]) -> str:
    """Return parts as one name that C99 reads to its end: letters are taken off the longest words, figures never.

    The last part gives first: it is what is shown, and the one before it whose signal that is.
    """
    words = [part.split("_") for part in parts]
    over = sum(len(word) + 1 for part in words for word in part) - 1 - LONGEST
    for least in LEAST:
        for part in reversed(words):
            while over > 0 and (long := [word for word in part if word.isalpha() and len(word) > least]):
                at = part.index(max(long, key=len))
                part[at] = part[at][:-1]
                over -= 1
    return "_".join(word for part in words for word in part)[:LONGEST]


def capitals(text: str) -> str:
    """Return a text as part of a name: what is neither letter nor figure of ASCII becomes a line below."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    known = "".join(one if one.isascii() else f"u{ord(one):x}" for one in plain if not unicodedata.combining(one))
    return re.sub("[^a-z0-9]+", "_", known).strip("_").upper() or "X"


def comment(text: str) -> str:
    """Return a text as it may stand in a comment: one line that neither ends the comment nor begins another."""
    shown = "".join(one if one.isalnum() or (one.isascii() and one.isprintable()) else "?" for one in text)
    return re.sub(r"(?<=\*)/|(?<=/)\*|\\|\?(?=\?)", ".", shown)
