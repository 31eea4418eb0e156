"""``lampwright sequence``: the aspect sequence chart of a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import click

from lampwright.commands.chosen import about_plans, layouts
from lampwright.commands.output import options, write
from lampwright.reports.style import Style
from lampwright.reports.tables import table as aligned
from lampwright.words import did_you_mean, listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout
    from lampwright_working.printing.chart import Chart, Row

FORMAT: Final = "lampwright-aspect-sequence/1"
CAUTION: Final = "For model railways only: nothing here is fit for a real one."


@click.command(
    epilog="""
\b
Examples:
  lampwright sequence layout.yaml                      every signal
  lampwright sequence layout.yaml --signal TB1         one signal
  lampwright sequence layout.yaml --why TB1 caution    what must stand for it to show that
  lampwright sequence layout.yaml --format json        for programs
"""
)
@about_plans
@click.option("--signal", "signals", multiple=True, metavar="NAME", help="Only this signal; may be repeated.")
@click.option("--why", nargs=2, metavar="SIGNAL ASPECT", help="The shortest way in which a signal comes to show it.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.pass_context
def sequence(  # noqa: PLR0913, PLR0917  (one parameter for each option)
    ctx: click.Context,
    paths: tuple[str, ...],
    year: str,
    rulebook: str,
    signals: tuple[str, ...],
    why: tuple[str, str] | None,
    form: str,
) -> None:
    """Show the aspect sequence chart of a plan.

    For each signal: everything it can be asked to show, on which route, with what the next signal shows, which
    indicator is lit beside it, and whether a train must have come near first. Where the plan does not say what is seen
    ahead, what may follow is marked as possible.
    """
    from lampwright_working.printing.chart import charts  # only a call that goes through pays for it

    wanted = (*signals, why[0]) if why else signals
    found = [(layout, charts(layout)) for layout in layouts(ctx, paths, year, rulebook)]
    _know(found, wanted)
    chosen = [
        (layout, [one for one in all_of_it if one.signal.name in wanted or not wanted]) for layout, all_of_it in found
    ]
    told = _because(chosen, why[1]) if why else (_as_json if form == "json" else _as_text)(chosen)
    for piece in told:
        write(piece)


def _know(found: Sequence[tuple[Layout, list[Chart]]], signals: tuple[str, ...]) -> None:
    """Refuse a signal that no plan has."""
    known = [name for layout, _ in found for name in layout.signals]
    for name in signals:
        if name not in known:
            raise click.UsageError(f"there is no signal {name}: {did_you_mean(name, known, 'the signals')}")


def _because(found: Sequence[tuple[Layout, list[Chart]]], aspect: str) -> Iterator[str]:
    """Yield how a signal comes to show an aspect; one that it never shows is a wrong call."""
    rows = [row for _, charts in found for chart in charts for row in chart.rows]
    fitting = [row for row in rows if aspect in [shown for _, shown in row.parts] or aspect == row.shows]
    if not fitting:
        shown = list(dict.fromkeys(aspect for row in rows for _, aspect in row.parts))
        raise click.UsageError(
            f"it is never asked to show {aspect}: {did_you_mean(aspect, shown, 'the aspects it shows')}"
        )
    for row in fitting:
        yield f"{row.shows}: {row.because or row.way}\n"


def _as_text(found: Sequence[tuple[Layout, list[Chart]]]) -> Iterator[str]:
    """Yield the chart for people: a block for each signal, in it one for each route."""
    usual = options()
    style = Style(colour=usual.colour)
    for layout, charts in found:
        yield style("strong", layout.plan.name or layout.plan.file) + "\n\n"
        yield from _open(layout, usual.width)
        for chart in charts:
            yield style("strong", chart.signal.name) + f"  {chart.signal.form_name or 'form not known'}\n"
            for which in dict.fromkeys(row.way for row in chart.rows):
                rows = [(row.shows, _told(row)) for row in chart.rows if row.way == which]
                yield f"  {which}\n"
                yield from (f"{line}\n" for line in aligned(rows, usual.width, indent="    "))
            yield "\n"
    yield f"{CAUTION}\n"


def _open(layout: Layout, width: int) -> Iterator[str]:
    """Yield what is not known of what stands ahead."""
    from lampwright.reports.printable import printable, wrapped
    from lampwright_working.printing.chart import unknown

    if lacking := unknown(layout):
        what = listed(f"{name} ({why})" for name, why in lacking.items())
        told = f"Not known: what is seen at {what}. What would follow from it is marked as possible."
        yield from (f"{line}\n" for line in wrapped(printable(told), width))
        yield "\n"


def _told(row: Row) -> str:
    """Say what goes with an aspect: what stands ahead, what is lit beside it, what must have happened."""
    routes = dict(row.routes)
    seen = [f"{ahead} (route to {routes[ahead]})" if ahead in routes else ahead for ahead in row.ahead]
    said = [f"with {listed(seen, 'or')} ahead" if seen else "", *(f"and {one}" for one in row.indicator)]
    said += ["once a train is near" if row.released else "", "(allowed)" if row.allowed else ""]
    said += [f"allowed with {listed(row.also, 'or')} ahead" if row.also else ""]
    said += ["(possible)" if row.possible else ""]
    return ", ".join(filter(None, said)).replace(", and ", " and ").replace(", (", " (")


def _as_json(found: Sequence[tuple[Layout, list[Chart]]]) -> Iterator[str]:
    """Yield the chart for programs."""
    import json

    from lampwright_working.printing.chart import unknown

    plans = [
        {
            "file": layout.plan.file,
            "name": layout.plan.name,
            "rulebook": layout.rulebook_name,
            "year": layout.year_text,
            "unknown": unknown(layout),
            "signals": [
                {
                    "signal": chart.signal.name,
                    "form": chart.signal.form_name,
                    "shows": [_record(row) for row in chart.rows],
                }
                for chart in charts
            ],
        }
        for layout, charts in found
    ]
    yield json.dumps({"format": FORMAT, "plans": plans}, indent=2, ensure_ascii=False) + "\n"


def _record(row: Row) -> dict[str, Any]:
    """Return one row for programs."""
    return {
        "way": row.way,
        "aspects": {part or "signal": aspect for part, aspect in row.parts},
        "ahead": list(row.ahead),
        "indicator": list(row.indicator),
        "released": row.released,
        "allowed": row.allowed,
        "allowed-ahead": list(row.also),
        "possible": row.possible,
        "because": row.because,
    }
