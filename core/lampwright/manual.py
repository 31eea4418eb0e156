"""A check's docstring as its manual: the text, and the examples that are run as tests."""

from __future__ import annotations

from inspect import cleandoc
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from lampwright.checks import Check

EXPECT = "# expect:"
INDENT = " " * 4
HEADINGS = {"Wrong:": True, "Right:": False}


class Expected(Struct, frozen=True):
    """A finding an example gets: its rule, and a part of its message."""

    rule: str
    part: str


class Example(Struct, frozen=True):
    """A whole plan or rulebook from a manual; a right one expects nothing."""

    text: str
    wrong: bool
    expected: tuple[Expected, ...]

    @property
    def shown(self) -> str:
        """The example as it is printed, without what it expects."""
        return "".join(f"{line.partition(EXPECT)[0].rstrip()}\n" for line in self.text.splitlines())


def manual(check: type[Check]) -> str:
    """Return the manual of a check as it is printed."""
    return cleandoc(check.__doc__ or "")


def examples(check: type[Check]) -> list[Example]:
    """Return the examples in a check's manual, in the order they stand."""
    return [piece for piece in pieces(manual(check)) if isinstance(piece, Example)]


def pieces(text: str) -> list[str | Example]:
    """Return the prose and the examples of a manual, in the order they stand; headings belong to the prose."""
    found: list[str | Example] = []
    block: list[str] = []
    heading = ""
    for line in [*text.splitlines(), ""]:
        if heading and line and not line.startswith(INDENT):
            found.append(_example(block, wrong=HEADINGS[heading]))
            block, heading = [], ""
        block.append(line.removeprefix(INDENT) if heading else line)
        if line in HEADINGS:
            found.append("\n".join(block).strip("\n"))
            block, heading = [], line
    found.append(_example(block, wrong=HEADINGS[heading]) if heading else "\n".join(block).strip("\n"))
    return [piece for piece in found if piece]


def _example(lines: list[str], *, wrong: bool) -> Example:
    """Build one example from its lines."""
    notes = [line.split(EXPECT, 1)[1].strip() for line in lines if EXPECT in line]
    expected = [Expected(note.split(" ", 1)[0], note.partition('"')[2].rpartition('"')[0]) for note in notes]
    return Example("\n".join(lines).strip() + "\n", wrong, tuple(expected))
