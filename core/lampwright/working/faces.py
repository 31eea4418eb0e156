"""What is seen of a signal from behind, and where a train that has released it may be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lampwright.rulebooks.codec import as_words

if TYPE_CHECKING:
    from lampwright.working.network import Facts, Via

ANYWHERE: frozenset[str] = frozenset()
"""Where the train is that released a signal, if the plan does not say: between the signal and the one before it."""


@dataclass(frozen=True, slots=True)
class Face:
    """What a signal is seen to show, and what of its route matters to those behind it.

    ``book`` is the id of its rulebook, ``route`` the facts of the route set that rules ask of the next signal (None if
    none is set), ``near`` the sections in which a train has released it or one beyond it (None if none has),
    ``second`` what its own next signal shows, where rules ask that.
    """

    aspect: str
    book: str
    route: Facts | None = None
    near: frozenset[str] | None = None
    second: str = ""


@dataclass(frozen=True, slots=True)
class Need:
    """What must stand at a signal ahead: a face; or, without one, any that lets trains go (``off``) or stops them."""

    key: str
    face: Face | None
    off: bool = True


def released_by(via: Via) -> frozenset[str]:
    """Return the sections of the train that releases a signal."""
    occupied = via.route.release.get("occupied") if via.route else None
    return ANYWHERE if occupied is None else frozenset(as_words(occupied))


def clear_of(via: Via, near: frozenset[str]) -> bool:
    """Tell whether a route can be set while a train is in the sections that release a signal ahead.

    It cannot if they are on its way; where the plan does not say them, they are.
    """
    return via.route is None or (bool(near) and not near & via.over)
