"""The colours that lamps have, and those that a rulebook adds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from lampwright.rulebooks.model import Rulebook

COMMON: Final = ("red", "yellow", "green", "white", "blue", "violet", "orange", "amber", "lunar")
"""Colours that need no entry among a rulebook's own."""


def known(rulebook: Rulebook) -> tuple[str, ...]:
    """Return every colour that a lamp of the rulebook may have."""
    return (*COMMON, *(name for name in rulebook.colours if name not in COMMON))
