"""``lampwright export``: the tables of a plan for its controllers."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from lampwright.commands.chosen import FOUND, about_plans, layouts
from lampwright.commands.output import say, write
from lampwright_wiring.export.formats import FORMATS, Refused, Wanted

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout

C_HEADER: Final = "c-header"


@click.command(
    epilog="""
\b
Examples:
  lampwright export layout.yaml --as json > tables.json
  lampwright export layout.yaml --as csv --signal HF1
  lampwright export layout.yaml --as c-header --player . > tables.h
  lampwright export layout.yaml --as accessory-packets --first-address 40
"""
)
@about_plans
@click.option("--as", "form", type=click.Choice(list(FORMATS)), required=True, help="What the tables are written as.")
@click.option("--signal", "signals", multiple=True, metavar="NAME", help="Only this signal; may be repeated.")
@click.option(
    "--first-address",
    "first",
    type=click.IntRange(0),
    default=1,
    show_default=True,
    help="For packets: address of the first signal that says none in the plan.",
)
@click.option(
    "--address-offset",
    "offset",
    type=int,
    default=0,
    show_default=True,
    help="For packets: what the command station adds to an address for that of the packet.",
)
@click.option(
    "--player",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="FOLDER",
    help="For a header: also put the player in C that reads it into this folder, made if it is not there.",
)
@click.pass_context
def export(  # noqa: PLR0913, PLR0917  (one parameter for each option)
    ctx: click.Context,
    paths: tuple[str, ...],
    year: str,
    rulebook: str,
    form: str,
    signals: tuple[str, ...],
    first: int,
    offset: int,
    player: Path | None,
) -> None:
    """Write the tables of a plan for its controllers.

    Every display each signal can be told to show, by number: nought is the most restrictive, and one number means the
    same on all signals of a form. Levels are shares of lightness (CIE L*) in steps of the boards, fades shares of light
    from step to step. Accessory packets are those of NMRA S-9.2.1, which settles aspect 0 only: stop.
    """
    from lampwright_wiring.saying import CAUTION

    if player and form != C_HEADER:
        raise click.UsageError(f"--player goes with --as {C_HEADER}")
    found = layouts(ctx, paths, year, rulebook)
    _know(found, signals)
    try:
        told = FORMATS[form](found, Wanted(signals, first, offset))
    except Refused as trouble:
        say(f"lampwright: {trouble}")
        ctx.exit(FOUND)
    if player:
        _put(player)
    write(told.text)
    for remark in (*told.remarks, *_left_out(found, signals), CAUTION):
        say(f"lampwright: {remark}")


def _put(folder: Path) -> None:
    """Put the player into a folder."""
    from lampwright.edits import CannotWrite
    from lampwright_wiring.export.as_c import put_player

    try:
        put_player(folder)
    except CannotWrite as trouble:
        raise click.ClickException(str(trouble)) from trouble


def _know(found: Sequence[Layout], signals: Sequence[str]) -> None:
    """Refuse a signal that no plan has."""
    known = [name for layout in found for name in layout.signals]
    for name in signals:
        if name not in known:
            from lampwright.words import did_you_mean  # only a slip pays for it

            raise click.UsageError(f"there is no signal {name}: {did_you_mean(name, known, 'the signals')}")


def _left_out(found: Sequence[Layout], signals: Sequence[str]) -> Iterator[str]:
    """Say which signals have no table, and why."""
    from lampwright.tables import tables

    for layout in found:
        for one in tables(layout).left_out:
            if not signals or one.signal in signals:
                yield f"{one.signal} is left out: {one.because}"
