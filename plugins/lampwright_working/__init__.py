"""Works out what a plan's routes mean: conflicts, sequence, distance, dates; and prints the tables of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    import click

    from lampwright.checks import Check
    from lampwright.page import PagePart

lampwright_api = 1


@hookimpl
def checks() -> list[type[Check]]:
    """Return every check class in the modules of this package."""
    import lampwright_working
    from lampwright.checks import defined_in

    return defined_in(lampwright_working)


@hookimpl
def commands() -> list[click.Command]:
    """Return the commands, each from the module that is called after it."""
    from lampwright_working.printing.date import date
    from lampwright_working.printing.distances import distances
    from lampwright_working.printing.sequence import sequence
    from lampwright_working.printing.table import table

    return [date, distances, sequence, table]


@hookimpl
def page_parts() -> list[PagePart]:
    """Return the layout worked."""
    from lampwright_working.page.desk_on_page import parts

    return parts()
