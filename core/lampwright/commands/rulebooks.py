"""``lampwright rulebooks``: which there are, what one says, what every display of a form means."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from lampwright.commands.group import session_of
from lampwright.commands.output import options, show, write
from lampwright.reports.style import Style
from lampwright.reports.tables import table

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from lampwright.library import Library
    from lampwright.rulebooks import Rulebook

FOUND = 1


@click.command(
    epilog="""
\b
Examples:
  lampwright rulebooks                                      list all
  lampwright rulebooks gb-colour-light                      aspects, forms, indicators, sources
  lampwright rulebooks gb-colour-light --form four-aspect   one form
  lampwright rulebooks gb-colour-light --form four-aspect --displays
                                                            what it shows, and with one lamp wrong
"""
)
@click.argument("name", metavar="[ID]", default="")
@click.option("--form", "form", default="", metavar="FORM", help="Show one form of the rulebook.")
@click.option("--displays", is_flag=True, help="With --form: what displays mean, right ones and those one lamp away.")
@click.option("--all", "every", is_flag=True, help="With --form: what every combination of lamps means.")
@click.pass_context
def rulebooks(ctx: click.Context, name: str, form: str, displays: bool, every: bool) -> None:  # noqa: FBT001  (flags)
    """Show the rulebooks.

    Without an ID all are listed. The exit code is 1 if one cannot be used.
    """
    library = session_of(ctx).library
    if (form or displays or every) and not name:
        raise click.UsageError("these options need the ID of a rulebook, as in: rulebooks gb-colour-light --form ...")
    if (displays or every) and not form:
        raise click.UsageError("--displays and --all need a form, as in: --form four-aspect --displays")
    for line in _lines(library, name, form, displays=displays, every=every):
        write(f"{line}\n")
    if library.findings:
        write("\n")
        show(library.findings, library.documents)
        ctx.exit(FOUND)


def _lines(library: Library, name: str, form: str, *, displays: bool, every: bool) -> Iterator[str]:
    """Yield what was asked for."""
    if not name:
        yield from _list(library)
        return
    _known(name, library.ids, "rulebook", "the rulebooks")
    rulebook = library.get(name)
    if rulebook is None:
        return
    style = Style(colour=options().colour)
    if not form:
        from lampwright.commands.rulebook_page import page

        yield from page(rulebook, style, options().width)
        return
    from lampwright.commands import form_page

    _known(form, rulebook.forms, f"form of {name}", "its forms")
    yield from form_page.form(rulebook, form, style, options().width)
    if displays or every:
        yield from form_page.displays(rulebook, form, style, options().width, every=every)


def _known(name: str, names: Collection[str], what: str, which: str) -> None:
    """Refuse a name that is not there."""
    if name not in names:
        from lampwright.words import did_you_mean  # only a slip pays for it

        raise click.UsageError(f"there is no {what} {name}: {did_you_mean(name, names, which)}")


def _list(library: Library) -> list[str]:
    """Return the table of all rulebooks."""
    head = ["rulebook", "years", "aspects", "forms", "indicators", "territory", "title"]
    books = [(name, library.get(name)) for name in library.ids]
    return table([head, *(_row(name, book) for name, book in books)], options().width, right={2, 3, 4})


def _row(name: str, rulebook: Rulebook | None) -> list[str]:
    """Return one rulebook's row."""
    if rulebook is None:
        return [name, "cannot be used: see below"]
    counts = [str(len(things)) for things in (rulebook.aspects, rulebook.forms, rulebook.indicators)]
    return [name, str(rulebook.years), *counts, rulebook.territory, rulebook.title]
