"""A check's docstring as its manual: the text, and the examples that are run as tests."""

from __future__ import annotations

from dataclasses import dataclass
from inspect import cleandoc
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lampwright.checks import Check

EXPECT = "# expect:"
HEADINGS = {"Wrong:": True, "Right:": False}


@dataclass(frozen=True, slots=True)
class Expected:
    """A finding an example gets: its rule, and a part of its message."""

    rule: str
    part: str


@dataclass(frozen=True, slots=True)
class Example:
    """A whole plan or rulebook from a manual; a right one expects nothing."""

    text: str
    wrong: bool
    expected: tuple[Expected, ...]


def manual(check: type[Check]) -> str:
    """Return the manual of a check as it is printed."""
    return cleandoc(check.__doc__ or "")


def examples(check: type[Check]) -> list[Example]:
    """Return the examples in a check's manual, in the order they stand."""
    found: list[Example] = []
    block: list[str] = []
    wrong = False
    for line in [*manual(check).splitlines(), "."]:
        if block and line and not line.startswith("    "):
            found.append(_example(block, wrong=wrong))
            block = []
        if line in HEADINGS:
            wrong = HEADINGS[line]
            block = [""]
        elif block:
            block.append(line[4:])
    return found


def _example(lines: list[str], *, wrong: bool) -> Example:
    """Build one example from its lines."""
    notes = [line.split(EXPECT, 1)[1].strip() for line in lines if EXPECT in line]
    expected = [Expected(note.split(" ", 1)[0], note.partition('"')[2].rpartition('"')[0]) for note in notes]
    return Example("\n".join(lines).strip() + "\n", wrong, tuple(expected))
