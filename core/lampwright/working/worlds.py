"""Whether a state can be: whether all it takes, down to signals at stop and ends of line, can stand at one moment."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from lampwright.rulebooks.sequence import END
from lampwright.working.conflicts import conflicts
from lampwright.working.faces import Face

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

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
        self._tries = 0

    def real(self, state: State) -> bool:
        """Tell whether a state can be."""
        return self.of(state) is not None

    def of(self, state: State) -> World | None:
        """Return the smallest world found for a state; None if it can never be."""
        if state not in self._found:
            self._found[state] = self._search(state)
        return self._found[state]

    def _search(self, state: State) -> World | None:
        """Look for a world, shortest stories first."""
        signals = len(self._reach.network.stands)
        shortest = self._shortest(state)
        self._tries = TRIES
        for more in FARTHER if train_clear(state, state) else ():
            world = {state.stand.name: state}
            if self._solve(list(state.needs), world, shortest + more):
                return world
            if shortest + more >= signals or self._tries <= 0:
                break
        return None

    def _shortest(self, state: State) -> int:
        """Return how many signals the first story of a state takes, were everything possible."""
        count = 1
        ahead: State | None = state
        while ahead and ahead.needs and (ahead := next(self._states(ahead.needs[0]), None)):
            count += 1
        return count

    def _solve(self, needs: list[Need], world: World, limit: int) -> bool:
        """Fill a world with what is still needed."""
        if not needs:
            return not _circular(self._reach, world) or self._settles(world)
        need, *rest = needs
        stand = self._reach.network.stands.get(need.key)
        there = world.get(stand.name) if stand is not None else None
        if stand is None or there is not None:
            met = there is None or (there.stand is stand and self._reach.asking.met(need, there.face))
            return met and self._solve(rest, world, limit)
        for state in self._states(need) if len(world) < limit else ():
            self._tries -= 1
            if self._tries <= 0:
                return False
            if train_clear(state, state) and all(self._together(state, other) for other in world.values()):
                world[stand.name] = state
                if self._solve([*state.needs, *rest], world, limit):
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

    def _together(self, one: State, other: State) -> bool:
        """Tell whether two states can be at one moment."""
        if not (train_clear(one, other) and train_clear(other, one)):
            return False
        return not (one.via and other.via and one.route and other.route and excludes(one, other))

    def _settles(self, world: World) -> bool:
        """Tell whether signals in a circle come to stand so, all at stop when their routes are set."""
        wanted = {name: state.face for name, state in world.items()}
        now: dict[str, Face | None] = {name: self._stopped(state) for name, state in world.items()}
        seen: list[dict[str, Face | None]] = []
        while now not in seen:
            seen.append(now)
            now = {name: self._next(state, now) for name, state in world.items()}
        return wanted in seen[seen.index(now) :]

    def _stopped(self, state: State) -> Face:
        """Return the face of a signal whose route has just been set."""
        post = state.stand.post
        return Face(post.seen(post.resting()[0].shows), post.rulebook.id)

    def _next(self, state: State, now: Mapping[str, Face | None]) -> Face | None:
        """Return what a signal comes to show when all around it are as they are now."""
        if state.via is None:
            return state.face
        ahead = self._ahead(state, now)
        if ahead is None or not ahead.aspect:
            return None
        approached = state.near is not None
        for after, answers in self._reach.asking.asks(state.via, ahead):
            if after == approached or not after:
                chosen = answers[min(state.choice, len(answers) - 1)]
        return self._reach.asking.face(state.via, chosen, ahead, state.near)

    def _ahead(self, state: State, now: Mapping[str, Face | None]) -> Face | None:
        """Return what a signal sees ahead; several that do not stand as it takes are as good as an end."""
        told = state.ahead
        for need in state.needs:
            stand = self._reach.network.stands.get(need.key)
            if stand is None or stand.name not in now:
                continue
            face = now[stand.name]
            if len(state.needs) == 1:
                return face
            if face is None or not self._reach.asking.met(need, face):
                return told and replace(told, aspect=END)
        return told


def excludes(one: State, other: State) -> bool:
    """Tell whether two routes can never be set together; routes of different files are not compared."""
    layout = one.stand.signal.layout
    if layout is not other.stand.signal.layout or one.route is None or other.route is None:
        return False
    return conflicts(layout).excludes(one.route, other.route)


def train_clear(one: State, other: State) -> bool:
    """Tell whether the train that released one signal is off the route that is set from another."""
    if one.near is None or other.via is None or other.route is None:
        return True
    if one.near and other.via.over:
        return not one.near & other.via.over
    return other.via.exit != one.stand.name


def _circular(reach: Reach, world: World) -> bool:
    """Tell whether something in a world takes itself."""
    waiting = {
        name: {stand.name for need in state.needs if (stand := reach.network.stands.get(need.key)) is not None}
        for name, state in world.items()
    }
    while free := [name for name, needed in waiting.items() if not needed & waiting.keys()]:
        for name in free:
            del waiting[name]
    return bool(waiting)
