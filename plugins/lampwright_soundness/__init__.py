"""Checks rulebooks: what a book says of signals must hang together before a plan is judged by it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.host import hookimpl

if TYPE_CHECKING:
    from lampwright.checks import Check

lampwright_api = 1


@hookimpl
def checks() -> list[type[Check]]:
    """Return every check class in the modules of this package."""
    import lampwright_soundness
    from lampwright.checks import defined_in

    return defined_in(lampwright_soundness)
