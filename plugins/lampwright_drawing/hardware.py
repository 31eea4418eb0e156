"""The hardware of a form in elevation: where its lenses are, and the outline of the boards they stand on."""

from __future__ import annotations

from itertools import combinations
from math import hypot
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct
from msgspec.structs import replace

from lampwright.rulebooks.anatomy import FITTED

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.model import Lamp

STEP: Final = 24.0
"""Units from one lamp place to the next: all else is drawn to this scale."""
RADIUS: Final = {"small": 6.0, "": 9.0}
RIM: Final = 14.5
"""From the middle of a lens to the edge of its board."""
APART: Final = 2.9 * STEP
WIDE: Final = 0.9
"""Lenses farther apart stand on boards of their own; across, boards are a little wider."""
LOW: Final = frozenset({"ground", "dwarf", "low"})

Point = tuple[float, float]


class Lens(Struct, frozen=True):
    """One light of a lamp: where its middle is, x to the right and y downwards; ``sure`` if its place is known.

    A lamp seen in several places has a lens at each; ``fitted`` is False for a blanked or empty place.
    """

    lamp: str
    names: tuple[str, ...]
    colours: tuple[str, ...]
    x: float
    y: float
    radius: float
    sure: bool = True
    fitted: bool = True


class Board(Struct, frozen=True):
    """A backplate: the corners of the outline around its lenses, in order."""

    corners: tuple[Point, ...]
    radius: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom edge."""
        across, down = [x for x, _ in self.corners], [y for _, y in self.corners]
        return min(across) - self.radius, min(down) - self.radius, max(across) + self.radius, max(down) + self.radius


class Elevation(Struct, frozen=True):
    """A form as seen from the front, in units from its lamp place [0, 0]."""

    lenses: tuple[Lens, ...]
    boards: tuple[Board, ...]
    low: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The rectangle around all boards."""
        boxes = [board.box for board in self.boards] or [(-RIM, -RIM, RIM, RIM)]
        left, top, right, bottom = zip(*boxes, strict=True)
        return min(left), min(top), max(right), max(bottom)


def middle_of(seen: Elevation) -> float:
    """Return where the post stands: behind the middle of the board with most to show, the first of several."""
    board = max(seen.boards, key=lambda one: len(one.corners), default=None)
    return round((board.box[0] + board.box[2]) / 2, 1) if board else 0.0


def elevation(form: FormReader, mount: str = "") -> Elevation:
    """Return a form in elevation; ``mount`` is what the plan says of how it stands."""
    known = ("elevation", form.name, form.years and (form.years.first, form.years.last), form.regime is not None, mount)
    if known not in form.rulebook.cache:
        groups = _groups(form, "", (0.0, 0.0))
        lenses = _once(form, [lens for group in groups for lens in group])
        kept = {lens.lamp for lens in lenses}
        boards = [board for group in groups for board in _boards([lens for lens in group if lens.lamp in kept])]
        lenses = _apart(lenses)
        low = (mount or form.form.mount) in LOW or ("shunt" in form.form.roles and not (mount or form.form.mount))
        form.rulebook.cache[known] = Elevation(tuple(lenses), tuple(boards), low)
    made: Elevation = form.rulebook.cache[known]
    return made


def _groups(form: FormReader, prefix: str, origin: Point) -> list[list[Lens]]:
    """Return the lenses of a form head by head, part by part."""
    if not form.parts:
        return _heads(form, prefix, origin)
    found: list[list[Lens]] = []
    for name, part in form.parts.items():
        at = form.form.parts[name].at
        place = _point(at, origin) if at else (origin[0], _below(found, origin))
        found += _groups(part, f"{prefix}{name}.", place)
    return found


def _heads(form: FormReader, prefix: str, origin: Point) -> list[list[Lens]]:
    """Return the lenses of a form without parts, those of each head together; lenses without a place beside them."""
    heads: dict[str, list[tuple[str, Lamp]]] = {}
    for name, lamp in form.anatomy.places.items():
        heads.setdefault(name.partition(".")[0] if "." in name else "", []).append((name, lamp))
    made: list[list[Lens]] = []
    for lamps in heads.values():
        lenses = [lens for name, lamp in lamps for lens in _placed(form, prefix, name, lamp, origin)]
        unplaced = [(name, lamp) for name, lamp in lamps if not lamp.at]
        made.append(lenses + _beside(unplaced, prefix, _start(lenses, made, origin)))
    return made


def _start(lenses: Sequence[Lens], made: list[list[Lens]], origin: Point) -> Point:
    """Return where lenses without a place begin: right of those that have one, else below all others."""
    if lenses:
        return max(lens.x for lens in lenses) + STEP, min(lens.y for lens in lenses)
    return origin[0], _below(made, origin)


