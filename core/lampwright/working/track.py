"""The track of a plan as a graph: its pieces, their sides, and what joins them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, field

from lampwright.rulebooks.codec import as_text, as_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.findings import Path
    from lampwright.plans import Plan

SECTION: Final = "section"
POINTS: Final = "points"
CROSSING: Final = "crossing"
END: Final = "end"
LEGS: Final = ("toe", "normal", "reverse")
"""The keys of points in the track; their place in this list is the number of the side."""
OPPOSITE: Final = {"normal": "reverse", "reverse": "normal"}

Side = tuple[str, int]
"""A side of a piece: where it joins another. Points have three, in the order of their legs."""


class Passage(Struct, frozen=True):
    """A way through one piece, from the side a train comes in by to the side it leaves by."""

    come: int
    go: int
    lies: Mapping[str, str] = field(default_factory=dict)


class Piece(Struct, frozen=True):
    """One piece of track. ``neighbours`` are what its sides lead to, ``signals`` those that stand at each side.

    ``section`` tells where a train on it is seen; ``passages`` are by the side a train comes in by.
    """

    name: str
    kind: str
    path: Path
    neighbours: tuple[str, ...]
    places: tuple[Path, ...]
    section: str = ""
    passages: Mapping[int, tuple[Passage, ...]] = field(default_factory=dict)
    signals: Mapping[int, tuple[str, ...]] = field(default_factory=dict)


class Standing(Struct, frozen=True):
    """Where a signal stands: a train that passes it leaves the piece by ``side``; ``rank`` of those standing there."""

    piece: str
    side: int
    rank: int
    path: Path


class Slip(Struct, frozen=True):
    """Something in the track that does not fit: what is wrong (see ``lampwright_working``), where, and with what."""

    kind: str
    path: Path
    name: str
    other: str = ""


class Track:
    """Pieces with their sides joined; what could not be joined, or stands nowhere, is in ``slips``."""

    def __init__(self, plan: Plan) -> None:
        """Build the graph from the plan's ``track``; everything in it is allowed to be wrong."""
        self.slips: list[Slip] = []
        self.signals: dict[str, Standing] = {}
        self.pieces: dict[str, Piece] = {}
        for name, said in (plan.values.get("track") or {}).items():
            self.pieces[name] = self._piece(plan, name, said)
        self.joints: dict[Side, Side] = {}
        self._join()

    def __bool__(self) -> bool:
        """Tell whether the plan gives a track at all."""
        return bool(self.pieces)

    def beyond(self, piece: str, side: int) -> Side | None:
        """Return the side that a train enters by when it leaves a piece; None if the track stops there."""
        return self.joints.get((piece, side))

    def _piece(self, plan: Plan, name: str, said: Mapping[str, Any]) -> Piece:
        """Read one piece by the keys that tell its kind."""
        path: Path = ("track", name)
        if "ways" in said:
            return _crossing(plan, name, said, path)
        if LEGS[0] in said:
            return _points(plan, name, said, path)
        return self._section(plan, name, said, path)

    def _section(self, plan: Plan, name: str, said: Mapping[str, Any], path: Path) -> Piece:
        """Read a section, or an end with the signals that stand at it."""
        neighbours = as_words(said["next"])
        single = not isinstance(said["next"], list)
        places = tuple((*path, "next") if single else (*path, "next", index) for index in range(len(neighbours)))
        signals = self._standing(name, said, neighbours, path)
        if name in plan.ends:
            return Piece(name, END, path, neighbours, places, signals=signals)
        through = {0: (Passage(0, 1),), 1: (Passage(1, 0),)} if len(neighbours) > 1 else {}
        return Piece(name, SECTION, path, neighbours, places, name, through, signals)

    def _standing(
        self, name: str, said: Mapping[str, Any], neighbours: tuple[str, ...], path: Path
    ) -> dict[int, tuple[str, ...]]:
        """Place the signals of a section, each at the side it leads to, in running order."""
        placed: dict[int, list[str]] = {}
        for signal, towards in (said.get("signals") or {}).items():
            place = (*path, "signals", signal)
            ahead = as_text(towards)
            if neighbours.count(ahead) != 1:
                self.slips.append(Slip("looks-aside" if ahead not in neighbours else "two-sides", place, signal, ahead))
            elif signal in self.signals:
                self.slips.append(Slip("stands-twice", place, signal, self.signals[signal].piece))
            else:
                side = neighbours.index(ahead)
                row = placed.setdefault(side, [])
                self.signals[signal] = Standing(name, side, len(row), place)
                row.append(signal)
        return {side: tuple(row) for side, row in placed.items()}

    def _join(self) -> None:
        """Join sides that name each other: the first with the first, the second with the second."""
        naming: dict[tuple[str, str], list[Side]] = {}
        for piece in self.pieces.values():
            for side, neighbour in enumerate(piece.neighbours):
                naming.setdefault((piece.name, neighbour), []).append((piece.name, side))
        for (name, neighbour), sides in naming.items():
            if name == neighbour:
                self._apart("joins-itself", sides, neighbour)
            elif neighbour in self.pieces:
                back = naming.get((neighbour, name), [])
                self.joints.update(zip(sides, back, strict=False))
                self._apart("one-sided", sides[len(back) :], neighbour)

    def _apart(self, kind: str, sides: list[Side], neighbour: str) -> None:
        """Note sides that lead to nothing that leads back."""
        for name, side in sides:
            self.slips.append(Slip(kind, self.pieces[name].places[side], name, neighbour))


