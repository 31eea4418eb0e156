"""What there is to tell of a plan's distances, as tables of exact amounts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.working.measures import Length, Yardstick
from lampwright_working.cautions import approaches
from lampwright_working.clearances import overlaps, to_points
from lampwright_working.demands import compared, in_stops
from lampwright_working.following import designs, following_time, headway
from lampwright_working.lateness import caution_figure, stops_at_caution
from lampwright_working.reading import approach_speed
from lampwright_working.spacing import worked
from lampwright_working.stretches import stretches
from lampwright_working.trains import ANY_KIND, Brakes

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from fractions import Fraction

    from lampwright.layout import Layout
    from lampwright_working.trains import Stop

TEXT: Final = "text"
SPEED: Final = "speed"
LENGTH: Final = "length"
SHARE: Final = "share"
TIME: Final = "time"
"""Kinds of column. A length is a ``Length``, a speed is in m/s, a time in s, a share a plain number; all are exact."""

Row = dict[str, Any]
"""One line of a table: by the key of its column what is known; what is not is left out."""
Columns = dict[str, str]
"""The keys of a table's columns in order, each with its kind."""


class Table(Struct, frozen=True):
    """A table by its name, with its title, columns and rows."""

    name: str
    title: str
    columns: Columns
    rows: tuple[Row, ...]


def tables(layout: Layout, asked: str = "") -> list[Table]:
    """Return what there is to tell; a table of nothing is left out. ``asked`` is a headway for all lines."""
    made = (
        Table(name, title, columns, tuple(_known(row) for row in rows(layout)))
        for name, (title, columns, rows) in {**TABLES, "headways": _headway_table(asked)}.items()
    )
    return [table for table in made if table.rows]


def _stopping(layout: Layout) -> Iterator[Row]:
    """Yield what it takes to stop from the speed of each line, by every source of the rate and by the plan's trains."""
    brakes = Brakes.of(layout)
    for line, speed in _lines(layout):
        for stop in brakes.by_rate(speed):
            yield _stop(brakes.yard, line, stop)
        for stop in brakes.stops({ANY_KIND: speed}) if brakes.own else ():
            yield {"line": line, "speed": stop.speed, "takes": brakes.length(stop.metres), "how": stop.how}


def _stop(yard: Yardstick, line: str, stop: Stop) -> Row:
    """Return a stop by a rate of braking: at full size, to scale, and as far as the layout is compressed."""
    model = Length(stop.metres / yard.scale.ratio, None, None) if yard.scale else None
    by = f", {stop.citation}" if stop.citation else ""
    how = f"{stop.how}{by}"
    return {"line": line, "speed": stop.speed, "takes": yard.standing(stop.metres), "scaled": model, "how": how}


def _routes(layout: Layout) -> Iterator[Row]:
    """Yield the length of every route that is run at speed, as it is and in stopping distances."""
    brakes = Brakes.of(layout)
    for stretch in stretches(layout):
        if stretch.running and stretch.length:
            speeds = stretch.speeds()
            stops = _in_stops(brakes, stretch.length, brakes.stops(speeds, stretch.slope))
            speed = speeds.get(ANY_KIND)
            working = worked(stretch)
            yield {"route": str(stretch), "length": stretch.length, "speed": speed, "stops": stops, "working": working}


def _cautions(layout: Layout) -> Iterator[Row]:
    """Yield how far each first caution is from its red, and how soon trains can follow over that way."""
    brakes, figure = Brakes.of(layout), caution_figure(layout)
    for approach in approaches(layout):
        if not approach.first.distance:
            continue
        stops = stops_at_caution(brakes, approach)
        amount = brakes.measure(approach.first.distance)
        breach = compared(amount, in_stops(figure, stops)) if amount is not None else None
        known = amount is not None and bool(stops)
        late = ("disputed" if breach.other else "too late") if breach else "enough" if known else ""
        yield {
            "red": approach.red,
            "caution": approach.first.signal.name,
            "aspect": approach.first.aspect,
            "clear": approach.clear.signal.name if approach.clear else "",
            "length": approach.first.distance,
            "stops": _in_stops(brakes, approach.first.distance, stops),
            "verdict": late if approach.clear else "",
            "following": following_time(approach),
        }


