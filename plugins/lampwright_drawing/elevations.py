"""One signal in elevation: post or base, boards with their lenses, arms, boxes, plates, and its name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright_drawing.arms import along, colour_of
from lampwright_drawing.boards import outline, plate_width, plates
from lampwright_drawing.callouts import Mark, column
from lampwright_drawing.hardware import RADIUS, STEP, elevation, middle_of
from lampwright_drawing.lenses import hood, lens
from lampwright_drawing.subjects import DARK_SIGNAL, Lit, Shown
from lampwright_drawing.svg import Markup, Piece, identifier, joined, number, tag, text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks.model import Indicator
    from lampwright_drawing.hardware import Elevation, Lens
    from lampwright_drawing.subjects import Subject

POST: Final = 5
BOX: Final = 26
SMALL: Final = RADIUS["small"]
ROOM: Final = 8
FOOT: Final = 2.2 * STEP
ARM_BEGINS: Final = 11.0
ARM_STEP: Final = 8.5
ARM_LIGHT: Final = 3.4
NAME_LETTER: Final = 10.0
"""Width of a letter of a name, on the generous side: fonts differ."""


class Drawing:
    """Draws one signal.

    ``left``, ``top``, ``right``, ``bottom`` are what it takes, ``reach`` is where its post ends, ``above`` where
    indicators are, by their names.
    """

    def __init__(self, subject: Subject, shown: Shown, *, names: bool = False) -> None:
        self.subject = subject
        self.shown = shown
        self.names = names
        self.book = subject.form.rulebook
        self.seen: Elevation = elevation(subject.form, subject.mount)
        self.left, self.top, self.right, self.bottom = self.seen.box
        self.middle = middle_of(self.seen)
        self.above: dict[str, tuple[float, float, float]] = {}
        highest = min(self.seen.boards, key=lambda one: one.box[1], default=None)
        self.reach = (highest.box[1] + highest.box[3]) / 2 if highest else 0.0

    def piece(self, caption: str = "") -> Piece:
        """Return the signal with its name (or another caption) below the ground."""
        front = [self._above(), joined(map(outline, self.seen.boards)), joined(self._lenses())]
        front.append(joined(self._callouts()) if self.names else Markup(""))
        foot = self._foot()
        said = caption or self.subject.name
        if said:
            half = NAME_LETTER * len(said) / 2
            self._take(self.middle - half, self.bottom, self.middle + half, self.bottom + 18)
            foot = joined((foot, text(self.middle, self.bottom - 4, said, "strong", "middle")))
        width, height = self.right - self.left, self.bottom - self.top
        body = tag(
            "g",
            foot,
            *front,
            class_="signal",
            id=identifier("signal", self.subject.name) if self.subject.name and not self.shown.name else None,
            data_signal=self.subject.name or None,
            data_form=self.subject.form.name,
            data_shows=self.shown.name or None,
            transform=f"translate({number(-self.left)} {number(-self.top)})",
        )
        beats = frozenset(lit.beat for lit in self.shown.lamps.values() if lit.beat)
        return Piece(width, height, body, self._title(), self._desc(), beats)

    def _title(self) -> str:
        """Say what is drawn."""
        said = ", ".join(filter(None, (self.subject.name, self.subject.title)))
        return f"{said}: {self.shown.name}" if self.shown.name else said

    def _desc(self) -> str:
        """Say what is seen."""
        unsure = [lens.lamp for lens in self.seen.lenses if not lens.sure]
        doubt = f"; the place of {', '.join(dict.fromkeys(unsure))} is not established" if unsure else ""
        return f"{self.shown.said}{doubt}"

    def _take(self, left: float, top: float, right: float, bottom: float) -> None:
        """Take more room."""
        self.left, self.top = min(self.left, left), min(self.top, top)
        self.right, self.bottom = max(self.right, right), max(self.bottom, bottom)

    def _lenses(self) -> Iterator[Markup]:
        """Yield lenses with their hoods, dark ones first: lit ones stand before what is at the same place."""
        lenses = sorted(self.seen.lenses, key=lambda one: self._lit(one) is not None)
        for one in lenses:
            if not one.fitted or one.lamp in self.subject.blanked:
                yield tag("circle", class_="ink blanked", cx=one.x, cy=one.y, r=one.radius - 1)
                continue
            kind = "" if one.sure else "doubtful"
            yield hood(one.x, one.y, one.radius)
            yield lens(one.lamp, one.colours, (one.x, one.y, one.radius), self._lit(one), kind)

    def _lit(self, one: Lens) -> Lit | None:
        """Return how a lens is lit; None if it is dark."""
        return next((self.shown.lamps[name] for name in one.names if name in self.shown.lamps), None)

    def _above(self) -> Markup:
        """Draw the boxes over the boards, and the arms over these."""
        boxes = dict.fromkeys((*self.subject.boxes, *(name for name in self.shown.boxes if not self._arms_of(name))))
        drawn = [self._box(name, self.shown.boxes.get(name)) for name in boxes]
        arms = dict.fromkeys(
            (*self.subject.arms, *((name, at) for name, at in self.shown.boxes.items() if at and self._arms_of(name)))
        )
        if arms:
            self.reach = self.top - ROOM - ARM_LIGHT
            self._take(self.middle, self.reach - ARM_LIGHT, self.middle, self.bottom)
            drawn += [self._arm(indicator, position) for indicator, position in arms]
        return joined(drawn)

    def _arms_of(self, indicator: str) -> bool:
        """Tell whether an indicator is rows of lights."""
        return indicator in self.book.indicators and bool(self.book.indicators[indicator].positions)

    def _box(self, name: str, content: str | None) -> Markup:
        """Draw a box above what there is, or where the rulebook says; what tells of the next signal is below."""
        record = self.book.indicators.get(name)
        said = (content or "").removeprefix("flash").strip()
        width = max(BOX, 9 * len(said) + 8)
        x, y = self.middle, self.top - BOX - 3
        if record is not None and record.colour == "yellow":
            y = self.bottom + 3
        if record is not None and record.at is not None:
            x, y = float(record.at[0]) * STEP, -float(record.at[1]) * STEP - BOX / 2
        self._take(x - width / 2, y, x + width / 2, y + BOX)
        self.reach = min(self.reach, y + BOX / 2)
        self.above[name] = (x, y + BOX / 2, width / 2)
        lit = content is not None
        if record is not None and record.lamps.get("count") == 1 and not content:
            return _light(name, record, (x, y + BOX / 2), lit=lit)
        colour = record.colour if record is not None and record.colour else "white"
        frame = tag("rect", class_="box", x=x - width / 2, y=y, width=width, height=BOX, rx=2)
        shown = said or (record.title.split(",")[0][:4] if record is not None and record.title else name)[:4]
        letters = tag(
            "text",
            shown,
            x=x,
            y=y + (18 if said else 16),
            class_="box-content" if lit else "box-content dark-box",
            style=f"font-size:{15 if said else 8.5}px"
            + (f";fill:{'#ffc20e' if colour == 'yellow' else '#fff'}" if lit else ""),
        )
        title = tag("title", f"{name}: {(content or 'lit') if lit else 'dark'}")
        return tag("g", title, frame, letters, class_=f"indicator {'lit' if lit else 'dark'}", data_indicator=name)

    def _arm(self, indicator: str, position: str) -> Markup:
        """Draw a row of lights from the pivot to the side and at the angle of its position."""
        record = self.book.indicators[indicator]
        count = int(record.lamps.get("count", 1) or 1)
        lit = self.shown.boxes.get(indicator) == position
        colour = colour_of(record)
        ends = [
            ARM_BEGINS + ARM_STEP * (max(count, 3) - 1) if count == 1 else ARM_BEGINS + ARM_STEP * step
            for step in range(count)
        ]
        lights = []
        for x, y in along(record.positions, position, (self.middle, self.reach), ends):
            self._take(x - 6, y - 6, x + 6, y + 6)
            lights.append(lens(position, (colour,), (x, y, ARM_LIGHT), Lit(colour) if lit else None))
        self.above[position] = (x, y, ARM_LIGHT)
        arm = tag("line", class_="arm", x1=self.middle, y1=self.reach, x2=x, y2=y)
        return tag(
            "g",
            tag("title", f"{indicator} {position}: {'lit' if lit else 'dark'}"),
            arm,
            *lights,
            class_=f"indicator {'lit' if lit else 'dark'}",
            data_indicator=indicator,
            data_position=position,
        )

    def _foot(self) -> Markup:
        """Draw the post with its plates, or the base, down to the ground."""
        hung = {**dict(self.shown.plates), **dict(self.subject.plates)}
        items = [(name, self.book.plates.get(name), figures) for name, figures in hung.items()]
        bottom = self.bottom
        drawn, ends = plates(items, self.middle, bottom + 6)
        ground = (bottom + 8 if not items else ends + 2) if self.seen.low else max(bottom + FOOT, ends + 6)
        post = tag(
            "rect",
            class_="base" if self.seen.low else "post",
            x=self.middle - POST / 2,
            y=self.reach,
            width=POST,
            height=ground - self.reach,
        )
        line = tag("path", class_="ground", d=_ground(self.middle, ground))
        half = max([32.0, *(plate_width(*item) for item in items)]) / 2
        self._take(self.middle - half, self.top, self.middle + half, ground + 4)
        return joined((post, line, drawn))

    def _callouts(self) -> Iterator[Markup]:
        """Yield the names of lamps with their numbers and outputs, of arms and boxes; arms of the left on the left."""
        lamps: dict[str, Lens] = {}
        for one in sorted(self.seen.lenses, key=lambda one: (one.y, one.x)):
            lamps.setdefault(one.lamp, one)
        marks = [
            Mark(one.x, one.y, one.radius, self._called(name, f"{index}"))
            for index, (name, one) in enumerate(lamps.items(), 1)
        ]
        above = [(x, Mark(x, y, radius, self._called(name))) for name, (x, y, radius) in self.above.items()]
        marks += [mark for x, mark in above if x >= self.middle]
        sides = [(marks, self.right, 1), ([mark for x, mark in above if x < self.middle], self.left, -1)]
        for of_side, edge, way in sides:
            for drawn, room in column(of_side, edge, way):
                self._take(*room)
                yield drawn

    def _called(self, name: str, index: str = "") -> str:
        """Return the name of a lamp or an indicator with its number and outputs."""
        return "  ".join(filter(None, (index, name, ", ".join(self.subject.outputs.get(name, ())))))


def _light(name: str, record: Indicator, place: tuple[float, float], *, lit: bool) -> Markup:
    """Draw an indicator that is a single lamp, on a disc of its own."""
    colour = colour_of(record)
    disc = tag("circle", class_="board", cx=place[0], cy=place[1], r=SMALL + 4)
    lamp = lens(name, (colour,), (*place, SMALL), Lit(colour) if lit else None)
    return tag("g", disc, lamp, class_=f"indicator {'lit' if lit else 'dark'}", data_indicator=name)


def _ground(middle: float, y: float) -> str:
    """Return the line of the ground with the strokes by which a section of it is known."""
    strokes = "".join(f"M{number(middle + at)} {number(y)}l-4 4" for at in (-10, -3, 4, 11))
    return f"M{number(middle - 16)} {number(y)}h32{strokes}"


def signal(subject: Subject, shown: Shown = DARK_SIGNAL, *, names: bool = False, caption: str = "") -> Piece:
    """Draw a signal as it shows something (all dark if nothing is said); ``names`` adds those of lamps and outputs."""
    return Drawing(subject, shown, names=names).piece(caption)
