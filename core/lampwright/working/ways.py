"""Ways over the track: from a signal, or to the next one, as a train runs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from lampwright.routes import MAIN, route_class
from lampwright.working.track import END, Passage, Piece, Side, Track

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from lampwright.plans import Plan

MOST: Final = 400
"""Ways from one signal that are looked at; a yard of ladders without signals has more than anybody can read."""
STEPS: Final = 20_000
FEWEST: Final = 500
IN_ALL: Final = 300_000
"""Pieces entered in one search; that many at least; and in the searches from all signals together, if it is more."""
FIRM: Final = "firm"
SOFT: Final = "soft"
"""How a signal ends a way: for every train, or only for one that runs to it (a shunting signal, passed by others)."""


class Step(Struct, frozen=True):
    """One piece run through, from side to side."""

    piece: str
    passage: Passage


class Way(Struct, frozen=True):
    """A way from a signal to where it ends: at a signal, at an end, or (``to`` empty) where the track stops.

    ``over`` are its sections in running order, each once, ``lies`` its points, ``passes`` the distants and repeaters
    it runs past. ``firm`` tells whether every train must end there.
    """

    to: str
    over: tuple[str, ...]
    lies: Mapping[str, str]
    passes: tuple[str, ...]
    steps: tuple[Step, ...]
    firm: bool = True


class Ways(Struct, frozen=True):
    """All ways from one signal; ``capped`` if there are more."""

    found: tuple[Way, ...] = ()
    capped: bool = False


def stops(plan: Plan) -> dict[str, str]:
    """Return the signals at which ways end, firm or soft; those not named are run past, as distants and repeaters are.

    A signal is run past if no route begins at it, and routes say that they pass it or it says what it repeats.
    """
    routes = [route for signal in plan.signals.values() for route in signal.routes]
    passed = {name for route in routes for name in route.passes}
    found: dict[str, str] = {}
    for signal in plan.signals.values():
        classes = {route_class(route) for route in signal.routes}
        if MAIN in classes or not (classes or signal.repeats or signal.name in passed):
            found[signal.name] = FIRM
        elif classes:
            found[signal.name] = SOFT
    found.update({route.to: FIRM for route in routes if route_class(route) == MAIN})
    return found


def ways(track: Track, signal: str, ending: Mapping[str, str], avoid: Collection[tuple[str, str]] = ()) -> Ways:
    """Find the ways from a signal; none runs over points that would have to lie both ways, or in a circle.

    ``avoid`` are lies, as (points, lie), that a way must not have: they make a search short that would be capped.
    """
    standing = track.signals.get(signal)
    if standing is None:
        return Ways()
    search = _Search(track, ending, avoid, max(FEWEST, min(STEPS, IN_ALL // len(track.signals))))
    search.pending.append(_begin(track.pieces[standing.piece], standing.side, standing.rank + 1))
    while search.pending and search.steps < search.limit and len(search.found) < MOST:
        search.follow(search.pending.pop())
    return Ways(tuple(search.found[:MOST]), bool(search.pending) or search.steps >= search.limit)


class _Trail(Struct):
    """A way being followed: about to leave a piece by a side, past the signals there from ``rank`` on."""

    piece: Piece
    side: int
    rank: int = 0
    steps: list[Step] = field(default_factory=list)
    lies: dict[str, str] = field(default_factory=dict)
    passes: list[str] = field(default_factory=list)
    seen: set[Side] = field(default_factory=set)

    def through(self, piece: Piece, passage: Passage) -> None:
        """Run on through a piece."""
        self.piece, self.side, self.rank = piece, passage.go, 0
        self.steps.append(Step(piece.name, passage))
        self.lies.update(passage.lies)
        self.seen.add((piece.name, passage.come))

    def copy(self) -> _Trail:
        """Return a trail to follow another way from here."""
        lists = (self.steps.copy(), self.lies.copy(), self.passes.copy(), self.seen.copy())
        return _Trail(self.piece, self.side, self.rank, *lists)

    def may_lie(self, passage: Passage) -> bool:
        """Tell whether no points would have to lie both ways."""
        return all(self.lies.get(points, lie) == lie for points, lie in passage.lies.items())


class _Search(Struct):
    """A search in depth, each trail followed to where it parts or ends."""

    track: Track
    ending: Mapping[str, str]
    avoid: Collection[tuple[str, str]]
    limit: int
    pending: list[_Trail] = field(default_factory=list)
    found: list[Way] = field(default_factory=list)
    steps: int = 0

    def follow(self, trail: _Trail) -> None:
        """Follow one trail; what parts from it is left for later."""
        while self._past_signals(trail) and self.steps < self.limit:
            self.steps += 1
            entered = self.track.beyond(trail.piece.name, trail.side)
            if entered is None or self.track.pieces[entered[0]].kind == END:
                return self._end(trail, entered)
            piece, come = self.track.pieces[entered[0]], entered[1]
            if entered in trail.seen:
                return None
            if not piece.passages.get(come):
                return self._stop(trail, piece, come)
            first, *others = self._open(trail, piece, come) or (None,)
            for other in reversed(others):
                parting = trail.copy()
                parting.through(piece, other)
                self.pending.append(parting)
            if first is None:
                return None
            trail.through(piece, first)
        return None

    def _past_signals(self, trail: _Trail) -> bool:
        """Take the signals where the trail is about to leave a piece; tell whether it goes on."""
        for name in trail.piece.signals.get(trail.side, ())[trail.rank :]:
            kind = self.ending.get(name)
            if kind:
                self.found.append(self._way(trail, name, firm=kind == FIRM))
            else:
                trail.passes.append(name)
            if kind == FIRM:
                return False
        return True

    def _open(self, trail: _Trail, piece: Piece, come: int) -> list[Passage]:
        """Return the passages that the trail may take."""
        return [
            passage
            for passage in piece.passages[come]
            if trail.may_lie(passage) and not any(lie in self.avoid for lie in passage.lies.items())
        ]

    def _end(self, trail: _Trail, entered: Side | None) -> None:
        """Keep the way that ends at an end, or at a name that leads no further."""
        neighbour = entered[0] if entered else trail.piece.neighbours[trail.side]
        stopped = entered is None and neighbour in self.track.pieces
        self.found.append(self._way(trail, "" if stopped else neighbour))

    def _stop(self, trail: _Trail, piece: Piece, come: int) -> None:
        """Keep the way that ends where the track does, in a section with nothing beyond."""
        trail.steps.append(Step(piece.name, Passage(come, come)))
        self.found.append(self._way(trail, ""))

    def _way(self, trail: _Trail, to: str, *, firm: bool = True) -> Way:
        """Return a trail as a way."""
        sections = (self.track.pieces[step.piece].section for step in trail.steps)
        over = tuple(dict.fromkeys(filter(None, sections)))
        return Way(to, over, dict(trail.lies), tuple(trail.passes), tuple(trail.steps), firm)


def _begin(piece: Piece, side: int, rank: int) -> _Trail:
    """Begin at a signal; if others stand before the train in the same piece, the way begins in it."""
    trail = _Trail(piece, side, rank)
    if piece.kind != END and piece.signals[side][rank:]:
        trail.steps += [Step(piece.name, passage) for passage in _leaving(piece, side)]
    return trail


def _leaving(piece: Piece, side: int) -> Iterator[Passage]:
    """Yield the passages that leave a section by a side."""
    for passages in piece.passages.values():
        yield from (passage for passage in passages if passage.go == side)
