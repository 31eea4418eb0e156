"""The order of restriction: a declared partial order of aspects, never derived from colours."""

from __future__ import annotations

from enum import Enum
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lampwright.rulebooks.model import Rulebook


class Verdict(Enum):
    """Whether the first of two aspects is less restrictive than the second."""

    YES = "yes"
    NO = "no"
    INCOMPARABLE = "not comparable"
    UNSAID = "not said"


class Order:
    """The chains of a rulebook, closed transitively."""

    def __init__(self, rulebook: Rulebook) -> None:
        """Work out, for each aspect, the aspects that are freer than it."""
        steps: dict[str, set[str]] = {}
        for chain in rulebook.chains:
            for tighter, freer in pairwise(chain):
                steps.setdefault(tighter, set()).add(freer)
        self._freer = {aspect: _reached(aspect, steps) for aspect in steps}
        self._apart = {frozenset(item.pair) for item in rulebook.incomparable}

    def freer(self, aspect: str) -> frozenset[str]:
        """Return every aspect declared less restrictive than this one."""
        return self._freer.get(aspect, frozenset())

    def circle(self) -> tuple[str, ...]:
        """Return aspects that are declared freer than themselves; empty in a sound rulebook."""
        return tuple(aspect for aspect, freer in self._freer.items() if aspect in freer)

    def less_restrictive(self, first: str, second: str) -> Verdict:
        """Tell whether ``first`` lets a driver do more than ``second``."""
        if first == second or second in self.freer(first):
            return Verdict.NO
        if first in self.freer(second):
            return Verdict.YES
        return Verdict.INCOMPARABLE if frozenset((first, second)) in self._apart else Verdict.UNSAID

    def at_least(self, aspect: str, floor: str) -> bool:
        """Tell whether ``aspect`` is ``floor`` or freer."""
        return aspect == floor or aspect in self.freer(floor)


def _reached(start: str, steps: dict[str, set[str]]) -> frozenset[str]:
    """Return everything the steps lead to."""
    found: set[str] = set()
    waiting = list(steps[start])
    while waiting:
        aspect = waiting.pop()
        if aspect not in found:
            found.add(aspect)
            waiting.extend(steps.get(aspect, ()))
    return frozenset(found)
