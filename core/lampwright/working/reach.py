"""Everything each signal can be asked to show: the least set closed under the sequence, with what led to each of it.

A signal at stop, an end of line, what the plan assumes beyond its edge: from these the sequence is followed back,
signal by signal, until nothing new comes. What a signal is seen to show from behind is its face; each new face is
looked at once by everything behind it, nearest first, so that the first state with a face has the shortest story.
"""

from __future__ import annotations

from collections import deque
from enum import Enum
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.sequence import ENDS
from lampwright.working.asking import Asking
from lampwright.working.faces import Face, Need, clear_of, released_by
from lampwright.working.network import ALL_OFF, FOLLOWING, Limit, Network, Stand, Via, network_of
from lampwright.working.posts import STOP, Answer
from lampwright.working.units import asked_of
from lampwright.working.worlds import Worlds

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import Layout
    from lampwright.plans import Route
    from lampwright.working.lacks import Lack


class State(Struct, frozen=True, eq=False):
    """One thing that a signal may stand at, and what that takes.

    ``via`` is the route set or the repeating, ``ahead`` what is then seen, ``needs`` all that this takes; None and
    nothing with no route set. ``near`` are the places of the train that has released this signal, None if none has.
    ``choice`` counts what is allowed besides what must stand first.
    """

    stand: Stand
    via: Via | None
    ahead: Face | None
    needs: tuple[Need, ...]
    answer: Answer
    face: Face
    choice: int = 0
    near: frozenset[str] | None = None

    @property
    def route(self) -> Route | None:
        """The route that is set, if one is."""
        return self.via.route if self.via else None

    @property
    def held(self) -> Route | None:
        """The route that must be set: its own, or one that passes it and decides what it tells of."""
        return self.via.held if self.via else None


class Beyond(Enum):
    """What may stand where the plan says nothing: no more than it says; where nothing is said, anything; ever anything.

    With ``SAID`` a state that is there can be; with ``ANYTHING`` one that is not there can never be. ``GUESSED`` takes
    what is assumed of an end for all there is; so does ``ASSUMED``, and counts what is done though it is not asked for.
    """

    SAID = "said"
    GUESSED = "guessed"
    ASSUMED = "assumed"
    ANYTHING = "anything"


ALSO_DONE = frozenset({Beyond.ASSUMED, Beyond.ANYTHING})
"""Where a signal may also look past a distant at what that tells of."""


