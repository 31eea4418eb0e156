"""What keeps other trains away from the side of a route, as the track gives it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from lampwright.working.track import CROSSING, END, LEGS, OPPOSITE, POINTS

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from lampwright.working.track import Piece, Side, Track
    from lampwright.working.ways import Step

SIGNAL: Final = "signal"
OPEN: Final = "open"


class Guard(Struct, frozen=True):
    """What a leg is guarded by: points with their ``lie``, a signal at stop, or (``open``) nothing before ``name``."""

    kind: str
    name: str
    lie: str = ""


class Flank(Struct, frozen=True):
    """One leg that joins a route from the side, at points or a crossing, and all that guards it together.

    ``beyond`` is all that could guard it, however far out: points, signals, and where the track ends (open).
    """

    piece: str
    leg: str
    guards: tuple[Guard, ...]
    beyond: tuple[Guard, ...] = ()


def flanks(track: Track, steps: Iterable[Step]) -> list[Flank]:
    """Return the legs that join a way from the side, in running order; a leg is not one if the way runs over it."""
    run = {(step.piece, side): None for step in steps for side in (step.passage.come, step.passage.go)}
    pieces = [track.pieces[name] for name in dict.fromkeys(name for name, _ in run)]
    return [_flank(track, piece, side) for piece in pieces for side in _joining(piece, run)]


def _joining(piece: Piece, run: Collection[Side]) -> Iterator[int]:
    """Yield the sides of points and crossings that a way does not use itself."""
    if piece.kind in (POINTS, CROSSING):
        yield from (side for side in range(len(piece.neighbours)) if (piece.name, side) not in run)


def _flank(track: Track, piece: Piece, side: int) -> Flank:
    """Look outwards from one leg, and on beyond what guards it."""
    leg = LEGS[side] if piece.kind == POINTS else piece.neighbours[side]
    nearest = _Look(track)
    nearest.out(piece, side)
    furthest = _Look(track, heedless=True)
    furthest.out(piece, side)
    return Flank(piece.name, leg, tuple(dict.fromkeys(nearest.guards)), tuple(dict.fromkeys(furthest.guards)))


class _Look(Struct):
    """A look outwards along the track, against the way trains would come; ``heedless`` looks past what guards."""

    track: Track
    heedless: bool = False
    guards: list[Guard] = field(default_factory=list)
    seen: set[Side] = field(default_factory=set)

    def out(self, piece: Piece, side: int) -> None:
        """Look out of a piece by a side, and on as far as trains can come from."""
        pending = [(piece, side)]
        while pending:
            piece, side = pending.pop()
            leaving = self.track.beyond(piece.name, side)
            if leaving is None:
                self.guards.append(Guard(OPEN, piece.neighbours[side] if side < len(piece.neighbours) else piece.name))
            elif leaving not in self.seen:
                self.seen.add(leaving)
                pending += self._into(self.track.pieces[leaving[0]], leaving[1])

    def _into(self, piece: Piece, side: int) -> list[tuple[Piece, int]]:
        """Look into a piece whose trains would leave it by a side; return where they would come into it."""
        signals = piece.signals.get(side, ())
        self.guards += [Guard(SIGNAL, name) for name in signals[-1:]]
        if signals and not self.heedless:
            return []
        if piece.kind == END:
            self.guards.append(Guard(OPEN, piece.name))
            return []
        if piece.kind == POINTS and side:
            self.guards.append(Guard(POINTS, piece.name, OPPOSITE[LEGS[side]]))
            return [(piece, 0)] if self.heedless else []
        return self._through(piece, side)

    def _through(self, piece: Piece, side: int) -> list[tuple[Piece, int]]:
        """Return the sides that trains come in by which leave by a side: several at a toe or a crossing."""
        coming = [(piece, come) for come, passages in piece.passages.items() if any(one.go == side for one in passages)]
        if not coming:
            self.guards.append(Guard(OPEN, piece.name))
        return coming
