"""The kernel's own plugin: its reporters and commands come by the way that any plugin's do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    from collections.abc import Callable

    import click

    from lampwright.project import Result
    from lampwright.reports import Options, Reporter

lampwright_api = 1


@hookimpl
def reporters() -> dict[str, Reporter]:
    """Return the two formats that the kernel knows."""
    return {"text": _text, "json": _json}


@hookimpl
def commands() -> list[click.Command]:
    """Return the kernel's commands."""
    from lampwright.commands.table import OWN, own

    return [own(name) for name in OWN]


def _text(result: Result, write: Callable[[str], object], options: Options) -> None:
    """Print a report for people."""
    from lampwright.reports.text import report

    report(result, write, options)


def _json(result: Result, write: Callable[[str], object], options: Options) -> None:
    """Print a report for programs."""
    from lampwright.reports.json import report

    report(result, write, options)
