"""``lampwright table``: the control table of a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import click

from lampwright.commands.chosen import about_plans, layouts
from lampwright.commands.output import options, write
from lampwright.reports.cells import cell
from lampwright.reports.style import Style
from lampwright.reports.tables import labelled
from lampwright.routes import route_class
from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright_working.printing.control_table import Line, Shown

FORMAT: Final = "lampwright-control-table/1"
CAUTION: Final = "For model railways only: nothing here is fit for a real one."


@click.command(
    epilog="""
\b
Examples:
  lampwright table layout.yaml                  all routes
  lampwright table layout.yaml --signal TB1     routes of one signal
  lampwright table layout.yaml --format csv     for a spreadsheet
"""
)
@about_plans
@click.option("--signal", "signals", multiple=True, metavar="NAME", help="Only routes of this signal; may be repeated.")
@click.option("--format", "form", type=click.Choice(["text", "csv", "json"]), default="text", show_default=True)
@click.pass_context
def table(  # noqa: PLR0913, PLR0917  (one parameter for each option)
    ctx: click.Context, paths: tuple[str, ...], year: str, rulebook: str, signals: tuple[str, ...], form: str
) -> None:
    """Show the control table of a plan.

    For each route: points, sections that must be clear, overlap, flank, the routes it excludes and why, what its
    signal shows by what the next one shows, indicator, release. What the plan does not say is left out; sections and
    points that a route leaves out are taken from the track, if the plan gives one.
    """
    found = layouts(ctx, paths, year, rulebook)
    _know(found, signals)
    told = {"text": _as_text, "csv": _as_csv, "json": _as_json}[form]
    for piece in told([(layout, _lines(layout, signals)) for layout in found]):
        write(piece)


def _know(found: list[Layout], signals: tuple[str, ...]) -> None:
    """Refuse a signal that no plan has."""
    known = [name for layout in found for name in layout.signals]
    for name in signals:
        if name not in known:
            from lampwright.words import did_you_mean  # only a slip pays for it

            raise click.UsageError(f"there is no signal {name}: {did_you_mean(name, known, 'the signals')}")


def _lines(layout: Layout, signals: tuple[str, ...]) -> list[Line]:
    """Return the lines of a plan's table that are asked for."""
    from lampwright_working.printing.control_table import control_table  # only a call that goes through pays for it

    return [line for line in control_table(layout) if not signals or line.route.signal.name in signals]


def _as_text(found: list[tuple[Layout, list[Line]]]) -> Iterator[str]:
    """Yield the table for people: a block for each route."""
    usual = options()
    style = Style(colour=usual.colour)
    for layout, lines in found:
        yield style("strong", layout.plan.name or layout.plan.file) + "\n\n"
        for line in lines:
            yield style("strong", str(line.route)) + "\n"
            yield from (f"{row}\n" for row in labelled(_rows(line), style, usual.width, "  "))
            yield "\n"
        if not lines:
            yield "  no routes to tell of\n\n"
    yield f"{CAUTION}\n"


def _rows(line: Line) -> list[tuple[str, str]]:
    """Return the rows of a block, each label once."""
    said = [(label, text) for label, text in _block(line) if text]
    labels = [label for label, _ in said]
    return [(label if labels.index(label) == row else "", text) for row, (label, text) in enumerate(said)]


def _block(line: Line) -> Iterator[tuple[str, str]]:
    """Yield what a block says of a route, label by label."""
    entry = line.route.entry
    yield "from", line.route.signal.name if line.route.name != line.route.ends else ""
    yield "to", entry.to if line.route.name != line.route.ends else ""
    yield "points", ", ".join(_lies(entry.points))
    yield "clear", " ".join(line.clear)
    yield from (("overlap", text) for text in _overlaps(line))
    yield "flank", ", ".join((*_lies(line.flank), *(f"{name} at stop" for name in line.at_stop)))
    yield "turns", entry.turns
    yield "indicator", ", ".join(line.indicator)
    yield "speed", entry.speed
    yield "release", line.release
    yield "locking", line.locking
    yield from (("shows", shown) for shown in _shown(line))
    yield from (("excludes", f"{_called(other)}: {', '.join(map(str, reasons))}") for other, reasons in line.excludes)


def _called(route: BoundRoute) -> str:
    """Return a route as a cell has it: with its class, if it says one."""
    return f"{route.entry.kind} {route.name}".strip()


