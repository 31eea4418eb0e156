"""Checks how signals work together: sequence, conflicts, distances, dates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    from lampwright.checks import Check

lampwright_api = 1


@hookimpl
def checks() -> list[type[Check]]:
    """Return every check class in the modules of this package."""
    import lampwright_working
    from lampwright.checks import defined_in

    return defined_in(lampwright_working)
