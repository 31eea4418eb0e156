"""A sample of the slips in rulebooks: what a rulebook contradicts is found; what is said to change nothing does not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from mutation.books import OPERATORS, alike, trial
from mutation.books.places import BOOKS
from mutation.plans import Mutant, Operator, at, plan, put, spread

if TYPE_CHECKING:
    from pathlib import Path

    from mutation.plans import Way

SOME = [path for path in BOOKS if path.parent.name in {"nl-1954", "ch-n", "us-nyc"}]
CONTRADICTED = [
    operator for operator in OPERATORS if any(one.held for path in SOME for one in operator.make(plan(path)))
]
NETHERLANDS, NORAC = (next(path for path in BOOKS if path.parent.name == name) for name in ("nl-1954", "us-norac"))


@pytest.mark.parametrize("path", SOME, ids=lambda path: path.parent.name)
def test_a_rulebook_without_a_slip_is_taken_for_itself(path: Path) -> None:
    """Written as the mutants are: silent, its examples and cases too, and shown to say the same."""
    assert trial.alarms(path) == []


@pytest.mark.parametrize("operator", CONTRADICTED, ids=lambda operator: operator.name)
def test_slips_that_the_rulebook_contradicts_are_found(operator: Operator) -> None:
    """Two of each kind that cannot be true, in each of some rulebooks."""
    for path in SOME:
        for mutant in spread([one for one in operator.make(plan(path)) if one.held], 2):
            assert trial.tried(path, mutant, mutant.name).way.startswith("check"), mutant.name


def test_only_what_changes_nothing_is_said_to() -> None:
    """Two rules that never fit together may change places; of two that do, the first counts."""
    rules = at(plan(NETHERLANDS), ("sequence", "stop"))
    first, second, third, *rest = rules
    apart = mutant([first, second, rest[0], third, *rest[1:]])
    assert trial.tried(NETHERLANDS, apart, "").proof == alike.PROOF
    assert trial.tried(NETHERLANDS, mutant([second, first, third, *rest]), "").proof == ""


def test_what_only_sources_contradict_is_found_by_their_tests() -> None:
    """How fast freight trains run at limited speed (secondary: a glossary) is said nowhere else, nor can a case."""
    freight: Way = ("speeds", "limited", "trains", "freight")
    slip = Mutant("", put(plan(NORAC), freight, "50 mph"), freight, held=False)
    assert trial.tried(NORAC, slip, "").way == "sources"


def mutant(rules: list[object]) -> Mutant:
    """Return the rulebook with its rules for stop signals in another order."""
    return Mutant("", put(plan(NETHERLANDS), ("sequence", "stop"), rules), ("sequence",), held=False)
