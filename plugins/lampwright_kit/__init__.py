"""Beginnings: a package for a rulebook of one's own, a plan to start from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    import click

lampwright_api = 1


@hookimpl
def commands() -> list[click.Command]:
    """Return ``lampwright new``."""
    from lampwright_kit.new import new

    return [new]
