"""The track diagram of a plan: one line a track, its sections named, signals beside it that face their trains."""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from lampwright.rulebooks.codec import as_text
from lampwright.words import counted, listed
from lampwright_drawing.bends import ROW, bends
from lampwright_drawing.grid import headed
from lampwright_drawing.room import LEFT, LETTER, Room, called, side
from lampwright_drawing.strands import CROSSING, END, POINTS
from lampwright_drawing.svg import Markup, Piece, identifier, joined, number, tag, text

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from lampwright.layout import Layout
    from lampwright_drawing.hardware import Point
    from lampwright_drawing.placing import Span
    from lampwright_drawing.strands import Place
    from lampwright_drawing.subjects import Shown

TICK: Final = 5
GAP: Final = 7.0
"""What is left open of the leg that points do not lie for."""
ASIDE: Final = 9.0
EDGE: Final = 50.0
SIDE: Final = 14.0
BESIDE: Final = 14.0
"""From the middle of a band to its name."""
NOTE: Final = (
    "Signals stand {} their track as trains run, each showing {}, told by a letter behind its name. "
    "Points are drawn normal. A set route is hatched, an occupied section a solid bar."
)


class Diagram(Room):
    """Draws the track of one layout."""

    def piece(self) -> Piece:
        """Return the whole diagram."""
        left = min((span.left for span in self.spans.values()), default=0) - SIDE
        width = max((span.right for span in self.spans.values()), default=200) + SIDE - left
        rows = [span.row for span in self.spans.values()] or [0]
        top, height = EDGE - min(rows) * ROW, (max(rows) - min(rows)) * ROW + 2 * EDGE
        drawn = [
            joined(self._routes()),
            joined(self._joints()),
            joined(self._strand(name) for name in self.spans),
            joined(self._signals()),
            joined(line for name in self.spans for line in self._points_at(name, self.spans[name])),
        ]
        body = tag("g", *drawn, class_="diagram", transform=f"translate({number(-left)} {number(top)})")
        beats = frozenset(beat for small in self.small.values() for beat in small.beats)
        return Piece(width, height, body, beats=beats)

    def _strand(self, name: str) -> Markup:
        """Draw one strand with its name."""
        strand, span = self.made.strands[name], self.spans[name]
        y = span.y
        if strand.kind == END:
            return self._end(name)
        line = tag("line", class_="track", x1=span.left, y1=y, x2=span.right, y2=y)
        if strand.kind == POINTS:
            return self._points(name, line)
        ticks = [tag("line", class_="detail", x1=x, y1=y - TICK, x2=x, y2=y + TICK) for x in (span.left, span.right)]
        if strand.kind == CROSSING:
            ticks = [tag("path", class_="diamond", d=_lozenge((span.left + span.right) / 2, y))]
        label = called(strand)
        named = _label(label, (span.left + span.right) / 2, y) if " " not in name else []
        if strand.kind == CROSSING:
            named = [text((span.left + span.right) / 2, y + 18, label, "points-name", "middle")]
        named.append(text(span.left + 4, y + 14, "train", "train small"))
        state = "section occupied" if {name, strand.lies_in} & self.occupied else "section"
        said = tag("title", f"section {name}{': occupied' if 'occupied' in state else ''}")
        place = {"id": identifier("section", name), "data_section": name, "data_within": strand.lies_in or None}
        return tag("g", said, line, *ticks, *named, class_=state, **place)

    def _points(self, name: str, line: Markup) -> Markup:
        """Draw points that are a strand of their own, named with the section they lie in."""
        strand, span = self.made.strands[name], self.spans[name]
        within = strand.lies_in
        occupied = within in self.occupied
        named = text((span.left + span.right) / 2, span.y + 14, called(strand), "points-name", "middle")
        state = f"points section{' occupied' if occupied else ''}" if within else "points"
        said = f"section {within}{': occupied' if occupied else ''}" if within else f"points {name}"
        return tag("g", tag("title", said), line, named, class_=state, data_points=name, data_within=within or None)

    def _points_at(self, name: str, span: Span) -> Iterator[Markup]:
        """Name points at the ends of a section; those that are strands themselves are named where they are drawn."""
        if self.made.strands[name].kind == POINTS:
            return
        for at_right in (False, True):
            if points := self.made.named.get((name, at_right)):
                x = span.right - 4 if at_right else span.left + 4
                y = span.y + (-6 if self.free(name, at_right=at_right) < 0 else 14)
                yield text(x, y, " ".join(points), "points-name", "end" if at_right else "start")

    def _end(self, name: str) -> Markup:
        """Draw an end: buffers as a stop across the track, anything else as an arrow that goes on."""
        strand, span = self.made.strands[name], self.spans[name]
        kind = str((self.layout.plan.ends.get(strand.name) or {}).get("kind", ""))
        goes_right = not self.made.after(name)
        outward = 1 if goes_right else -1
        left, right = self.track(name)
        near, far = (left, right) if goes_right else (right, left)
        y = span.y
        shape = f"M{number(far - 6 * outward)} {number(y - 5)}L{number(far)} {number(y)}l{-6 * outward} 5"
        if kind == "buffer-stop":
            shape = f"M{number(far)} {number(y - 7)}v14M{number(far)} {number(y - 5)}h{-5 * outward}v10h{5 * outward}"
        line = tag("line", class_="track", x1=near, y1=y, x2=far, y2=y)
        named = text(far + 5 * outward, y + 3.5, strand.name, "small quiet end-name", "start" if goes_right else "end")
        said = tag("title", f"{strand.name}: {kind}")
        return tag("g", said, line, tag("path", class_="line", d=shape), named, data_end=strand.name)

    def _joints(self) -> Iterator[Markup]:
        """Draw what leads from row to row: open at the end where points do not lie for it."""
        for (left, right), main in self.made.joints.items():
            one, other = self.spans[left], self.spans[right]
            way = bends((one.right, one.y), (other.left, other.y))
            parts = not main and one.row != other.row
            if parts and len(self.made.after(left)) > 1 and self.made.strands[left].kind != CROSSING:
                way[0] = _open(way[0], way[1])
            if parts and len(self.made.before(right)) > 1 and self.made.strands[right].kind != CROSSING:
                way[-1] = _open(way[-1], way[-2])
            if way[0] != way[1]:
                yield tag("path", class_="track", d=_path(way))

    def _routes(self) -> Iterator[Markup]:
        """Draw the band of each route; it shows when the route is set."""
        for (signal, index), run in self.made.routes.items():
            name = self._name(signal, index)
            if points := self._along(signal, run):
                path = _path(points)
                is_set = bool({name, self._ends(signal, index)} & self.set)
                state = "route set" if is_set else "route"
                said = tag("title", f"{name}{': set' if is_set else ''}")
                band = [
                    tag("path", class_="band", d=path),
                    tag("path", class_="hatch", d=_pieces(points)),
                    _named(name, points),
                ]
                yield tag("g", said, *band, class_=state, id=identifier("route", signal, str(index)), data_route=name)

    def _name(self, signal: str, index: int) -> str:
        """Return the name of a route: its own, or where it begins and ends."""
        own = self.layout.plan.signals[signal].routes[index].rest.get("name")
        return as_text(own) or self._ends(signal, index)

    def _ends(self, signal: str, index: int) -> str:
        """Return where a route begins and ends."""
        return f"{signal} to {self.layout.plan.signals[signal].routes[index].to}"

    def _along(self, signal: str, run: list[str]) -> list[Point]:
        """Return the points that a route runs through, in running order."""
        right = self.made.places[signal].rightward if signal in self.made.places else True
        names = [name for name in run if name in self.spans and self.made.strands[name].kind != END]
        spans = [self.spans[name] for name in (names if right else names[::-1])]
        found: list[Point] = []
        for index, span in enumerate(spans):
            found += [(span.left, span.y), (span.right, span.y)]
            if index + 1 < len(spans):
                found += bends(found[-1], (spans[index + 1].left, spans[index + 1].y))
        ordered = list(dict.fromkeys(found))
        return ordered if right else ordered[::-1]

    def _signals(self) -> Iterator[Markup]:
        """Draw signals where they stand, one behind the other where there are several."""
        room: dict[tuple[str, bool, bool], float] = {}
        for name, at in sorted(self.made.places.items(), key=lambda item: item[1].back):
            key = (at.strand, at.at_right, at.rightward)
            before = room.get(key, 4.0 + self.shift(name, at))
            room[key] = before + self.takes(name)
            yield self._signal(name, at, before)

    def _signal(self, name: str, at: Place, before: float) -> Markup:
        """Draw one signal within its strand, on its side of the track as its trains run."""
        span, takes = self.spans[at.strand], self.takes(name)
        left, right = self.track(at.strand)
        start = right - before - takes if at.at_right else left + before
        foot = start if at.rightward else start + takes
        small = self.small.get(name)
        turn = 90 if at.rightward else -90
        aside = self.aside(name, at)
        y = span.y + aside * (ASIDE + (small.half if small else 4))
        said = f"{name} {small.letters if small else ''}".strip()
        label_y = y + aside * ((small.half if small else 4) + 4) + (0 if aside < 0 else 8)
        named = text(foot, label_y, said, "signal-name", "start" if at.rightward else "end")
        base = tag("line", class_="line", x1=foot, y1=span.y + aside * 4, x2=foot, y2=y + aside * 4)
        if small is None:
            return tag("g", base, named, data_signal=name)
        head = tag("g", small.body, transform=f"translate({number(foot)} {number(y)}) rotate({turn})")
        return tag(
            "g",
            tag("title", small.title),
            base,
            head,
            named,
            class_="signal miniature",
            id=identifier("at", name),
            data_signal=name,
        )


