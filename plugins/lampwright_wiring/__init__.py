"""Wires signals: outputs, resistors, currents, supplies; knows the parts that lamps are wired with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    from pathlib import Path

    import click

    from lampwright.checks import Check
    from lampwright.page import PagePart

lampwright_api = 1


@hookimpl
def parts() -> list[Path]:
    """Return the folder of the bundled parts data."""
    from pathlib import Path

    return [Path(__file__).with_name("parts")]


@hookimpl
def checks() -> list[type[Check]]:
    """Return every check class in the modules of ``rules``."""
    from lampwright.checks import defined_in
    from lampwright_wiring import rules

    return defined_in(rules)


@hookimpl
def commands() -> list[click.Command]:
    """Return the commands."""
    from lampwright_wiring.export.command import export
    from lampwright_wiring.wire import wire

    return [export, wire]


@hookimpl
def page_parts() -> list[PagePart]:
    """Return what stands on the page of a plan."""
    from lampwright_wiring.on_page import parts

    return parts()
