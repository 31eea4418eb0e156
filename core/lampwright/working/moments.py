"""What can stand at one moment: states of different signals, compared two by two."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.working.worlds import excludes, train_clear

if TYPE_CHECKING:
    from lampwright.working.reach import Reach, State


def together(reach: Reach, one: State, other: State) -> bool:
    """Tell whether two signals can stand at two states at one moment.

    Their routes do not exclude each other, a train that has released one is not on the route of the other, and where
    one takes something of the other, it stands there. States of a whole layout that can be together two by two can all
    be: the one thing left out of account is whether signals in a circle come to stand so by themselves.
    """
    if not (train_clear(one, other) and train_clear(other, one)):
        return False
    return not excludes(one, other) and _granted(reach, one, other) and _granted(reach, other, one)


def _granted(reach: Reach, one: State, other: State) -> bool:
    """Tell whether a signal stands at what another takes of it."""
    for need in one.needs:
        stand = reach.network.stands.get(need.key)
        if stand is None or stand.name != other.stand.name:
            continue
        if stand is not other.stand or not reach.asking.met(need, other.face):
            return False
    return True
