"""Strands from the plan's track: its pieces, turned so that joined sides look at each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.working.track import CROSSING, END, POINTS, Track
from lampwright.working.ways import stops, ways
from lampwright_drawing.strands import SECTION, Place, Strands, routes_of, strand

if TYPE_CHECKING:
    from lampwright.plans import Plan
    from lampwright.working.track import Piece, Side


def from_track(plan: Plan) -> Strands:
    """Return the strands of a plan with a track."""
    track = Track(plan)
    right = _turned(track)
    made = Strands()
    for name, piece in track.pieces.items():
        kind = piece.kind if piece.kind in (POINTS, CROSSING, END) else SECTION
        made.strands[name] = strand(plan, name, kind, lies_in=piece.section if piece.section != name else "")
        if kind == POINTS:
            made.named[name, right[name, 1]] = [name]
    for (one, side), (other, far) in track.joints.items():
        if right[one, side] and not right[other, far]:
            main = _straight(track.pieces[one], side) and _straight(track.pieces[other], far)
            made.join(one, other, main=main)
    for name, piece in track.pieces.items():
        for side, neighbour in enumerate(piece.neighbours):
            if neighbour in plan.ends and neighbour not in track.pieces:
                made.strands[neighbour] = strand(plan, neighbour, END, made.strands[name].line)
                pair = (name, neighbour) if right[name, side] else (neighbour, name)
                made.join(*pair)
    for signal, standing in track.signals.items():
        way = right[standing.piece, standing.side]
        row = track.pieces[standing.piece].signals[standing.side]
        made.places[signal] = Place(standing.piece, way, way, len(row) - standing.rank - 1)
    _routes(plan, track, made)
    return made


def _routes(plan: Plan, track: Track, made: Strands) -> None:
    """Find the pieces that each route runs over."""
    ending = stops(plan)
    found = {name: ways(track, name, ending).found for name in plan.signals}
    for signal, index, route in routes_of(plan):
        for way in found[signal]:
            if way.to == route.to and all(way.lies.get(points, lie) == lie for points, lie in route.points.items()):
                last = [way.to] if way.to in made.strands else []
                made.routes[signal, index] = [*(step.piece for step in way.steps), *last]
                break


def _straight(piece: Piece, side: int) -> bool:
    """Tell whether a side is no reverse leg of points, and of a crossing that of its first way."""
    if piece.kind == POINTS:
        return side != 2  # noqa: PLR2004  (toe, normal, reverse)
    return piece.kind != CROSSING or side in (0, 1)


def _turned(track: Track) -> dict[Side, bool]:
    """Tell of each side of each piece whether it looks to the right; what is joined to nothing is not turned."""
    right: dict[Side, bool] = {}
    for name, piece in track.pieces.items():
        for side in range(len(piece.neighbours)):
            if (name, side) not in right:
                _spread(track, (name, side), right, way=piece.kind == END)
    return right


def _spread(track: Track, start: Side, right: dict[Side, bool], *, way: bool) -> None:
    """Turn a side as told, and all that hangs together with it."""
    waiting = [(start, way)]
    while waiting:
        side, looks = waiting.pop()
        if side not in right:
            right[side] = looks
            waiting += [((side[0], other), looks == alike) for other, alike in _others(track.pieces[side[0]], side[1])]
            if (beyond := track.joints.get(side)) is not None:
                waiting.append((beyond, not looks))


def _others(piece: Piece, side: int) -> list[tuple[int, bool]]:
    """Return other sides of a piece, and whether each looks the same way: what a train leaves by looks away.

    Of a crossing only those are told that a way leads to: how its ways lie to each other follows from elsewhere.
    """
    across = {passage.go for passage in piece.passages.get(side, ())}
    if piece.kind == POINTS:
        across = {1, 2} if side == 0 else {0}
    elif not across:
        across = {1 - side} if side < 2 else set()  # noqa: PLR2004
    if piece.kind == CROSSING:
        return [(other, False) for other in across]
    return [(other, other not in across) for other in range(len(piece.neighbours)) if other != side]
