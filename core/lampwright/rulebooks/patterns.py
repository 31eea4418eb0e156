"""Patterns as the book prints them: ``Y/G``, ``R/-/fY``, ``R/R+n``, read against a form's heads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.anatomy import DARK, LIT

if TYPE_CHECKING:
    from lampwright.rulebooks.anatomy import Anatomy
    from lampwright.rulebooks.model import Elements, Head, Rulebook

NO_HEAD = "-"


class Pattern(Struct, frozen=True):
    """One printed pattern: a letter group for each step of the post, and what hangs there besides."""

    steps: tuple[str, ...]
    extras: tuple[str, ...]

    @classmethod
    def parse(cls, text: str) -> Pattern:
        """Split ``R/R+n+g`` at its slashes and plus signs."""
        steps, *extras = text.split("+")
        return cls(tuple(steps.split("/")), tuple(extras))


def elements(rulebook: Rulebook, anatomy: Anatomy, text: str) -> Elements | None:
    """Return a pattern as elements of a form; None if the form's heads do not stand as it is printed."""
    pattern = Pattern.parse(text)
    heads = _steps(anatomy)
    if len(heads) != len(pattern.steps):
        return None
    found: list[tuple[str, str]] = []
    for head, letters in zip(heads, pattern.steps, strict=True):
        if (head is None) != (letters == NO_HEAD):
            return None
        if head is not None:
            found.append((head, _state(rulebook, letters)))
    extras = [rulebook.notation.get(extra, extra) for extra in pattern.extras]
    return (*found, *((name, LIT if name in anatomy.lamps else "present") for name in extras))


def letters_known(rulebook: Rulebook, text: str) -> bool:
    """Tell whether every letter of a pattern stands in the notation."""
    pattern = Pattern.parse(text)
    letters = (letter for step in pattern.steps if step != NO_HEAD for letter in step)
    return all(letter in rulebook.notation for letter in letters)


def _state(rulebook: Rulebook, letters: str) -> str:
    """Return ``fG`` as ``flash green``: states come before the colour."""
    words = [rulebook.notation.get(letter, letter) for letter in letters]
    return DARK if words[-1] == DARK else " ".join(words)


def _steps(anatomy: Anatomy) -> list[str | None]:
    """Return the heads from the top down, None for a step of the post that has none."""
    heads = list(anatomy.form.heads.items())
    if not all(head.at for _, head in heads):
        return [name for name, _ in heads]
    heads.sort(key=lambda item: _height(item[1]), reverse=True)
    steps: list[str | None] = []
    for position, (name, head) in enumerate(heads):
        if position:
            above = heads[position - 1][1]
            gap = (_height(above) - _height(head)) // _extent(above)
            steps.extend([None] * (gap - 1))
        steps.append(name)
    return steps


def _height(head: Head) -> int:
    """Return how high a head hangs, in steps."""
    return int(head.at[1]) if head.at else 0


def _extent(head: Head) -> int:
    """Return how many steps of the post a head takes up: one, or as many as its own lamps span."""
    heights = [int(place[1]) for lamp in head.lamps.values() for place in lamp.at]
    return max(heights) - min(heights) + 1 if heights else 1
