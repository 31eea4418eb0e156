"""Routes as stretches of track: how long, how steep, how fast."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.checks import Scope
from lampwright.quantities import plain_number
from lampwright.routes import MAIN, route_class
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.working.measures import UNKNOWN, Length, Yardstick, total
from lampwright_working.trains import ANY_KIND

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Path, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans import Route


class Stretch(Struct, frozen=True, eq=False, dict=True):
    """A route of a signal, seen as track from that signal to its exit."""

    signal: BoundSignal
    route: Route
    yard: Yardstick

    @property
    def path(self) -> Path:
        """The route's place in the plan."""
        return self.route.path

    @property
    def layout(self) -> Layout:
        """The layout it lies on."""
        return self.signal.layout

    def __str__(self) -> str:
        """Return what messages call it: ``HF1 to HF3``."""
        return f"{self.signal.name} to {self.route.to}"

    @property
    def running(self) -> bool:
        """Tell whether trains run it at speed, not on sight."""
        return route_class(self.route) in (MAIN, "warner")

    @cached_property
    def length(self) -> Length:
        """Its length: as the route says it, or that of all its sections."""
        if said := self.route.rest.get("length"):
            return self.yard.length(said)
        return self.along(self.route.over) if self.route.over else UNKNOWN

    def along(self, sections: Iterable[str]) -> Length:
        """Return the length of some sections together."""
        return total(self.yard.length(_section(self.layout, name).get("length")) for name in sections)

    def beyond(self, section: str) -> Length:
        """Return how far it is from the end of one of its sections to its exit."""
        if section not in self.route.over or "length" in self.route.rest:
            return UNKNOWN
        return self.along(self.route.over[self.route.over.index(section) + 1 :])

    @property
    def length_spot(self) -> Spot:
        """Where its length is written: with the route, with its only section, or as the list of its sections."""
        if "length" in self.route.rest or not self.route.over:
            return self.layout.spot(*self.path, "length" if "length" in self.route.rest else "to")
        if len(self.route.over) == 1:
            return self.layout.spot("sections", self.route.over[0], "length")
        return self.layout.spot(*self.path, "over")

    @cached_property
    def slope(self) -> Fraction:
        """How much it rises on its length, as an average; negative where it falls, level where nothing is said."""
        weighed = [(self.yard.length(_section(self.layout, name).get("length")), name) for name in self.route.over]
        known = [(length.model or length.stands or Fraction(0), name) for length, name in weighed]
        whole = sum((metres for metres, _ in known), Fraction(0))
        if not whole:
            return Fraction(0)
        return sum((metres * _gradient(self.layout, name) for metres, name in known), Fraction(0)) / whole

    def speeds(self, before: Stretch | None = None) -> dict[str, Fraction]:
        """Return how fast kinds of train may pass its signal, as far as the plan says: m/s of the prototype.

        A route that says its speed says it for all. ``before`` is the stretch trains come from.
        """
        own = self.yard.speed(self.route.speed or None)
        kinds = {ANY_KIND, *_kinds(self.layout)}
        found = {kind: self._speed(kind, own, before) for kind in kinds}
        return {kind: speed for kind, speed in found.items() if speed is not None}

    @cached_property
    def line_speed(self) -> Fraction | None:
        """The highest speed of the lines it runs over; None if none is known."""
        speeds = [section_speed(self.layout, self.yard, name, ANY_KIND) for name in self.route.over]
        return max((speed for speed in speeds if speed is not None), default=None)

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines its sections belong to, in running order."""
        names = (name for section in self.route.over for name in _lines(self.layout, section))
        return tuple(dict.fromkeys(names))

    def _speed(self, kind: str, own: Fraction | None, before: Stretch | None) -> Fraction | None:
        """Return how fast one kind of train may pass its signal; None if nothing says it."""
        first = section_speed(self.layout, self.yard, self.route.over[0], kind) if self.route.over else None
        last = None
        if before is not None and before.route.over:
            last = section_speed(self.layout, self.yard, before.route.over[-1], kind)
        turnout = min(_turned(self), default=None)
        said = [speed for speed in (own, first) if speed is not None]
        limits = [speed for speed in (own, first, turnout, last) if speed is not None]
        return min(limits) if said else None


def slope(way: Iterable[Stretch]) -> Fraction:
    """Return how much several stretches rise on their length, as an average."""
    weighed = [(stretch.length.model or stretch.length.stands or Fraction(0), stretch.slope) for stretch in way]
    whole = sum((metres for metres, _ in weighed), Fraction(0))
    return sum((metres * rise for metres, rise in weighed), Fraction(0)) / whole if whole else Fraction(0)


def stretches(layout: Layout) -> tuple[Stretch, ...]:
    """Return every route of a layout as a stretch; worked out once."""
    if "stretches" not in layout.cache:
        yard = Yardstick.of(layout)
        layout.cache["stretches"] = tuple(
            Stretch(signal, route, yard) for signal in layout.signals.values() for route in signal.entry.routes
        )
    found: tuple[Stretch, ...] = layout.cache["stretches"]
    return found


def stretch_of(layout: Layout, signal: BoundSignal, route: Route) -> Stretch:
    """Return a route as a stretch: the one that ``stretches`` has, or of a signal of another file a new one."""
    if "stretch of" not in layout.cache:
        layout.cache["stretch of"] = {id(stretch.route): stretch for stretch in stretches(layout)}
    known: dict[int, Stretch] = layout.cache["stretch of"]
    return known.get(id(route)) or Stretch(signal, route, Yardstick.of(signal.layout))


def leaving(layout: Layout, signal: str) -> list[Stretch]:
    """Return the stretches that begin at a signal and are run at speed."""
    if "leaving" not in layout.cache:
        found: dict[str, list[Stretch]] = {}
        for stretch in stretches(layout):
            if stretch.running:
                found.setdefault(stretch.signal.name, []).append(stretch)
        layout.cache["leaving"] = found
    known: dict[str, list[Stretch]] = layout.cache["leaving"]
    return known.get(signal, [])


def arriving(layout: Layout, signal: str) -> list[Stretch]:
    """Return the stretches that lead to a signal or past it and are run at speed."""
    if "arriving" not in layout.cache:
        found: dict[str, list[Stretch]] = {}
        for stretch in stretches(layout):
            for name in (stretch.route.to, *stretch.route.passes) if stretch.running else ():
                found.setdefault(name, []).append(stretch)
        layout.cache["arriving"] = found
    known: dict[str, list[Stretch]] = layout.cache["arriving"]
    return known.get(signal, [])


ROUTE = Scope("route", "plan", stretches)
"""Each route by itself."""


def section_speed(layout: Layout, yard: Yardstick, name: str, kind: str) -> Fraction | None:
    """Return how fast a kind of train may run in a section: its own speed, or that of its slowest line."""
    section = _section(layout, name)
    if "speed" in section:
        return yard.speed(section["speed"])
    lines = (layout.plan.lines.get(line) or {} for line in _lines(layout, name))
    speeds = [yard.speed((line.get("trains") or {}).get(kind, line.get("speed"))) for line in lines]
    return min((speed for speed in speeds if speed is not None), default=None)


def _section(layout: Layout, name: str) -> dict[str, Any]:
    """Return what the plan says of a section; nothing if it is unknown."""
    return layout.plan.sections.get(name) or {}


def _lines(layout: Layout, section: str) -> tuple[str, ...]:
    """Return the lines of a section."""
    said = _section(layout, section).get("line")
    return () if said is None else as_words(said)


def _kinds(layout: Layout) -> Iterator[str]:
    """Yield the kinds of train that have speeds of their own on some line."""
    for line in layout.plan.lines.values():
        yield from (line or {}).get("trains") or ()


def _turned(stretch: Stretch) -> Iterator[Fraction]:
    """Yield the speeds of points that a route takes over their turned leg."""
    for name, lie in stretch.route.points.items():
        points = stretch.layout.plan.points.get(name) or {}
        way = points.get(lie) or stretch.route.turns
        speed = stretch.yard.speed(points.get("speed"))
        if speed is not None and way in ("left", "right"):
            yield speed


def _gradient(layout: Layout, name: str) -> Fraction:
    """Return how much a section rises on its length: its own gradient, or its line's; level if nothing is said."""
    section = _section(layout, name)
    lines = (layout.plan.lines.get(line) or {} for line in _lines(layout, name))
    said = section.get("gradient", next((line["gradient"] for line in lines if "gradient" in line), None))
    return gradient(as_text(said))


def gradient(text: str) -> Fraction:
    """Return how much ``1 in 100``, ``8 per mille`` or ``-0.5 %`` rises on its length."""
    sign = -1 if text.startswith("-") else 1
    number, _, unit = text.removeprefix("-").partition(" ")
    if unit.startswith("in "):
        run = plain_number(unit.removeprefix("in "))
        return sign / run if run else Fraction(0)
    size = {"%": Fraction(1, 100), "per mille": Fraction(1, 1000)}.get(unit, Fraction(0))
    return sign * (plain_number(number) or Fraction(0)) * size
