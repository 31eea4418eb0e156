"""``lampwright rulebooks``: which there are, what one says, how two differ, what every display of a form means."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import click
from msgspec import Struct

from lampwright.commands.group import session_of
from lampwright.commands.output import options, say, show, write
from lampwright.reports.style import Style
from lampwright.reports.tables import table

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from lampwright.library import Library
    from lampwright.rulebooks import Rulebook
    from lampwright.years import Years

FOUND: Final = 1
NOTHING: Final = 3


class Asked(Struct, frozen=True):
    """What the command line asks for."""

    name: str
    territory: str
    years: Years | None
    other: str
    form: str
    displays: bool
    every: bool

    def refuse(self) -> None:
        """Refuse options that do not go together."""
        if (self.form or self.displays or self.every or self.other) and not self.name:
            raise click.UsageError(
                "these options need the ID of a rulebook, as in: rulebooks gb-colour-light --form ..."
            )
        if (self.displays or self.every) and not self.form:
            raise click.UsageError("--displays and --all need a form, as in: --form four-aspect --displays")
        if self.other and self.form:
            raise click.UsageError("--compare is for whole rulebooks; leave out --form")
        if self.territory and self.name:
            raise click.UsageError("--territory is for the list; leave out the ID")
        if self.years and self.name and not self.other:
            raise click.UsageError("--year is for the list and for --compare; leave out the ID, or compare it")


def _years(_ctx: click.Context, _param: click.Parameter, text: str) -> Years | None:
    """Read a year or span of years."""
    from lampwright.years import Years

    try:
        return Years.parse(text) if text else None
    except ValueError as trouble:
        raise click.BadParameter(str(trouble)) from None


def _offered(ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Return the rulebooks whose id goes on like this."""
    return [name for name in session_of(ctx).library.ids if name.startswith(begun)]


@click.command(
    epilog="""
\b
Examples:
  lampwright rulebooks                                      list all
  lampwright rulebooks --territory germany --year 1965      those of a territory and year
  lampwright rulebooks gb-colour-light                      aspects, forms, sequence, sources
  lampwright rulebooks gb-colour-light --compare de-hv      what one light means in each
  lampwright rulebooks gb-colour-light --form four-aspect   one form
  lampwright rulebooks gb-colour-light --form four-aspect --displays
                                                            what it shows, and with one lamp wrong
"""
)
@click.argument("name", metavar="[ID]", default="", shell_complete=_offered)
@click.option("--territory", default="", metavar="TEXT", help="List those of a territory.")
@click.option("--year", "years", default="", callback=_years, metavar="YEAR", help="List, or compare, what was in use.")
@click.option("--compare", "other", default="", metavar="ID", help="Compare with another by the lights that are lit.")
@click.option("--form", "form", default="", metavar="FORM", help="Show one form of the rulebook.")
@click.option("--displays", is_flag=True, help="With --form: what displays mean, right ones and those one lamp away.")
@click.option("--all", "every", is_flag=True, help="With --form: what every combination of lamps means.")
@click.pass_context
def rulebooks(ctx: click.Context, /, **said: Any) -> None:
    """Show the rulebooks.

    Without an ID all are listed. The exit code is 1 if one cannot be used, 3 if there is none such.
    """
    asked = Asked(**said)
    asked.refuse()
    library = session_of(ctx).library
    for line in _lines(library, asked):
        write(f"{line}\n")
    if library.findings:
        write("\n")
        show(library.findings, library.documents)
        ctx.exit(FOUND)
    if not asked.name and not _listed(library, asked):
        say(f"lampwright: there is no such rulebook; {_what_there_is(library)}")
        ctx.exit(NOTHING)


def _lines(library: Library, asked: Asked) -> Iterator[str]:
    """Yield what was asked for."""
    if not asked.name:
        yield from _list(library, asked)
        return
    rulebook, other = (_get(library, name) if name else None for name in (asked.name, asked.other))
    if rulebook is None or (asked.other and other is None):
        return
    style, width = Style(colour=options().colour), options().width
    if other is not None:
        from lampwright.commands import compare_page

        yield from compare_page.page(rulebook, other, asked.years, style, width)
    elif not asked.form:
        from lampwright.commands.rulebook_page import page

        yield from page(rulebook, style, width)
    else:
        from lampwright.commands import form_page

        _known(asked.form, rulebook.forms, f"form of {asked.name}", "its forms")
        yield from form_page.form(rulebook, asked.form, style, width)
        if asked.displays or asked.every:
            yield from form_page.displays(rulebook, asked.form, style, width, every=asked.every)


def _get(library: Library, name: str) -> Rulebook | None:
    """Return a rulebook that must be there; None if it cannot be used."""
    _known(name, library.ids, "rulebook", "the rulebooks")
    return library.get(name)


def _known(name: str, names: Collection[str], what: str, which: str) -> None:
    """Refuse a name that is not there."""
    if name not in names:
        from lampwright.words import did_you_mean  # only a slip pays for it

        raise click.UsageError(f"there is no {what} {name}: {did_you_mean(name, names, which)}")


def _list(library: Library, asked: Asked) -> list[str]:
    """Return the table of the rulebooks asked for; nothing if there is none."""
    head = ["rulebook", "years", "aspects", "forms", "indicators", "territory", "title"]
    books = _listed(library, asked)
    return table([head, *(_row(*book) for book in books)], options().width, right={2, 3, 4}) if books else []


def _listed(library: Library, asked: Asked) -> list[tuple[str, Rulebook | None]]:
    """Return the rulebooks asked for; one that cannot be used is left out only if something is asked of it."""
    books = [(name, library.get(name)) for name in library.ids]
    return [(name, book) for name, book in books if _wanted(book, asked)]


def _wanted(book: Rulebook | None, asked: Asked) -> bool:
    """Tell whether a rulebook is of the territory, or network, and the years asked for."""
    if book is None:
        return not (asked.territory or asked.years)
    there = asked.territory.casefold() in f"{book.territory} {book.network} {book.id}".casefold()
    return there and (asked.years is None or book.years.meets(asked.years))


def _what_there_is(library: Library) -> str:
    """Name the rulebooks there are, by territory."""
    there: dict[str, list[str]] = {}
    for book in filter(None, map(library.get, library.ids)):
        there.setdefault(book.territory, []).append(f"{book.id} {book.years}")
    told = "; ".join(f"of {territory} {', '.join(books)}" for territory, books in there.items())
    return f"there are {told}" if told else "there is none at all"


def _row(name: str, rulebook: Rulebook | None) -> list[str]:
    """Return one rulebook's row."""
    if rulebook is None:
        return [name, "cannot be used: see below"]
    counts = [str(len(things)) for things in (rulebook.aspects, rulebook.forms, rulebook.indicators)]
    return [name, str(rulebook.years), *counts, rulebook.territory, rulebook.title]