def _sides(layout: Layout) -> str:
    """Say on which side signals stand."""
    sides = {side(signal) for signal in layout.signals.values()} or {LEFT}
    return f"{sides.pop()} of" if len(sides) == 1 else "left or right of"


def _lozenge(x: float, y: float) -> str:
    """Return the outline that tells a crossing from points: two ways run through, and none leads to the other."""
    return f"M{number(x - 15)} {number(y)}l15 -6l15 6l-15 6z"


def _label(name: str, x: float, y: float) -> list[Markup]:
    """Return the name of a section in a gap of its line."""
    width = LETTER * len(name) + 6
    gap = tag("rect", class_="paper", x=x - width / 2, y=y - 7, width=width, height=14)
    return [gap, text(x, y + 4, name, "", "middle")]


def _open(one: Point, other: Point) -> Point:
    """Return the point a gap away from one towards another."""
    length = hypot(other[0] - one[0], other[1] - one[1])
    return one[0] + (other[0] - one[0]) * GAP / length, one[1] + (other[1] - one[1]) * GAP / length


def _named(name: str, points: list[Point]) -> Markup:
    """Write the name of a route beside the longest piece of its band, between two rows if it crosses some."""
    (x, y), (to_x, to_y) = max(
        pairwise(points), key=lambda piece: hypot(piece[1][0] - piece[0][0], piece[1][1] - piece[0][1])
    )
    if y == to_y:
        return text((x + to_x) / 2, y + BESIDE + 4, name, "points-name", "middle")
    between = min(0.5, ROW / 2 / abs(to_y - y))
    return text(x + (to_x - x) * between + BESIDE, y + (to_y - y) * between + 4, name, "points-name")


