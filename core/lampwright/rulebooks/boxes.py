"""Whether boxes, plates and marks are as a meaning asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.rulebooks.anatomy import ABSENT, DARK

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.model import Elements

NOT_THERE = frozenset({"", DARK, ABSENT, "false"})
STEADY = "lit"
FLASH = "flash"


def holds(tests: Elements, seen: Mapping[str, str]) -> bool:
    """Tell whether every named element is in the state asked for; one that is not seen is dark or absent."""
    return all(_fits(wanted, seen.get(element, "")) for element, wanted in tests)


def _fits(wanted: str, state: str) -> bool:
    """Compare one state: a content counts as lit, and as flashing if it says so."""
    if wanted in NOT_THERE:
        return state in NOT_THERE
    if wanted == "present":
        return state not in NOT_THERE
    if wanted == STEADY:
        return state not in NOT_THERE and not state.startswith(FLASH)
    if wanted == FLASH:
        return state.startswith(FLASH)
    return state == wanted
