"""Whether a state can be: whether all it takes, down to signals at stop and ends of line, can stand at one moment."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.working.conflicts import conflicts
from lampwright.working.faces import clear_of
from lampwright.working.settling import circular, settles

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.working.faces import Need
    from lampwright.working.reach import Reach, State

FARTHER: Final = (0, 1, 2, 4, 8, 200)
"""How many signals more than the shortest story has are tried, one number after the other."""
TRIES: Final = 20_000
"""States that are tried for one story. No plan of a railway comes near it."""

World = dict[str, "State"]
"""By signal, the one state it is in; the signal asked about comes first, then in running order what it takes."""


class Worlds:
    """Finds for a state the smallest world it can be part of.

    In a world every signal stands at one thing; routes that are set do not exclude each other; a train that has
    released a signal is on no other route that is set; and signals in a circle stand as they settle from stop.
    """

    def __init__(self, reach: Reach) -> None:
        self._reach = reach
        self._found: dict[State, World | None] = {}
        self._lengths: dict[State, int] = {}
        self._tries = 0

    def real(self, state: State) -> bool:
        """Tell whether a state can be."""
        return self.of(state) is not None

    def of(self, state: State) -> World | None:
        """Return the smallest world found for a state; None if it can never be."""
        if state not in self._found:
            for one in reversed(self._story(state)):
                if one not in self._found:
                    self._found[one] = self._joined(one) or self._search(one)
        return self._found[state]

    def _story(self, state: State) -> list[State]:
        """Return the first story of a state, as far as it is new, and how many signals it takes, possible or not."""
        story = [state]
        while (ahead := self._next(story[-1])) and ahead not in self._lengths:
            story.append(ahead)
        length = self._lengths[ahead] if ahead else 0
        for number, one in enumerate(reversed(story), 1):
            self._lengths[one] = length + number
        return story

    def _next(self, state: State) -> State | None:
        """Return the state that the first story of a state goes on with."""
        return next(self._states(state.needs[0]), None) if state.needs else None

    def _joined(self, state: State) -> World | None:
        """Return the world of what stands ahead with a state before it, where a search would come upon just that."""
        ahead = self._next(state) if len(state.needs) == 1 else None
        world = self._found.get(ahead) if ahead else None
        if ahead is None or world is None or len(world) != self._lengths[ahead] or state.stand.name in world:
            return None
        fits = train_clear(state, state) and all(_together(state, other) for other in world.values())
        return {state.stand.name: state, **world} if fits else None

    def _search(self, state: State) -> World | None:
        """Look for a world, shortest stories first."""
        signals, shortest = len(self._reach.network.stands), self._lengths[state]
        self._tries = TRIES
        for more in FARTHER if train_clear(state, state) else ():
            world = {state.stand.name: state}
            if self._solve(list(state.needs), world, shortest + more):
                return world
            if shortest + more >= signals or self._tries <= 0:
                break
        return None

    def _solve(self, needs: list[Need], world: World, limit: int, *, met_again: bool = False) -> bool:
        """Fill a world with what is still needed; only one in which a signal is ``met_again`` can be a circle."""
        if not needs:
            return not met_again or not circular(self._reach, world) or settles(self._reach, world)
        need, *rest = needs
        stand = self._reach.network.stands.get(need.key)
        there = world.get(stand.name) if stand is not None else None
        if stand is None or there is not None:
            met = there is None or (there.stand is stand and self._reach.asking.met(need, there.face))
            return met and self._solve(rest, world, limit, met_again=met_again or there is not None)
        for state in self._states(need) if len(world) < limit else ():
            self._tries -= 1
            if self._tries <= 0:
                return False
            if train_clear(state, state) and all(_together(state, other) for other in world.values()):
                world[stand.name] = state
                if self._solve([*state.needs, *rest], world, limit, met_again=met_again):
                    return True
                del world[stand.name]
        return False

    def _states(self, need: Need) -> Iterator[State]:
        """Yield the states that are what is needed, those with the shortest stories first."""
        faces = self._reach.faces.get(need.key, {})
        if need.face is not None:
            yield from faces.get(need.face, ())
            return
        for face, states in faces.items():
            if self._reach.asking.met(need, face):
                yield from states


def _together(one: State, other: State) -> bool:
    """Tell whether two states can be at one moment."""
    return train_clear(one, other) and train_clear(other, one) and not excludes(one, other)


def excludes(one: State, other: State) -> bool:
    """Tell whether two signals take routes that can never be set together; different files are not compared.

    Besides those that conflict, these are routes over one track, as a signal tells that both pass.
    """
    if _against(one, other) or _against(other, one):
        return True
    mine, theirs = one.held, other.held
    layout = one.stand.signal.layout
    if mine is None or theirs is None or mine is theirs or layout is not other.stand.signal.layout:
        return False
    passed = mine.passes and theirs.passes and not set(mine.passes).isdisjoint(theirs.passes)
    return bool(passed) or conflicts(layout).excludes(mine, theirs)


def _against(one: State, other: State) -> bool:
    """Tell whether a signal takes a route of a signal that has none or another set."""
    if one.via is None or not one.via.owner or one.held is other.held:
        return False
    return one.via.owner == other.stand.name or (other.via is not None and one.via.owner == other.via.owner)


def train_clear(one: State, other: State) -> bool:
    """Tell whether the train that released one signal is off the route that is set from another."""
    return one.near is None or other.via is None or clear_of(other.via, one.near)