def _placed(form: FormReader, prefix: str, name: str, lamp: Lamp, origin: Point) -> Iterator[Lens]:
    """Yield the lenses of a lamp whose place is known."""
    for at in form.at(name):
        yield _lens(prefix, name, lamp, _point(at, origin))


def _beside(lamps: Sequence[tuple[str, Lamp]], prefix: str, start: Point) -> list[Lens]:
    """Place lamps whose place is not established in a column of their own."""
    return [
        _lens(prefix, name, lamp, (start[0], start[1] + index * STEP), sure=False)
        for index, (name, lamp) in enumerate(lamps)
    ]


def _lens(prefix: str, name: str, lamp: Lamp, place: Point, *, sure: bool = True) -> Lens:
    """Return one lens."""
    radius = RADIUS.get(lamp.size, RADIUS[""])
    fitted = lamp.place in FITTED
    return Lens(prefix + name, (prefix + name,), lamp.colours, *place, radius, sure, fitted)


def _once(form: FormReader, lenses: list[Lens]) -> list[Lens]:
    """Leave out the second lens of a lamp that parts share; the first has all its names."""
    groups = {name: group for group in form.form.shared for name in group}
    again = {name for group in form.form.shared for name in group[1:]}
    return [replace(lens, names=groups.get(lens.lamp, lens.names)) for lens in lenses if lens.lamp not in again]


def _apart(lenses: list[Lens]) -> list[Lens]:
    """Make all lenses smaller, alike, if two of them that stand at different places would cover each other."""
    pairs = [(one, other, hypot(one.x - other.x, one.y - other.y)) for one, other in combinations(lenses, 2)]
    share = min((far / (one.radius + other.radius + 1) for one, other, far in pairs if far), default=1)
    return [replace(lens, radius=round(lens.radius * share, 1)) for lens in lenses] if share < 1 else lenses


def _point(at: tuple[Any, Any], origin: Point) -> Point:
    """Return a place in units, y downwards."""
    return origin[0] + float(at[0]) * STEP, origin[1] - float(at[1]) * STEP


def _below(groups: list[list[Lens]], origin: Point) -> float:
    """Return the height below all lenses there are."""
    return max((lens.y + 2 * STEP for group in groups for lens in group), default=origin[1])


def _boards(lenses: Sequence[Lens]) -> Iterator[Board]:
    """Yield the boards: one around lenses that stand near each other."""
    waiting = list(lenses)
    while waiting:
        board = [waiting.pop(0)]
        for lens in board:
            near = [other for other in waiting if _near(lens, other)]
            board += near
            waiting = [other for other in waiting if other not in near]
        points = [(lens.x, lens.y) for lens in board]
        rows = len({lens.lamp for lens in board}) < len(board)
        yield _disc(points) if rows and _turns(points) else Board(tuple(_hull(points)), RIM)


def _turns(points: Sequence[Point]) -> bool:
    """Tell whether points look the same turned upside down."""
    across, down = sum(x for x, _ in points) * 2 / len(points), sum(y for _, y in points) * 2 / len(points)
    there = {(round(x, 1), round(y, 1)) for x, y in points}
    return there == {(round(across - x, 1), round(down - y, 1)) for x, y in points}


def _disc(points: Sequence[Point]) -> Board:
    """Return a round board: lamps that are seen in several places are rows of lights on a disc."""
    across, down = [x for x, _ in points], [y for _, y in points]
    middle = (min(across) + max(across)) / 2, (min(down) + max(down)) / 2
    return Board((middle,), RIM + max(hypot(x - middle[0], y - middle[1]) for x, y in points))


def _near(one: Lens, other: Lens) -> bool:
    """Tell whether two lenses stand on one board."""
    return max(abs(one.x - other.x) * WIDE, abs(one.y - other.y)) < APART


def _hull(points: Sequence[Point]) -> list[Point]:
    """Return the corners of the outline around points (the monotone chain), clockwise as drawn."""
    ordered = sorted(set(points))
    if len(ordered) < 3:  # noqa: PLR2004  (two points are their own outline)
        return ordered
    return _chain(ordered)[:-1] + _chain(ordered[::-1])[:-1]


def _chain(ordered: Sequence[Point]) -> list[Point]:
    """Return one half of the outline."""
    chain: list[Point] = []
    for point in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(one: Point, two: Point, three: Point) -> float:
    """Return which way the path turns at the middle point."""
    return (two[0] - one[0]) * (three[1] - one[1]) - (two[1] - one[1]) * (three[0] - one[0])
