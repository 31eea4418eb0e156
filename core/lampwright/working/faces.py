"""What is seen of a signal from behind, and where a train that has released it may be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.codec import as_words

if TYPE_CHECKING:
    from lampwright.plans import Route
    from lampwright.working.network import Facts, Via


class Face(Struct, frozen=True):
    """What a signal is seen to show, and what of its route matters to those behind it.

    ``book`` is the id of its rulebook, ``route`` the facts of the route set that rules ask of the next signal (None if
    none is set), ``near`` the places of trains that have released it or one beyond it (None if none has),
    ``second`` what its own next signal shows, where rules ask that.
    """

    aspect: str
    book: str
    route: Facts | None = None
    near: frozenset[str] | None = None
    second: str = ""


class Need(Struct, frozen=True):
    """What must stand at a signal ahead: a face; or, without one, any that lets trains go (``off``) or stops them."""

    key: str
    face: Face | None
    off: bool = True


def occupied_by(route: Route, goal: str) -> frozenset[str]:
    """Return the track of a route as the places in which no train may stand while it is set.

    These are its sections, and the track to its exit by itself; for a plan may say where a train stands by either.
    """
    return frozenset((*route.over, f"to {goal}", *(() if route.over else (f"sections to {goal}",))))


def released_by(via: Via) -> frozenset[str]:
    """Return the places of the train that releases a signal: the sections said, or the track to it.

    Of a route that leads to it and says no sections it is not known whether they are among them; they are taken to be.
    """
    said = via.route.release.get("occupied") if via.route else None
    name = via.stand.name
    return frozenset({f"to {name}"} if said is None else {*as_words(said), f"sections to {name}"})


def clear_of(via: Via, near: frozenset[str]) -> bool:
    """Tell whether a route can be set while a train is where it releases a signal."""
    return not near & via.over