def _lies(lies: Mapping[str, str]) -> Iterable[str]:
    """Return points with the way they lie: ``101 normal``."""
    return [f"{name} {lie}" for name, lie in lies.items()]


def _overlaps(line: Line) -> list[str]:
    """Return the overlaps in words: the sections, and how their points lie."""
    return [", ".join(filter(None, (" ".join(lap.over), *_lies(lap.lies)))) for lap in line.overlaps]


def _shown(line: Line) -> Iterator[str]:
    """Yield what is shown, and that this is not all where it is not known what is seen ahead."""
    yield from map(_showing, line.shows)
    if line.unknown:
        what = listed(f"{name} ({why})" for name, why in line.unknown.items())
        yield f"{'more' if line.shows else 'it'} is not known: nothing says what is seen at {what}"


def _showing(shown: Shown) -> str:
    """Say what is shown by what stands ahead: ``caution with TB3 at danger``."""
    ahead = f"{shown.aspect} with {shown.at} at {' or '.join(shown.ahead)}"
    return ahead + (", once released" if shown.released else "") + (" (allowed)" if shown.allowed else "")


def _as_csv(found: list[tuple[Layout, list[Line]]]) -> Iterator[str]:
    """Yield the table for a spreadsheet: a row for each route, several things in one cell set apart by semicolons."""
    import csv
    import io

    held = io.StringIO()
    rows = [_cells(layout, line) for layout, lines in found for line in lines]
    writer = csv.DictWriter(held, list(COLUMNS), lineterminator="\n")
    writer.writeheader()
    writer.writerows({key: cell(text) for key, text in row.items()} for row in rows)
    yield held.getvalue()


COLUMNS: Final = (
    "plan",
    "route",
    "signal",
    "exit",
    "class",
    "points normal",
    "points reverse",
    "sections clear",
    "overlap",
    "flank",
    "excludes",
    "shows",
    "indicator",
    "turns",
    "speed",
    "release",
    "locking",
)


def _cells(layout: Layout, line: Line) -> dict[str, str]:
    """Return the row of a route."""
    entry = line.route.entry
    cells = (
        layout.plan.file,
        line.route.name,
        line.route.signal.name,
        entry.to,
        line.kind,
        " ".join(line.normal),
        " ".join(line.reverse),
        " ".join(line.clear),
        "; ".join(_overlaps(line)),
        "; ".join((*_lies(line.flank), *(f"{name} at stop" for name in line.at_stop))),
        "; ".join(f"{_called(other)} ({', '.join(map(str, reasons))})" for other, reasons in line.excludes),
        "; ".join(_shown(line)),
        "; ".join(line.indicator),
        entry.turns,
        entry.speed,
        line.release,
        line.locking,
    )
    return dict(zip(COLUMNS, cells, strict=True))


def _as_json(found: list[tuple[Layout, list[Line]]]) -> Iterator[str]:
    """Yield the table for programs."""
    import json

    plans = [
        {
            "file": layout.plan.file,
            "name": layout.plan.name,
            "rulebook": layout.rulebook_name,
            "year": layout.year_text,
            "routes": [_record(line) for line in lines],
        }
        for layout, lines in found
    ]
    yield json.dumps({"format": FORMAT, "plans": plans}, indent=2, ensure_ascii=False) + "\n"


def _record(line: Line) -> dict[str, Any]:
    """Return one route for programs."""
    entry = line.route.entry
    return {
        "route": line.route.name,
        "signal": line.route.signal.name,
        "exit": entry.to,
        "class": line.kind,
        "points": dict(entry.points),
        "clear": list(line.clear),
        "overlaps": [{"clear": list(lap.over), "points": dict(lap.lies)} for lap in line.overlaps],
        "flank": {"points": dict(line.flank), "at_stop": list(line.at_stop)},
        "excludes": [
            {
                "route": other.name,
                "class": route_class(other.entry),
                "reasons": [{"kind": one.kind, "on": list(one.on)} for one in reasons],
            }
            for other, reasons in line.excludes
        ],
        "shows": [
            {
                "aspect": one.aspect,
                "at": one.at,
                "ahead": list(one.ahead),
                "allowed": one.allowed,
                "released": one.released,
            }
            for one in line.shows
        ],
        "unknown": dict(line.unknown),
        "indicator": list(line.indicator),
        "turns": entry.turns,
        "speed": entry.speed,
        "release": line.release,
        "locking": line.locking,
    }
