"""Checks signals against their rulebook: dates, forms, lamps, displays, indicators, references."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    from lampwright.checks import Check

lampwright_api = 1


@hookimpl
def checks() -> list[type[Check]]:
    """Return every check class in the modules of this package."""
    import lampwright_signals
    from lampwright.checks import defined_in

    return defined_in(lampwright_signals)
