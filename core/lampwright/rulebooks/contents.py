"""What boxes can show: characters, figures, bars, positions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.words import did_you_mean, listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks.model import Indicator

LONGEST: Final = 500
"""Most figures of one span that are spelt out."""


def unshowable(indicator: Indicator, content: str) -> Iterator[tuple[str, str, str]]:
    """Yield why an indicator cannot show a content: the datum that says so, what is wrong, what would be right."""
    if indicator.kind == "characters" and indicator.characters:
        known = characters(indicator.characters)
        if odd := [character for character in content if character not in known]:
            mended = content.upper()
            tip = f"did you mean {mended}?" if all(character in known for character in mended) else ""
            yield "characters", f"which has no {listed(dict.fromkeys(odd))}", tip or f"it has {indicator.characters}"
        elif indicator.at_most and len(content) > indicator.at_most:
            yield "at-most", f"which has room for {indicator.at_most}", "shorten it"
    elif indicator.kind == "figure" and indicator.figures and content not in figures(indicator.figures):
        yield "figures", "which has no such figure", f"it has {indicator.figures}"
    elif indicator.kind == "bars" and content not in indicator.shows:
        yield "shows", "which cannot show that", did_you_mean(content, indicator.shows, "it can show: there")
    elif indicator.kind == "positions" and content not in indicator.positions:
        yield "positions", "which has no such position", did_you_mean(content, indicator.positions, "its positions")


def characters(said: str) -> frozenset[str]:
    """Return the characters of ``A-Z 0-9 X``."""
    found: set[str] = set()
    for token in said.split():
        first, dash, last = token.partition("-")
        if dash and len(first) == len(last) == 1:
            found.update(map(chr, range(ord(first), ord(last) + 1)))
        else:
            found.update(token)
    return frozenset(found)


def figures(said: str) -> tuple[str, ...]:
    """Return the figures of ``1..16``, ``3, 4, 6..10`` or ``4 6 8``; a span that is none gives nothing."""
    found: list[str] = []
    for piece in said.replace(",", " ").split():
        first, dots, last = piece.partition("..")
        if not dots:
            found.append(piece)
        elif first.isdecimal() and last.isdecimal():
            found += map(str, range(int(first), min(int(last), int(first) + LONGEST) + 1))
    return tuple(found)
