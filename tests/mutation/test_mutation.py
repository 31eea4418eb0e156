"""A sample of the mutation run: what a plan contradicts is found, and at its line unless something else tells it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from mutation.plans import PLANS, Operator, plan, spread, written
from mutation.run import SUBJECTS, called, chosen
from mutation.score import Outcome, tried
from mutation.slips import OPERATORS
from support import result_of

if TYPE_CHECKING:
    from pathlib import Path

AFAR = {"routes", "overlap, flank", "electrics"}
"""Groups whose slips show at a signal no train then comes to, or at a board that then carries too much."""
TOLD_ELSEWHERE = {"piece dropped", "rulebook of another railway"}
STEMS = {"corvel-bridge", "merrowdale-junction", "harkveen", "lindwerth", "wired"}
RICH = [path for path in PLANS if path.stem in STEMS]


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_a_plan_without_a_slip_has_no_finding(path: Path) -> None:
    """Written as the mutants are, every example stays silent."""
    assert [finding.message for finding in result_of(written(plan(path))).findings] == []


@pytest.mark.parametrize("operator", OPERATORS, ids=lambda operator: operator.name)
def test_slips_that_the_plan_contradicts_are_found(operator: Operator) -> None:
    """Of plans that say much, two of each kind that cannot be true: found, and shown."""
    found = [outcome for path in RICH for outcome in sample(operator, path)]
    assert [outcome.label for outcome in found if not outcome.way and not outcome.proof] == []
    if operator.group not in AFAR and operator.name not in TOLD_ELSEWHERE:
        assert [f"{one.label}: {one.first}" for one in found if one.way and not one.shown] == []


def sample(operator: Operator, path: Path) -> list[Outcome]:
    """Try some slips of a kind in a plan, of those that it contradicts."""
    values = plan(path)
    held = [mutant for mutant in operator.make(values) if mutant.held]
    return [tried(values, mutant, f"{path.stem}: {mutant.name}") for mutant in spread(held, 2)]


def test_files_may_be_named() -> None:
    """Words choose files, or all files of a subject, or all; what is neither is refused."""
    whole = [list(range(len(subject.files))) for subject in SUBJECTS]
    books = [called(path) for path in SUBJECTS[1].files]
    assert chosen([]) == whole
    assert chosen(["rulebooks"]) == [[], whole[1]]
    assert chosen(["rulebooks", "us-nyc", "ch-n"]) == [[], [books.index("ch-n"), books.index("us-nyc")]]
    with pytest.raises(SystemExit, match="there is no us-nyx: did you mean us-nyc"):
        chosen(["us-nyx"])
