"""Draws signals, their aspects, the track and the sequence of a plan: as SVG, or as letters in a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    import click

    from lampwright.page import PagePart

lampwright_api = 1


@hookimpl
def commands() -> list[click.Command]:
    """Return the command."""
    from lampwright_drawing.draw import draw

    return [draw]


@hookimpl
def page_parts() -> list[PagePart]:
    """Return what stands on the page of a plan."""
    from lampwright_drawing.on_page import parts

    return parts()
