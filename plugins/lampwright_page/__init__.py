"""Makes the page of a plan: one file that shows it, what is found in it, and the layout worked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    import click

lampwright_api = 1


@hookimpl
def commands() -> list[click.Command]:
    """Return the command."""
    from lampwright_page.report import report

    return [report]
