"""Two rulebooks compared on paper: by the lamps that are seen lit, not by the names of anything."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.reports.lamps import SEEN_LEGEND, seen
from lampwright.reports.printable import wrapped
from lampwright.reports.tables import table
from lampwright.rulebooks.comparing import compare
from lampwright.rulebooks.indications import told
from lampwright.words import counted, listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.reports.style import Style
    from lampwright.reports.tables import Cell
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.comparing import Seen
    from lampwright.rulebooks.lights import Known
    from lampwright.years import Years

INDENT: Final = "  "
MOST: Final = 2
"""Most forms that are named where one display is several aspects of one rulebook."""


def page(here: Rulebook, there: Rulebook, years: Years | None, style: Style, width: int) -> Iterator[str]:
    """Yield the comparison: what differs first, for that is what a driver may not take with him."""
    found = compare(here, there, years)
    yield style("strong", f"{here.id} and {there.id}{f' in {years}' if years else ''}, by the lights that are lit")
    yield from wrapped(f"{SEEN_LEGEND}; names, dark lamps and the height of the post do not count", width)
    several = (
        ("same display, other meaning", found.different, (here, there)),
        ("same display, same meaning", found.alike, (here, there)),
        (f"only in {here.id}", found.only_here, (here,)),
        (f"only in {there.id}", found.only_there, (there,)),
    )
    for title, displays, books in several:
        number = counted(len(displays), "display")
        yield f"\n{style('strong', f'{title[:1].upper()}{title[1:]}: {number}')}"
        yield from table(list(_rows(displays, books, here, style)), width, indent=INDENT)


def _rows(displays: Iterable[Seen], books: tuple[Rulebook, ...], here: Rulebook, style: Style) -> Iterator[list[Cell]]:
    """Yield each display with what it is in each of the books."""
    for display in displays:
        shown: Cell = seen(display.sight, style)
        for book in books:
            for aspect, forms in _aspects(display.here if book is here else display.there):
                name = [book.id] if len(books) > 1 else []
                yield [shown, *name, aspect, f"{told(book, aspect)}{forms}"]
                shown = ""


def _aspects(known: tuple[Known, ...]) -> Iterator[tuple[str, str]]:
    """Yield aspects, and the forms that show each if there are several."""
    aspects = list(dict.fromkeys(one.aspect for one in known))
    for aspect in aspects:
        forms = [one.form for one in known if one.aspect == aspect]
        more = [f"{len(forms) - MOST} more"] if len(forms) > MOST else []
        yield aspect, f" ({listed([*forms[:MOST], *more])})" if len(aspects) > 1 else ""
