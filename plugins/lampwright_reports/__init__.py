"""Reports for other programs: code scanning, build servers, reviews; each has the format that those programs read."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Final

from lampwright.host import hookimpl

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.project import Result
    from lampwright.reports import Options, Reporter

lampwright_api = 1

FORMATS: Final = {
    "sarif": "sarif",
    "junit": "junit",
    "github": "github",
    "gitlab": "gitlab",
    "json-lines": "json_lines",
    "markdown": "markdown",
}
"""The word for ``--format``, and the module that has its ``report``."""


@hookimpl
def reporters() -> dict[str, Reporter]:
    """Return the formats; the module of one is loaded when it is used."""
    return {name: _late(module) for name, module in FORMATS.items()}


def _late(module: str) -> Reporter:
    """Return a reporter that loads its module first."""

    def report(result: Result, write: Callable[[str], object], options: Options) -> None:
        import_module(f"lampwright_reports.{module}").report(result, write, options)

    return report
