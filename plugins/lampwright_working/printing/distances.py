"""``lampwright distances``: what a plan's track stands for, and how trains stop and follow on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import click

from lampwright.commands.chosen import about_plans, layouts
from lampwright.commands.output import options, write
from lampwright.reports.style import Style
from lampwright.reports.tables import table
from lampwright.working.measures import Length, Yardstick, read
from lampwright_working.printing.distance_tables import LENGTH, SHARE, SPEED, TEXT, TIME, Table, tables
from lampwright_working.units import Units, number

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from fractions import Fraction

    from lampwright.layout import Layout

FORMAT: Final = "lampwright-distances/1"
CAUTION: Final = "For model railways only: nothing here is fit for a real one."
STANDS: Final = "full size m"
SCALED: Final = "to scale m"
HEADS: Final = {
    "takes": "takes",
    "scaled": "uncompressed",
    "stops": "stopping distances",
    "time": "s",
    "following": "follows s",
}
"""What columns are called that are not called by their keys."""


@click.command(
    epilog="""
\b
Examples:
  lampwright distances layout.yaml
  lampwright distances layout.yaml --headway "2 min"   which spacing lets trains follow so soon
  lampwright distances layout.yaml --format json       for programs
"""
)
@about_plans
@click.option("--headway", default="", metavar="TIME", help="Time after which trains must follow, as in 120 s.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.pass_context
def distances(  # noqa: PLR0913, PLR0917  (one parameter for each option)
    ctx: click.Context, paths: tuple[str, ...], year: str, rulebook: str, headway: str, form: str
) -> None:
    """Show how trains stop and follow on a layout.

    Lengths are shown as they are on the layout and as what they stand for: stopping distances, spacing of signals,
    first cautions, overlaps, points, sighting. A plan says its scale, and how much it is compressed.
    """
    if headway and read(headway, "time") is None:
        raise click.UsageError(f"--headway {headway} is no time; expected something like 120 s or 2 min")
    found = layouts(ctx, paths, year, rulebook)
    if form == "json":
        import json

        whole = {"format": FORMAT, "plans": [_as_json(layout, headway) for layout in found]}
        write(json.dumps(whole, indent=2) + "\n")
        return
    for layout in found:
        for line in _as_text(layout, headway):
            write(f"{line}\n")
    write(f"{CAUTION}\n")


def _as_text(layout: Layout, headway: str) -> Iterator[str]:
    """Yield the lines that tell of one plan."""
    style, units = Style(colour=options().colour), Units.of(layout)
    yield style("strong", layout.plan.name or layout.plan.file)
    yield _measure(Yardstick.of(layout), units)
    yield ""
    told = tables(layout, headway)
    for one in told:
        yield style("strong", one.title)
        heads, right = _heads(one, units)
        rows = [_cells(one, row, heads, units) for row in one.rows]
        ragged = [] if one.columns[heads[-1][1]] == TEXT else [""]  # only the last column may be ragged
        whole = [[*row, *ragged] for row in ([text for text, *_ in heads], *rows)]
        head, *lines = table(whole, options().width, right=right, indent="  ")
        yield style("frame", head)
        yield from lines
        yield ""
    if not told:
        yield "  no lengths, speeds or trains to tell of"
        yield ""


def _measure(yard: Yardstick, units: Units) -> str:
    """Say what a length of track stands for."""
    if yard.scale is None:
        return "No scale given, so nothing is known at full size."
    scaled = units.real(yard.scale.ratio)
    if yard.compression is None:
        return f"{yard.scale}: 1 m of track is {scaled} to scale. The plan does not say how much it is compressed."
    stands = units.real(yard.scale.ratio * yard.compression)
    times = number(yard.compression, 2).rstrip("0").rstrip(".")
    return f"{yard.scale}, compressed 1:{times}: 1 m of track is {scaled} to scale, and stands for {stands}."


Head = tuple[str, str, str]
"""What stands above a column, the key it shows, and which side of a length."""


def _heads(told: Table, units: Units) -> tuple[list[Head], list[int]]:
    """Return the columns to print, a length split into what is known of it, and the numbers of those flush right."""
    heads: list[Head] = []
    right: list[int] = []
    for key, kind in told.columns.items():
        values = [row[key] for row in told.rows if key in row]
        if not values:
            continue
        more = _length_heads(key, values, units) if kind == LENGTH else [(_titled(key, kind, units), key, kind)]
        right += range(len(heads), len(heads) + len(more)) if kind != TEXT else ()
        heads += more
    return heads, right


def _length_heads(key: str, values: list[Length], units: Units) -> list[Head]:
    """Return the columns of a length: on the layout, and what it stands for, or else to scale."""
    heads = {
        "model": f"{HEADS.get(key, key)} {units.length}" if any(value.model is not None for value in values) else "",
        "stands": STANDS if any(value.stands for value in values) else "",
        "scaled": SCALED if any(value.scaled is not None and value.stands is None for value in values) else "",
    }
    return [(head, key, side) for side, head in heads.items() if head]


def _titled(key: str, kind: str, units: Units) -> str:
    """Return what stands above a column."""
    return f"{key} {units.speed}" if kind == SPEED else HEADS.get(key, key)


def _cells(told: Table, row: dict[str, Any], heads: Iterable[Head], units: Units) -> list[str]:
    """Return one row in words."""
    return [_cell(told.columns[key], row[key], side, units) if key in row else "" for _, key, side in heads]


def _cell(kind: str, value: Any, side: str, units: Units) -> str:
    """Return one amount without its unit, which stands above it."""
    if kind == LENGTH:
        metres = getattr(value, side)
        told = "" if metres is None else units.model(metres) if side == "model" else units.real(metres)
        return told.partition(" ")[0]
    if kind == SPEED:
        return units.fast(value).partition(" ")[0]
    return number(value, 2 if kind == SHARE else 1) if kind in (SHARE, TIME) else str(value)


def _as_json(layout: Layout, headway: str) -> dict[str, Any]:
    """Return what there is to tell of one plan, in metres, seconds and metres per second."""
    yard = Yardstick.of(layout)
    return {
        "file": layout.plan.file,
        "name": layout.plan.name,
        "rulebook": layout.rulebook_name,
        "year": layout.year_text,
        "scale": None if yard.scale is None else _plain(yard.scale.ratio),
        "compression": None if yard.compression is None else _plain(yard.compression),
        **{one.name: [_row(one, row) for row in one.rows] for one in tables(layout, headway)},
    }


def _row(told: Table, row: dict[str, Any]) -> dict[str, Any]:
    """Return one row; what is not known is null."""
    return {key: _value(kind, row.get(key)) for key, kind in told.columns.items()}


def _value(kind: str, value: Any) -> Any:
    """Return one amount; a length as it is on the layout, at full size to scale, and as what it stands for."""
    if value is None or kind == TEXT:
        return value
    if isinstance(value, Length):
        sides = {"model_m": value.model, "scaled_m": value.scaled, "stands_m": value.stands}
        return {side: None if metres is None else _plain(metres) for side, metres in sides.items()}
    return _plain(value)


def _plain(amount: Fraction) -> float:
    """Return an amount as JSON has it, to the millionth."""
    return float(round(amount, 6))
