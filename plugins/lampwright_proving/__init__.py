"""Proves signals on the bench: what must be seen for each command, and what is wrong where something else was seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    import click

    from lampwright.checks import Check
    from lampwright.page import PagePart

lampwright_api = 1


@hookimpl
def commands() -> list[click.Command]:
    """Return the commands, each from the module that is called after it."""
    from lampwright_proving.changes import changes
    from lampwright_proving.prove import prove
    from lampwright_proving.rename import rename

    return [prove, changes, rename]


@hookimpl
def checks() -> list[type[Check]]:
    """Return the checks of what has changed since it was proved, and of what one fault would let be read."""
    from lampwright_proving.failing.freer import FreerWithOneFault
    from lampwright_proving.keeping.proofs import ChangedSinceProved

    return [ChangedSinceProved, FreerWithOneFault]


@hookimpl
def page_parts() -> list[PagePart]:
    """Return what stands on the page of a plan."""
    from lampwright_proving.on_page import parts

    return parts()
