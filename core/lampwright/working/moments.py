"""What can stand at one moment: states of different signals, compared two by two."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.working.worlds import excludes, train_clear

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.working.faces import Need
    from lampwright.working.reach import Reach, State


def together(reach: Reach, one: State, other: State) -> bool:
    """Tell whether two signals can stand at two states at one moment.

    Their routes do not exclude each other, a train that has released one is not on the route of the other, and where
    one takes something of the other, it stands there. States of a whole layout that can be together two by two can all
    be, unless they are ``circular``: then it is open whether signals come to stand so by themselves.
    """
    if not (train_clear(one, other) and train_clear(other, one)):
        return False
    return not excludes(one, other) and _granted(reach, one, other) and _granted(reach, other, one)


def circular(reach: Reach, states: Iterable[State]) -> bool:
    """Tell whether a signal of a layout takes, through others, what it shows itself."""
    takes = {state.stand.name: {_name(reach, need) for need in state.needs} for state in states}
    while free := [name for name, needed in takes.items() if not needed & takes.keys()]:
        for name in free:
            del takes[name]
    return bool(takes)


def _name(reach: Reach, need: Need) -> str:
    """Return the signal that is to stand at something; empty for what is no signal."""
    stand = reach.network.stands.get(need.key)
    return stand.name if stand is not None else ""


def _granted(reach: Reach, one: State, other: State) -> bool:
    """Tell whether a signal stands at what another takes of it."""
    for need in one.needs:
        if _name(reach, need) != other.stand.name:
            continue
        if reach.network.stands[need.key] is not other.stand or not reach.asking.met(need, other.face):
            return False
    return True
