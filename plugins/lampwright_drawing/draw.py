"""``lampwright draw``: pictures of a plan or of a rulebook's forms."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec import Struct

from lampwright.commands.chosen import FOUND, chosen_rulebook, layouts
from lampwright.commands.group import session_of
from lampwright.commands.output import options, say, write
from lampwright_drawing.pictures import ASPECTS, DIAGRAM, KINDS, Picture, names_of, of_layout, of_rulebook

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from lampwright.layout import Layout
    from lampwright.rulebooks import Rulebook


class Asked(Struct, frozen=True):
    """What the command line asks for."""

    kinds: tuple[str, ...]
    signals: tuple[str, ...]
    forms: tuple[str, ...]
    names: bool
    routes: tuple[str, ...] = ()
    occupied: tuple[str, ...] = ()

    def of(self, pictures: Iterator[Picture], usual: str) -> Iterator[Picture]:
        """Yield the pictures that are asked for; ``usual`` is the kind where none is."""
        kinds, things = self.kinds or (usual,), (*self.signals, *self.forms)
        for picture in pictures:
            if picture.kind in kinds and (not things or picture.of in things):
                yield picture


@click.command(
    epilog="""
\b
Examples:
  lampwright draw gb-colour-light --form four-aspect -o four-aspect.svg   the aspects of a form
  lampwright draw layout.yaml --kind signal --signal HF3 --names -o HF3.svg
                                                                          its lamps, named and numbered
  lampwright draw layout.yaml -o layout.svg                               the track with its signals
  lampwright draw layout.yaml --route 'HF3 to HF5' -o set.svg             the same with a route set
  lampwright draw layout.yaml --kind aspects -o pictures                  a sheet for each signal, into a folder
  lampwright draw layout.yaml --text                                      in the terminal
"""
)
@click.argument("what", nargs=-1, required=True, metavar="PLAN|RULEBOOK...")
@click.option("-o", "--output", default="", metavar="FILE|FOLDER", help="Where pictures go; FILE ends in .svg.")
@click.option("--kind", "kinds", multiple=True, type=click.Choice(KINDS), help="What to draw; may be repeated.")
@click.option("--signal", "signals", multiple=True, metavar="NAME", help="Only this signal; may be repeated.")
@click.option("--form", "forms", multiple=True, metavar="NAME", help="Only this form of a rulebook; may be repeated.")
@click.option(
    "--route", "routes", multiple=True, metavar="'AB1 to AB3'", help="Show this route set, and what signals show then."
)
@click.option("--occupied", multiple=True, metavar="SECTION", help="Show this section occupied.")
@click.option("--names", is_flag=True, help="Lamps with their names, numbers and outputs.")
@click.option("--text", is_flag=True, help="Signals as letters in the terminal.")
@click.option("--year", default="", help="A year, a span (1974..1979) or an era; in place of what plans say.")
@click.pass_context
def draw(  # noqa: PLR0913, PLR0917  (one parameter for each option)
    ctx: click.Context,
    what: tuple[str, ...],
    output: str,
    kinds: tuple[str, ...],
    signals: tuple[str, ...],
    forms: tuple[str, ...],
    routes: tuple[str, ...],
    occupied: tuple[str, ...],
    names: bool,  # noqa: FBT001  (an option)
    text: bool,  # noqa: FBT001
    year: str,
) -> None:
    """Draw the track of a plan, its signals and their aspects, or the forms of a rulebook, as SVG.

    One picture goes to the terminal's output or into FILE; several go into a folder.
    """
    books, plans = _told_apart(ctx, what)
    bound = layouts(ctx, plans, year, "") if plans else []
    _know(signals, [name for layout in bound for name in layout.signals], "signal")
    _know(forms, [name for book in books for name in book.forms], "form")
    _know(occupied, [name for layout in bound for name in layout.plan.sections], "section")
    _know(routes, [name for layout in bound for name in names_of(layout)], "route")
    asked = Asked(kinds, signals, forms, names, routes, occupied)
    if text:
        return _print(bound, books, asked)
    return _save(ctx, list(_pictures(bound, books, asked, year)), output)


def _told_apart(ctx: click.Context, what: Sequence[str]) -> tuple[list[Rulebook], list[str]]:
    """Return the rulebooks that are named, and the paths of plans."""
    session = session_of(ctx)
    books, plans = [], []
    for name in what:
        path = Path(name)
        if name in session.library.ids or (path / "rulebook.yaml").is_file() or path.name == "rulebook.yaml":
            book = session.library.get(chosen_rulebook(session, name) or "")
            if book is None:
                say(f"lampwright: the rulebook {name} cannot be used: lampwright check says why")
                ctx.exit(FOUND)
            books.append(book)
        else:
            plans.append(name)
    return books, plans


def _know(wanted: Collection[str], names: Collection[str], what: str) -> None:
    """Refuse a name that there is not."""
    from lampwright.words import did_you_mean

    for name in wanted:
        if name not in names:
            raise click.UsageError(f"there is no {what} {name}: {did_you_mean(name, names, f'the {what}s')}")


def _pictures(bound: Sequence[Layout], books: Sequence[Rulebook], asked: Asked, year: str) -> Iterator[Picture]:
    """Yield all pictures that are asked for."""
    from lampwright.layout import years_of

    for layout in bound:
        usual = ASPECTS if asked.signals else DIAGRAM
        yield from asked.of(of_layout(layout, names=asked.names, routes=asked.routes, occupied=asked.occupied), usual)
    for book in books:
        years = years_of(year, book)
        if year and years is None:
            said = f"--year {year} is neither a year, nor a span like 1974..1979, nor an era of {book.id}"
            raise click.UsageError(said)
        yield from asked.of(of_rulebook(book, years, names=asked.names), ASPECTS)


def _save(ctx: click.Context, pictures: Sequence[Picture], output: str) -> None:
    """Write pictures to where they belong."""
    from lampwright.edits import CannotWrite
    from lampwright_drawing.files import SUFFIX, save, save_as
    from lampwright_drawing.svg import picture as whole

    if not pictures:
        raise click.UsageError("there is nothing to draw: no signal has a known form")
    single = not output or output.endswith(SUFFIX)
    if single and len(pictures) > 1:
        raise click.UsageError(
            f"these are {len(pictures)} pictures: name a folder by -o, or choose by --signal, --form"
        )
    if not output:
        return write(whole(pictures[0].draw()))
    drawn = ((picture.name, whole(picture.draw())) for picture in pictures)
    try:
        written = [save_as(next(drawn)[1], Path(output))] if single else save(drawn, Path(output))
    except CannotWrite as trouble:
        say(f"lampwright: {trouble}")
        ctx.exit(2)
    return say(f"{written[0]}" if single else f"{len(written)} pictures in {output}")


def _print(bound: Sequence[Layout], books: Sequence[Rulebook], asked: Asked) -> None:
    """Print signals and forms as letters."""
    from lampwright_drawing.letters import of_forms, of_signals

    usual = options()
    for layout in bound:
        for line in of_signals(layout, asked.signals, usual):
            write(f"{line}\n")
    for book in books:
        for line in of_forms(book, asked.forms, usual):
            write(f"{line}\n")