def _path(points: list[Point]) -> str:
    """Return points as a path."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def _pieces(points: list[Point]) -> str:
    """Return points as a path in pieces: a stroke of the hatching never lies around a bend."""
    return "".join(_path(list(piece)) for piece in pairwise(points))


def diagram(layout: Layout, routes: Collection[str] = (), occupied: Collection[str] = ()) -> Piece:
    """Return the track diagram of a plan, with routes set (``AB1 to AB3``) and sections occupied."""
    drawn, notes = track(layout, routes, occupied)
    plan = layout.plan
    count = sum(len(signal.routes) for signal in plan.signals.values())
    said = [counted(len(plan.signals), "signal"), counted(count, "route")]
    below = ", ".join(filter(None, (layout.rulebook_name, layout.year_text, *said)))
    return headed(drawn, plan.name or plan.stem, below, [*notes, "For model railways only."], drawn.desc)


def track(
    layout: Layout, routes: Collection[str] = (), occupied: Collection[str] = (), showing: str = "what it falls to"
) -> tuple[Piece, list[str]]:
    """Return the track of a plan without head and foot, and what is to be known about it.

    Signals show what they fall to; with a route set or a section occupied, what follows from that. ``showing`` says
    what they show if that is not left as it is drawn.
    """
    shown: Mapping[str, Shown] = {}
    refused: Mapping[str, str] = {}
    if routes or occupied:
        from lampwright_drawing.worked import worked

        shown, refused = worked(layout, routes, occupied)
        showing = "what it shows with what is set here"
    drawing = Diagram(layout, [name for name in routes if name not in refused], occupied, shown)
    plan, lost = layout.plan, drawing.made.unplaced
    notes = [
        NOTE.format(_sides(layout), showing),
        *(f"Not drawn as set: {why}." for why in refused.values()),
        *([f"Not drawn, for nothing says where they stand: {listed(lost)}."] if lost else []),
    ]
    sections = f" on the sections {listed(plan.sections)}" if plan.sections else ""
    piece = drawing.piece()
    return replace(piece, title="Track diagram", desc=f"{listed(plan.signals)}{sections}"), notes
