"""How fast, for how long and in which phase a lamp flashes in each of a rulebook's states."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.quantities import plain_number

if TYPE_CHECKING:
    from lampwright.rulebooks.model import Rulebook

FLASH: Final = "flash"
TELLING: Final = frozenset({"per-minute", "phase", "lit-share", "floor"})
"""What is said of states that flash, and of no others."""


class Flash(Struct, frozen=True):
    """One way of flashing: flashes a minute from the slowest to the fastest (None if not known), phase in degrees.

    ``share`` is the least and greatest part of the time it is lit (None if not known), ``floor`` the share of its
    lightness that it keeps between flashes.
    """

    rate: tuple[Fraction, Fraction] | None = None
    phase: int = 0
    share: tuple[Fraction, Fraction] | None = None
    floor: Fraction = Fraction(0)

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
    floor = _span(str(said.get("floor", "")).removesuffix("%").strip())
    return Flash(
        _span(str(said.get("per-minute", ""))),
        int(said.get("phase", 0)),
        _share(str(said.get("lit-share", ""))),
        floor[0] / 100 if floor else Fraction(0),
    )


def _said(rulebook: Rulebook, state: str, chain: tuple[str, ...]) -> dict[str, Any]:
    """Return what is said of a state and of those it is like; it has the key ``flash`` if it is like that one."""
    own = rulebook.states.get(state)
    own = own if isinstance(own, dict) else {}
    model = str(own.get("like", ""))
    base = _said(rulebook, model, (*chain, state)) if model and model not in (*chain, state) else {}
    return {**base, **own} | ({FLASH: True} if state == FLASH else {})


def _span(text: str) -> tuple[Fraction, Fraction] | None:
    """Read ``75`` or ``60..80``; None for what is neither."""
    first, dots, last = text.partition("..")
    slow, fast = plain_number(first.strip()), plain_number((last if dots else first).strip())
    return None if slow is None or fast is None else (slow, fast)


def _share(text: str) -> tuple[Fraction, Fraction] | None:
    """Read ``60 %``, ``50..80 %`` or ``over 50 %``; None for what is none of these."""
    over = text.startswith("over ")
    span = _span(text.removeprefix("over ").removesuffix("%").strip())
    if span is None:
        return None
    return span[0] / 100, Fraction(1) if over else min(span[1] / 100, Fraction(1))
