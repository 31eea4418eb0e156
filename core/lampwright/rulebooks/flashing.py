"""How fast and in which phase a lamp flashes in each of a rulebook's states."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from lampwright.quantities import plain_number

if TYPE_CHECKING:
    from fractions import Fraction

    from lampwright.rulebooks.model import Rulebook

FLASH: Final = "flash"
TELLING: Final = frozenset({"per-minute", "phase", "lit-share", "floor"})
"""What is said of states that flash, and of no others."""


@dataclass(frozen=True, slots=True)
class Flash:
    """One way of flashing: flashes a minute from the slowest to the fastest (None if not known), phase in degrees."""

    rate: tuple[Fraction, Fraction] | None = None
    phase: int = 0

    def may_equal(self, other: Flash) -> bool:
        """Tell whether the two may be equally fast, as far as is known."""
        if self.rate is None or other.rate is None:
            return True
        return self.rate[0] <= other.rate[1] and other.rate[0] <= self.rate[1]


def flash(rulebook: Rulebook, state: str) -> Flash | None:
    """Return how a lamp flashes in a state, followed through ``like``; None if it does not flash in it."""
    said = _said(rulebook, state, ())
    if "as" in said or (state != FLASH and not said.keys() & TELLING and FLASH not in said):
        return None
    return Flash(_rate(str(said.get("per-minute", ""))), int(said.get("phase", 0)))


def _said(rulebook: Rulebook, state: str, chain: tuple[str, ...]) -> dict[str, Any]:
    """Return what is said of a state and of those it is like; it has the key ``flash`` if it is like that one."""
    own = rulebook.states.get(state)
    own = own if isinstance(own, dict) else {}
    model = str(own.get("like", ""))
    base = _said(rulebook, model, (*chain, state)) if model and model not in (*chain, state) else {}
    return {**base, **own} | ({FLASH: True} if state == FLASH else {})


def _rate(text: str) -> tuple[Fraction, Fraction] | None:
    """Read ``75`` or ``60..80``; None for what is neither."""
    first, dots, last = text.partition("..")
    slow, fast = plain_number(first.strip()), plain_number((last if dots else first).strip())
    return None if slow is None or fast is None else (slow, fast)
