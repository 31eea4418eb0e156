"""What became of a slip: found, where, by which rules; or why not."""

from __future__ import annotations

from dataclasses import dataclass, field
from statistics import median
from typing import TYPE_CHECKING

from lampwright.reports.contract import ordered
from mutation import alike
from support import PLAN, result_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.findings import Spot
    from lampwright.project import Result
    from mutation.plans import Mutant, Operator, Values


@dataclass(frozen=True)
class Outcome:
    """One slip. ``way`` tells how it was found, and is empty if it was not; ``proof`` that it changes nothing.

    ``placed`` if the first finding stands on the line of the slip, ``shown`` if it shows that line at least.
    """

    label: str
    held: bool
    way: str = ""
    rules: tuple[str, ...] = ()
    placed: bool = False
    shown: bool = False
    first: str = ""
    proof: str = ""


@dataclass
class Score:
    """How one operator fared."""

    operator: Operator
    outcomes: list[Outcome] = field(default_factory=list)

    def add(self, outcomes: Iterable[Outcome]) -> None:
        """Count more of its slips."""
        self.outcomes += outcomes

    @property
    def found(self) -> list[Outcome]:
        """Those that were found."""
        return [one for one in self.outcomes if one.way]

    @property
    def same(self) -> list[Outcome]:
        """Those that are shown to change nothing."""
        return [one for one in self.outcomes if one.proof]

    @property
    def gaps(self) -> list[Outcome]:
        """Those that the file contradicts, and that were not found."""
        return [one for one in self.outcomes if not one.way and not one.proof and one.held]

    @property
    def blind(self) -> list[Outcome]:
        """Those that nothing in the file contradicts, where the operator says why, and that were not found."""
        return self._loose if self.operator.blind else []

    @property
    def missed(self) -> list[Outcome]:
        """Those that were not found, and for which the operator has no reason."""
        return [] if self.operator.blind else self._loose

    @property
    def _loose(self) -> list[Outcome]:
        """Those that nothing in the file contradicts for certain, and that were not found."""
        return [one for one in self.outcomes if not one.way and not one.proof and not one.held]

    @property
    def astray(self) -> list[Outcome]:
        """Those found at a line that has nothing to do with them."""
        return [one for one in self.found if one.first and not one.shown]

    @property
    def noise(self) -> float:
        """The median number of findings of one slip that was found."""
        return median([len(one.rules) for one in self.found if one.rules] or [0])


def tried(before: Values, mutant: Mutant, label: str) -> Outcome:
    """Check one plan with a slip in it."""
    result = result_of(mutant.text)
    if not result.findings:
        return Outcome(label, mutant.held, proof=alike.proof(before, mutant.values))
    first = min(ordered(result), key=lambda item: -item[0].level)[0]
    placed = on_line(result, first.spot, mutant)
    shown = placed or any(on_line(result, spot, mutant) for spot in first.related)
    rules = tuple(finding.rule for finding in result.findings)
    where = f"{first.rule} at {'.'.join(map(str, first.spot.path))}"
    return Outcome(label, mutant.held, "check", rules, placed, shown, where)


def on_line(result: Result, spot: Spot, mutant: Mutant) -> bool:
    """Tell whether a spot is on the line of the slip, or in the lines of what was changed."""
    document = result.documents[PLAN]
    if spot.file != PLAN:
        return False
    line = document.place(spot.path, on_key=spot.on_key).line
    return document.place(mutant.target, on_key=True).line <= line <= document.place(mutant.target).end_line
