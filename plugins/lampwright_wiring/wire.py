"""``lampwright wire``: loads, the schedule of wires, labels and parts of a plan; or outputs for what has none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import click

from lampwright.commands.chosen import about_plans, layouts
from lampwright.commands.output import options, say, write

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout
    from lampwright_wiring.lists.tables import Table

FORMAT: Final = "lampwright-wiring/1"
NAMES: Final = ("loads", "states", "outputs", "schedule", "boards", "labels", "parts")
USUAL: Final = "schedule"
"""The table that CSV has unless another is asked for."""


@click.command(
    epilog="""
\b
Examples:
  lampwright wire layout.yaml                          everything, for the workbench
  lampwright wire layout.yaml --table loads            what boards and supplies carry
  lampwright wire layout.yaml --table labels --format csv > labels.csv
  lampwright wire layout.yaml --format json            for programs
  lampwright wire layout.yaml --allocate               propose outputs for what has none
  lampwright wire layout.yaml --allocate --write       and write them into the plan
"""
)
@about_plans
@click.option(
    "--table",
    "chosen",
    multiple=True,
    type=click.Choice(NAMES),
    help="Show only this table; can be given several times.",
)
@click.option("--format", "form", type=click.Choice(["text", "csv", "json"]), default="text", show_default=True)
@click.option("--allocate", is_flag=True, help="Propose outputs for lamps and indicators without, and show the change.")
@click.option(
    "--board", default="", metavar="KIND", help="With --allocate: the kind of board to add where one is needed."
)
@click.option("--anew", is_flag=True, help="With --allocate: give new outputs to all that is neither built nor pinned.")
@click.option("--write", "written", is_flag=True, help="With --allocate: write the change into the plan.")
@click.pass_context
def wire(  # noqa: PLR0913  (one parameter for each option)
    ctx: click.Context,
    paths: tuple[str, ...],
    *,
    year: str,
    rulebook: str,
    chosen: tuple[str, ...],
    form: str,
    allocate: bool,
    board: str,
    anew: bool,
    written: bool,
) -> None:
    """List what a plan's wiring carries and takes.

    Loads and headroom of outputs, boards and supplies with the states that ask most of them; a schedule of the wires,
    labels for their ends, and the parts. CSV has one table: the schedule, or the one that --table names.

    With --allocate lamps and indicators without an output get one, boards are added where those there do not do, and
    the change is shown. What is wired already stays where it is, but for what is neither built nor pinned with --anew.
    """
    if (written or board or anew) and not allocate:
        raise click.UsageError("--write, --board and --anew go with --allocate")
    if allocate:
        if chosen or form != "text":
            raise click.UsageError("--allocate shows a change, and goes with no --table or --format")
        from lampwright_wiring.allocation.command import allocated

        allocated(ctx, layouts(ctx, paths, year, rulebook), board, anew=anew, written=written)
        return
    if form == "csv" and len(chosen) > 1:
        raise click.UsageError("CSV has one table: name one with --table, or none for the schedule")
    _write(layouts(ctx, paths, year, rulebook), chosen, form)


def _write(found: Sequence[Layout], chosen: tuple[str, ...], form: str) -> None:
    """Write the tables of some plans; the caution goes with all of them."""
    from lampwright_wiring.saying import CAUTION

    if form == "csv":
        from lampwright_wiring.lists.printing import as_csv

        name = chosen[0] if chosen else USUAL
        write(as_csv((one.plan.file, table) for one in found for table in tables(one) if table.name == name))
        say(f"lampwright: {CAUTION}")
        return
    names = chosen or NAMES
    if form == "json":
        import json

        whole = {"format": FORMAT, "caution": CAUTION, "plans": [_as_json(one, names) for one in found]}
        write(json.dumps(whole, indent=2) + "\n")
        return
    from lampwright.reports.printable import wrapped

    for layout in found:
        for line in _as_text(layout, names):
            write(f"{line}\n")
    for line in wrapped(f"{CAUTION[0].upper()}{CAUTION[1:]}.", options().width):
        write(f"{line}\n")


def tables(layout: Layout) -> Iterator[Table]:
    """Yield every table of a plan, in the order in which they are shown."""
    from lampwright_wiring.lists import loads, parts, schedule
    from lampwright_wiring.model import bind

    wiring = bind(layout)
    yield from loads.tables(layout, wiring)
    yield from schedule.tables(wiring)
    yield parts.table(layout, wiring)


def _as_text(layout: Layout, names: Sequence[str]) -> Iterator[str]:
    """Yield the lines that tell of one plan."""
    from lampwright.reports.printable import printable, wrapped
    from lampwright.reports.style import Style
    from lampwright_wiring.lists import printing

    style, width = Style(colour=options().colour), options().width
    yield style("strong", layout.plan.name or layout.plan.file)
    yield ""
    for table in tables(layout):
        if table.name in names and table.rows:
            yield from printing.as_text(table, style, width)
    for line in lacking(layout):
        yield from wrapped(printable(line), width)
        yield ""


def lacking(layout: Layout) -> Iterator[str]:
    """Yield what the tables cannot tell: lamps that are not wired, common wires, and what is not counted."""
    from lampwright.words import listed
    from lampwright_wiring import saying
    from lampwright_wiring.lists.loads import uncounted
    from lampwright_wiring.lists.schedule import unwired, without_common
    from lampwright_wiring.model import bind

    wiring = bind(layout)
    if lamps := unwired(wiring):
        yield f"Not wired yet: {saying.lamps(lamps)}. `--allocate` proposes outputs."
    for why, signals in without_common(wiring).items():
        yield f"No common wire is listed for {listed(signals)}: say {why}."
    if names := uncounted(layout):
        yield f"Not counted, for the plan does not say what they take: {', '.join(names)}."


def _as_json(layout: Layout, names: Sequence[str]) -> dict[str, Any]:
    """Return what is told of one plan."""
    from lampwright_wiring.lists.loads import uncounted
    from lampwright_wiring.lists.printing import as_values
    from lampwright_wiring.lists.schedule import unwired, without_common
    from lampwright_wiring.model import bind

    told: dict[str, Any] = {table.name: as_values(table) for table in tables(layout) if table.name in names}
    lacking = [lamp.label for lamp in unwired(bind(layout))]
    return {
        "plan": layout.plan.file,
        "name": layout.plan.name,
        **told,
        "unwired": lacking,
        "uncounted": uncounted(layout),
        "without-common": sorted({name for names in without_common(bind(layout)).values() for name in names}),
    }
