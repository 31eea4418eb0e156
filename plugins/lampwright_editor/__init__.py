"""Helps while a plan is written: a language server for editors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    import click

lampwright_api = 1


@hookimpl
def commands() -> list[click.Command]:
    """Return the command that editors start."""
    from lampwright_editor.serving import serve_editor

    return [serve_editor]