class Reach:
    """The states of every signal of a network."""

    def __init__(self, network: Network, beyond: Beyond = Beyond.SAID) -> None:
        """Follow the sequence back from everything that stands by itself."""
        self.network = network
        self.beyond = beyond
        self.states: dict[str, list[State]] = {}
        self.faces: dict[str, dict[Face, list[State]]] = {}
        self._queue: deque[tuple[str, Face]] = deque()
        self._open: set[str] = set()
        self._told: set[tuple[Via, tuple[Need, ...]]] = set()
        self.asking = Asking(network.books)
        self.worlds = Worlds(self)
        self.lacks: dict[str, tuple[Lack, ...]] = {}  # what each signal cannot show, kept by ``lacks``
        self._begin()
        while self._queue:
            key, face = self._queue.popleft()
            for via in network.behind.get(key, ()):
                self._look(via, key, face)

    def of(self, name: str) -> Iterator[State]:
        """Yield the states of a signal that can be, those with the shortest stories first."""
        return filter(self.worlds.real, self.thought_of(name))

    def thought_of(self, name: str) -> Iterator[State]:
        """Yield the states of a signal that the sequence leads to, whether or not they can be, in the same order."""
        for stand in self.network.of_signal.get(name, ()):
            yield from self.states.get(stand.key, ())

    def first(self, name: str) -> dict[tuple[str, str], State]:
        """Return what each part of a signal can show, with the state that takes least."""
        found: dict[tuple[str, str], State] = {}
        for stand in self.network.of_signal.get(name, ()):
            for state in self.states.get(stand.key, ()):
                new = [shown for shown in state.answer.shows if shown[1] and shown not in found]
                if new and self.worlds.real(state):
                    found.update(dict.fromkeys(new, state))
        return found

    def _begin(self) -> None:
        """Enter what stands by itself: ends, and signals with no route set."""
        for limit in self.network.limits.values():
            for face in self._at(limit):
                self._new(limit.key, face)
        for stand in self.network.stands.values():
            if stand.rests:
                for answer in stand.post.resting():
                    self._enter(State(stand, None, None, (), answer, self._still(stand, answer)))
                if self.beyond is not Beyond.SAID and (stand.unclear or not stand.vias):
                    self._anything(stand)

    def _at(self, limit: Limit) -> Iterator[Face]:
        """Yield what stands at the edge of what is known."""
        book = limit.layout.rulebook
        if book is None:
            return
        shows = limit.shows
        if limit.open and (self.beyond is Beyond.ANYTHING or (self.beyond is not Beyond.SAID and not shows)):
            shows = (*shows, *asked_of(book, STOP, limit.layout.years))
        for aspect in dict.fromkeys(shows):
            if aspect in ENDS or aspect in book.aspects:
                yield Face(aspect, book.id)

    def _anything(self, stand: Stand) -> None:
        """Enter everything that a signal could show, for nothing is known of what it is asked."""
        parts = [unit.part for unit in stand.post.units]
        for number, unit in enumerate(stand.post.units):
            for aspect in unit.able:
                shown = [next(iter(other.rest), "") for other in stand.post.units]
                shown[number] = aspect
                answer = Answer(tuple(zip(parts, shown, strict=True)))
                self._enter(State(stand, None, None, (), answer, self._still(stand, answer)))

    def _look(self, via: Via, key: str, face: Face) -> None:
        """Let a signal look at a new face ahead."""
        if via.loose and self.beyond not in ALSO_DONE:
            return
        if face.near is not None and not clear_of(via, face.near):
            return
        if via.how not in FOLLOWING:
            self._ask(via, face, (Need(key, face),))
            return
        for told, needs in self._together(via):
            if (via, needs) not in self._told:
                self._told.add((via, needs))
                self._ask(via, told, needs)

    def _together(self, via: Via) -> Iterator[tuple[Face, tuple[Need, ...]]]:
        """Yield what several signals ahead tell together, with what each must show for it."""
        known = [list(self.faces.get(key, ())) for key in via.ahead]
        off = [[face for face in faces if self.asking.proceeds(face)] for faces in known]
        stopping = [[face for face in faces if not self.asking.proceeds(face)] for faces in known]
        if via.how == ALL_OFF:
            for key, faces in zip(via.ahead, stopping, strict=True):
                yield from ((face, (Need(key, face),)) for face in faces)
            if all(off):
                others = tuple(Need(key, None) for key in via.ahead[1:])
                yield from ((face, (Need(via.ahead[0], face), *others)) for face in off[0])
            return
        if all(stopping):
            at_stop = tuple(Need(key, None, off=False) for key in via.ahead)
            yield stopping[0][0], at_stop
            for number, key in enumerate(via.ahead):
                others = (*at_stop[:number], *at_stop[number + 1 :])
                yield from ((face, (Need(key, face), *others)) for face in off[number])

    def _ask(self, via: Via, face: Face, needs: tuple[Need, ...]) -> None:
        """Enter everything that a signal may show when it sees a face ahead."""
        for approached, answers in self.asking.asks(via, face):
            near = released_by(via) if approached else None
            for choice, answer in enumerate(answers):
                seen = self.asking.face(via, answer, face, near)
                self._enter(State(via.stand, via, face, needs, answer, seen, choice, near))

    def _enter(self, state: State) -> None:
        """Keep a state; if its face is new, let those behind look at it."""
        key = state.stand.key
        self.states.setdefault(key, []).append(state)
        if state.face.aspect:
            known = self.faces.setdefault(key, {})
            if state.face not in known:
                self._new(key, state.face)
            known[state.face].append(state)
        elif self.beyond is not Beyond.SAID and state.via is not None and key not in self._open:
            self._open.add(key)
            self._anything(state.stand)

    def _new(self, key: str, face: Face) -> None:
        """Remember a face and that it is still to be looked at."""
        self.faces.setdefault(key, {})[face] = []
        self._queue.append((key, face))

    def _still(self, stand: Stand, answer: Answer) -> Face:
        """Return the face of a signal with no route set."""
        return Face(stand.post.seen(answer.shows), stand.post.rulebook.id)


def reach(layout: Layout, beyond: Beyond = Beyond.SAID) -> Reach:
    """Return everything that the signals of a layout can be asked to show; worked out once."""
    if beyond not in layout.cache:
        closed = beyond is not Beyond.SAID and _closed(reach(layout), beyond)
        layout.cache[beyond] = reach(layout) if closed else Reach(network_of(layout), beyond)
    found: Reach = layout.cache[beyond]
    return found


def _closed(said: Reach, beyond: Beyond) -> bool:
    """Tell whether a plan leaves nothing open that could be taken in another way: then all is followed."""
    network = said.network
    edges = any(limit.open and (beyond is Beyond.ANYTHING or not limit.shows) for limit in network.limits.values())
    unasked = any(stand.rests and (stand.unclear or not stand.vias) for stand in network.stands.values())
    loose = any(via.loose for vias in network.behind.values() for via in vias)
    mute = any(state.via and not state.face.aspect for states in said.states.values() for state in states)
    return not (edges or unasked or loose or mute)