def _overlaps(layout: Layout) -> Iterator[Row]:
    """Yield every overlap whose length is given."""
    for stretch in stretches(layout):
        for overlap in overlaps(stretch):
            if overlap.length:
                yield {"route": str(stretch), "length": overlap.length, "kind": overlap.kind}


def _junctions(layout: Layout) -> Iterator[Row]:
    """Yield how far it is from signals to the first points they send trains over, as closely as it is known."""
    for stretch in stretches(layout):
        least, most = to_points(stretch)
        if stretch.running and most:
            yield {"route": str(stretch), "least": least, "most": most}


def _sighting(layout: Layout) -> Iterator[Row]:
    """Yield how long signals are in sight."""
    yard = Yardstick.of(layout)
    for signal in layout.signals.values():
        length, speed = yard.length(signal.entry.rest.get("sighting")), approach_speed(signal)
        if length:
            time = length.stands / speed if length.stands is not None and speed else None
            yield {"signal": signal.name, "length": length, "speed": speed, "time": time}


def _headway_table(asked: str) -> tuple[str, Columns, Callable[[Layout], Iterator[Row]]]:
    """Return the table of headways, for the one asked or those the lines say."""
    columns = {"line": TEXT, "headway": TIME, "working": TEXT, "least": LENGTH, "most": LENGTH, "why": TEXT}
    return "Spacing of signals that a headway allows", columns, lambda layout: _headways(layout, asked)


def _headways(layout: Layout, asked: str) -> Iterator[Row]:
    """Yield for every line and kind of working the spacing that its headway allows."""
    brakes = Brakes.of(layout)
    for line, speed in _lines(layout):
        time = headway(layout, line, asked)
        for design in designs(layout, line, speed, time) if time else ():
            row: Row = {"line": line, "headway": time, "working": design.kind}
            if design.allowed is None:
                yield {**row, "why": f"will not do: {design.why}"}
                continue
            least = brakes.length(design.allowed.low) if design.allowed.low else None
            most = None if design.allowed.high is None else brakes.length(design.allowed.high)
            yield {**row, "least": least, "most": most}


def _lines(layout: Layout) -> Iterator[tuple[str, Fraction]]:
    """Yield the lines with their speeds."""
    yard = Yardstick.of(layout)
    for name, said in layout.plan.lines.items():
        if (speed := yard.speed((said or {}).get("speed"))) is not None:
            yield name, speed


def _in_stops(brakes: Brakes, length: Length, stops: tuple[Stop, ...]) -> Fraction | None:
    """Return a length in stopping distances."""
    amount = brakes.measure(length)
    return amount / stops[0].metres if amount is not None and stops and stops[0].metres else None


def _known(row: Row) -> Row:
    """Return what is known of a row."""
    return {key: value for key, value in row.items() if value is not None and value != ""}


TABLES: Final[dict[str, tuple[str, Columns, Callable[[Layout], Iterator[Row]]]]] = {
    "stopping": (
        "What it takes to stop",
        {"line": TEXT, "speed": SPEED, "takes": LENGTH, "scaled": LENGTH, "how": TEXT},
        _stopping,
    ),
    "routes": (
        "From signal to signal",
        {"route": TEXT, "length": LENGTH, "speed": SPEED, "stops": SHARE, "working": TEXT},
        _routes,
    ),
    "cautions": (
        "From the first caution to its red",
        {
            "red": TEXT,
            "caution": TEXT,
            "aspect": TEXT,
            "clear": TEXT,
            "length": LENGTH,
            "stops": SHARE,
            "verdict": TEXT,
            "following": TIME,
        },
        _cautions,
    ),
    "overlaps": ("Overlaps", {"route": TEXT, "length": LENGTH, "kind": TEXT}, _overlaps),
    "junctions": (
        "From junction signals to their points",
        {"route": TEXT, "least": LENGTH, "most": LENGTH},
        _junctions,
    ),
    "sighting": ("Signals in sight", {"signal": TEXT, "length": LENGTH, "speed": SPEED, "time": TIME}, _sighting),
}
"""By name: the title of a table, its columns, and what yields its rows."""
