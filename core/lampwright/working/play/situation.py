"""What is set, occupied and failed at one moment, and the moves that change it."""

from __future__ import annotations

from msgspec import Struct

Lamp = tuple[str, str]
"""A signal, and the label of one of its lamps."""


class Situation(Struct, frozen=True):
    """One moment of a layout.

    ``routes`` are those set, by their numbers in the plan; of these a train has run into the ``passed``, so that their
    signals wait to be set again. ``occupied`` are places, ``failed`` lamps, ``reverse`` points that do not lie normal.
    ``beyond`` is what is taken to stand at the edge of the plan, where that is not what comes first.
    """

    routes: frozenset[int] = frozenset()
    passed: frozenset[int] = frozenset()
    occupied: frozenset[str] = frozenset()
    failed: frozenset[Lamp] = frozenset()
    reverse: frozenset[str] = frozenset()
    beyond: tuple[tuple[str, str], ...] = ()

    def out(self, signal: str) -> frozenset[str]:
        """Return the lamps of a signal that are out."""
        return frozenset(lamp for name, lamp in self.failed if name == signal)


class Set(Struct, frozen=True):
    """Set a route, by its number; also once more for the next train."""

    route: int


class Cancel(Struct, frozen=True):
    """Take a route back."""

    route: int


class Occupy(Struct, frozen=True):
    """Let a train stand in a place."""

    place: str


class Clear(Struct, frozen=True):
    """Let no train stand in a place any more."""

    place: str


class Fail(Struct, frozen=True):
    """Let a lamp go out."""

    signal: str
    lamp: str


class Mend(Struct, frozen=True):
    """Put in a new lamp."""

    signal: str
    lamp: str


class Assume(Struct, frozen=True):
    """Take something to stand at the edge of the plan: an aspect, or an empty text for what is not known."""

    end: str
    aspect: str


Move = Set | Cancel | Occupy | Clear | Fail | Mend | Assume


class Refusal(Struct, frozen=True):
    """A move that cannot be made: what was to be done, and all reasons against it, in words."""

    what: str
    reasons: tuple[str, ...]

    def __str__(self) -> str:
        """Return it as a sentence: ``route TB1 to TB3 cannot be set: TB1 to yard is set, and both begin at TB1``."""
        return f"{self.what}: {'; '.join(self.reasons)}"
