"""Trains that follow each other: how soon they can, and which spacing of signals a headway allows."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.working.measures import read
from lampwright.working.parameters import parameter
from lampwright_working.braking import Follow, Span, spacing
from lampwright_working.clearances import overlaps
from lampwright_working.spacing import FOUR, THREE
from lampwright_working.stretches import stretches
from lampwright_working.trains import ANY_KIND, Brakes
from lampwright_working.units import Units

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Citation
    from lampwright.layout import Layout
    from lampwright.working.measures import Length
    from lampwright_working.cautions import Approach
    from lampwright_working.trains import Stop

TWO: Final = "two-aspect"
"""A red and a green at every signal; a distant warns."""


class Design(Struct, frozen=True):
    """How far apart signals of one kind may stand on a line where trains must follow in a time.

    ``allowed`` is in the measure of the ``Brakes``, None if this kind will not do, and ``why`` says then what it would
    take. ``stop`` is what it takes to stop.
    """

    kind: str
    allowed: Span | None
    why: str
    stop: Stop
    citations: tuple[Citation, ...]


def follow(layout: Layout, speed: Fraction, seen: Iterable[Length] = (), kept: Iterable[Length] = ()) -> Follow | None:
    """Return what lies between the fronts of two trains at a speed, besides the spacing of signals.

    ``seen`` are sighting distances; without one it is what a train runs in the time to read a signal. ``kept`` are
    overlaps; without one it is the rulebook's. The longest train of the plan counts; without trains, their length is
    nothing. None if too little is known to compare.
    """
    brakes = Brakes.of(layout)
    pace = brakes.pace(speed)
    if pace is None:
        return None
    reading, usual = parameter(layout, "reading-time", "time"), parameter(layout, "overlap", "length")
    sighting = _longest(brakes, seen)
    if sighting is None:
        sighting = reading.own.value * pace if reading else Fraction(0)
    overlap = _longest(brakes, kept)
    if overlap is None:
        overlap = brakes.measure(brakes.yard.standing(usual.own.value)) if usual else None
    return Follow(pace, sighting, overlap or Fraction(0), _longest(brakes, _trains(layout, brakes)) or Fraction(0))


def following_time(approach: Approach) -> Fraction | None:
    """Return how soon a train can follow another under clear signals over the way of an approach, in seconds."""
    layout = approach.way[0].layout
    brakes = Brakes.of(layout)
    distance = brakes.measure(approach.following)
    speed = approach.way[0].speeds().get(ANY_KIND)
    if approach.clear is None or distance is None or speed is None:
        return None
    seen = [approach.clear.yard.length(approach.clear.signal.entry.rest.get("sighting"))]
    kept = (overlap.length for overlap in overlaps(approach.way[-1]))
    between = follow(layout, speed, seen, kept)
    return between.time(distance) if between else None


def designs(layout: Layout, line: str, speed: Fraction, time: Fraction) -> Iterator[Design]:
    """Yield for each kind of working how far apart signals may stand on a line where trains follow in a time."""
    brakes = Brakes.of(layout)
    on_line = [stretch for stretch in stretches(layout) if line in stretch.lines]
    seen = [item.yard.length(item.signal.entry.rest.get("sighting")) for item in on_line]
    between = follow(layout, speed, seen)
    stop = next(iter(brakes.stops({ANY_KIND: speed})), None)
    if between is None or stop is None:
        return
    room = _Room(layout, brakes, stop, between.spacing(time))
    yield from filter(None, (room.two(), room.several(THREE), room.several(FOUR)))


def headway(layout: Layout, line: str, asked: str = "") -> Fraction | None:
    """Return the time after which trains must follow on a line, in seconds: as asked, or as the line says."""
    said = asked or (layout.plan.lines.get(line) or {}).get("headway")
    found = read(said, "time")
    return found.amount if found is not None else None


class _Room(Struct, frozen=True):
    """What a headway leaves between a clear signal and the red beyond, and what it takes to stop."""

    layout: Layout
    brakes: Brakes
    stop: Stop
    metres: Fraction

    def two(self) -> Design | None:
        """Return what two aspects allow: only where there is room for many stops, and less a margin of some."""
        least, margin = parameter(self.layout, f"headway-{TWO}"), parameter(self.layout, f"headway-{TWO}-margin")
        if least is None or margin is None:
            return None
        enough = least.own.admits(self.metres / self.stop.metres)
        allowed = Span(Fraction(0), self.metres - margin.own.value * self.stop.metres) if enough else None
        why = f"{self._told(least.own.value * self.stop.metres)} would have to be left of the headway"
        return Design(TWO, allowed, why, self.stop, (*least.citations, *margin.citations))

    def several(self, kind: str) -> Design | None:
        """Return what three or four aspects allow: enough to stop, and as close as it takes to follow."""
        figure, spaces = parameter(self.layout, f"spacing-{kind}"), parameter(self.layout, f"headway-spaces-{kind}")
        if figure is None or spaces is None:
            return None
        low, high = figure.own.low or Fraction(0), figure.own.high
        allowed = spacing(self.stop.metres, low, high, self.metres, spaces.own.value)
        most = max(allowed.high or allowed.low, Fraction(0))
        why = f"{self._told(allowed.low)} at least to stop, {self._told(most)} at most to follow"
        sources = (*figure.citations, *spaces.citations)
        return Design(kind, allowed if allowed.possible else None, why, self.stop, sources)

    def _told(self, metres: Fraction) -> str:
        """Return an amount of the measure in words."""
        return Units.of(self.layout).both(self.brakes.length(metres))


def _longest(brakes: Brakes, lengths: Iterable[Length]) -> Fraction | None:
    """Return the longest of some lengths in the measure; None if none is known."""
    known = (brakes.measure(length) for length in lengths)
    return max((length for length in known if length is not None), default=None)


def _trains(layout: Layout, brakes: Brakes) -> Iterator[Length]:
    """Yield the lengths of the plan's trains."""
    for train in (layout.plan.values.get("trains") or {}).values():
        yield brakes.yard.length((train or {}).get("length"))