def _points(plan: Plan, name: str, said: Mapping[str, Any], path: Path) -> Piece:
    """Read points: through the toe to either leg and back."""
    neighbours = tuple(as_text(said[leg]) for leg in LEGS)
    normal, reverse = {name: "normal"}, {name: "reverse"}
    passages = {
        0: (Passage(0, 1, normal), Passage(0, 2, reverse)),
        1: (Passage(1, 0, normal),),
        2: (Passage(2, 0, reverse),),
    }
    return Piece(
        name, POINTS, path, neighbours, tuple((*path, leg) for leg in LEGS), _within(plan, name, said), passages
    )


def _crossing(plan: Plan, name: str, said: Mapping[str, Any], path: Path) -> Piece:
    """Read a crossing or a slip: a side for each neighbour, a passage for each way in both directions."""
    places: dict[str, Path] = {}
    pairs: list[tuple[str, str, Mapping[str, str]]] = []
    for index, way in enumerate(said["ways"]):
        lies = way.get("points") or {} if isinstance(way, dict) else {}
        base: Path = (*path, "ways", index, *(("between",) if isinstance(way, dict) else ()))
        one, other = (as_text(end) for end in (way["between"] if isinstance(way, dict) else way))
        places.setdefault(one, (*base, 0))
        places.setdefault(other, (*base, 1))
        pairs.append((one, other, {points: as_text(lie) for points, lie in lies.items()}))
    sides = {neighbour: side for side, neighbour in enumerate(places)}
    passages: dict[int, list[Passage]] = {}
    for one, other, lies in pairs:
        for come, go in ((sides[one], sides[other]), (sides[other], sides[one])):
            passages.setdefault(come, []).append(Passage(come, go, lies))
    by_side = {side: tuple(found) for side, found in passages.items()}
    return Piece(name, CROSSING, path, tuple(sides), tuple(places.values()), _within(plan, name, said), by_side)


def _within(plan: Plan, name: str, said: Mapping[str, Any]) -> str:
    """Return the section that points or a crossing lie in; a crossing may be a section itself."""
    lying = said.get("in", (plan.points.get(name) or {}).get("in"))
    if lying is not None:
        return as_text(lying)
    return name if name in plan.sections else ""
