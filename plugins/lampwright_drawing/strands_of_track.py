"""Strands from the plan's track: its pieces, turned so that joined sides look at each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.working.track import CROSSING, END, LEGS, POINTS, Track
from lampwright.working.ways import stops, ways
from lampwright_drawing.strands import SECTION, Place, Strands, routes_of, strand

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

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
    straight = _straight(track, made)
    for (one, side), (other, far) in track.joints.items():
        if right[one, side] and not right[other, far]:
            made.join(one, other, main=(one, side) in straight and (other, far) in straight)
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


def _straight(track: Track, made: Strands) -> set[Side]:
    """Return the sides of pieces that lead straight on: no reverse leg of points, one way of a crossing."""
    reverse = LEGS.index("reverse")
    found = {
        (piece.name, side)
        for piece in track.pieces.values()
        for side in range(len(piece.neighbours))
        if piece.kind != CROSSING and not (piece.kind == POINTS and side == reverse)
    }
    for piece in track.pieces.values():
        if piece.kind == CROSSING:
            found |= _first_way(track, piece, made, found)
    return found


def _first_way(track: Track, piece: Piece, made: Strands, straight: Collection[Side]) -> set[Side]:
    """Return the way of a crossing that is drawn straight: of one line, and straight on at both ends, if there is.

    The order in which the plan says its ways counts for nothing.
    """

    def liking(way: tuple[int, int]) -> tuple[bool, int, list[str]]:
        names = [piece.neighbours[side] for side in way]
        lines = {made.strands[name].line for name in names if name in made.strands}
        bent = sum(track.joints.get((piece.name, side)) not in straight for side in way)
        return len(lines) != 1 or "" in lines, bent, sorted(names)

    ways = {(passage.come, passage.go) for of in piece.passages.values() for passage in of if passage.come < passage.go}
    return {(piece.name, side) for side in min(ways, key=liking)} if ways else set()


def _turned(track: Track) -> dict[Side, bool]:
    """Tell of each side of each piece whether it looks to the right; what is joined to nothing is not turned."""
    right: dict[Side, bool] = {}
    for name, piece in sorted(track.pieces.items(), key=lambda item: item[1].kind == CROSSING):
        for side in sorted(range(len(piece.neighbours)), key=_by_name(piece)):
            if (name, side) not in right:
                _spread(track, (name, side), right, way=piece.kind == END)
    return right


def _by_name(piece: Piece) -> Callable[[int], str]:
    """Return what puts the sides of a piece in order: of a crossing their names, for its ways are in no order."""
    return lambda side: piece.neighbours[side] if piece.kind == CROSSING else ""


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
