"""A sample of the mutation run: every operator finds something to do, and everything it does is found."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from mutation.operators import OPERATORS
from mutation.plans import EXAMPLES, plan, written
from mutation.run import Score
from support import result_of

if TYPE_CHECKING:
    from pathlib import Path

    from mutation.operators import Operator

SLIPS = [(group, operator) for group, operators in OPERATORS.items() for operator in operators]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_plan_without_a_slip_has_no_finding(path: Path) -> None:
    """Written as the mutants are, every example stays silent."""
    assert [finding.message for finding in result_of(written(plan(path))).findings] == []


@pytest.mark.parametrize(("group", "operator"), SLIPS, ids=lambda value: getattr(value, "__name__", ""))
def test_slips_are_found_at_their_line(group: str, operator: Operator) -> None:
    """Of each plan the first and the last mutant: found, and its line is shown by the first finding."""
    score = Score(group, operator.__name__)
    for example in EXAMPLES:
        mutants = list(operator(plan(example)))
        for mutant in dict.fromkeys([*mutants[:1], *mutants[-1:]]):
            score.count(mutant, f"{example.stem}: {mutant.name}")
    assert score.made
    assert score.survivors == []
    assert score.astray == []
