"""Text as it may go to a terminal: nothing acts on it, and its width is known."""

from __future__ import annotations

from unicodedata import category, east_asian_width

WIDE = frozenset({"W", "F"})
ON_THE_LAST = frozenset({"Mn", "Me"})
"""Categories of what is written over the character before it."""


def printable(text: str) -> str:
    r"""Return the text with every character that is not seen, or does something, written as an escape.

    These are control characters, marks that turn the direction of text, spaces other than the plain one, and what
    has no meaning; so a tab is ``\t``, and the mark that writes from right to left is ``\u202e``.
    """
    return text if text.isprintable() else "".join(map(_escaped, text))


def columns(text: str) -> int:
    """Return how many columns of a terminal a printable text takes."""
    return len(text) if text.isascii() else sum(map(_columns, text))


def wrapped(text: str, width: int, indent: str = "") -> list[str]:
    """Return a printable text as lines of at most ``width`` columns, all but the first indented; words stay whole."""
    line, *words = text.split(" ")
    lines: list[str] = []
    used = columns(line)
    for word in words:
        more = columns(word)
        if used + 1 + more > width:
            lines.append(line)
            line, used = indent + word, columns(indent) + more
        else:
            line, used = f"{line} {word}", used + 1 + more
    return [*lines, line]


def _escaped(character: str) -> str:
    return character if character.isprintable() else character.encode("unicode_escape").decode("ascii")


def _columns(character: str) -> int:
    if east_asian_width(character) in WIDE:
        return 2
    return 0 if category(character) in ON_THE_LAST else 1
