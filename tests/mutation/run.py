"""Makes slips in plans and rulebooks, one at a time, and counts which are found, where, and with how much noise.

    PYTHONPATH=tests python -m mutation.run            all of it, in one process for each core
    PYTHONPATH=tests python -m mutation.run 3          of each operator and file only so many

``mutation.table`` says what is printed. The exit code is 1 if a file without a slip has a finding, if a slip survives
that the file itself contradicts, or if fewer than 95 % are found of those that are not shown to change nothing.
"""

from __future__ import annotations

import multiprocessing
import os
import sys
from typing import TYPE_CHECKING

from mutation import slips as _  # noqa: F401  (enters the operators)
from mutation.plans import PLANS, SLIPS, Operator, plan, spread, written
from mutation.score import Outcome, Score, tried
from mutation.table import enough, table
from support import all_checks, bundled, library, result_of

if TYPE_CHECKING:
    from collections.abc import Iterator

Task = tuple[int, int, int]
"""Numbers of an operator and of a plan, and how many slips at most; 0 for all."""


def scores(most: int = 0) -> list[Score]:
    """Return how each operator fares over all plans; what it takes is told on the standard error."""
    found = [Score(operator) for operator in SLIPS]
    tasks = [(kind, number, most) for kind in range(len(SLIPS)) for number in range(len(PLANS))]
    for name in library().ids:
        bundled(name)
    all_checks()
    with multiprocessing.get_context("fork").Pool(os.cpu_count()) as pool:
        for done, (kind, outcomes) in enumerate(pool.imap_unordered(made, tasks), 1):
            found[kind].add(outcomes)
            told(f"{done} of {len(tasks)}: {sum(len(score.outcomes) for score in found)} slips")
    told("", end="\n")
    return found


def made(task: Task) -> tuple[int, list[Outcome]]:
    """Try the slips of one operator in one plan."""
    kind, number, most = task
    return kind, list(outcomes(SLIPS[kind], number, most))


def outcomes(operator: Operator, number: int, most: int) -> Iterator[Outcome]:
    """Yield what becomes of the slips of one operator in one plan."""
    path = PLANS[number]
    values = plan(path)
    mutants = list(operator.make(values))
    for mutant in spread(mutants, most) if most else mutants:
        yield tried(values, mutant, f"{path.stem}: {mutant.name}")


def false_alarms() -> list[str]:
    """Return what is found in the plans without a slip, written as the mutants are."""
    return [f"{path.stem}: {finding.message}" for path in PLANS for finding in result_of(written(plan(path))).findings]


def told(text: str, end: str = "\r") -> None:
    """Tell how far the work is."""
    sys.stderr.write(f"\x1b[K{text}{end}")
    sys.stderr.flush()


def main() -> int:
    """Print the table; fail if a plan has a false alarm or too much is not found."""
    rows, alarms = scores(int(sys.argv[1]) if sys.argv[1:] else 0), false_alarms()
    for line in table(rows, alarms):
        sys.stdout.write(f"{line}\n")
    return 0 if enough(rows) and not alarms else 1


if __name__ == "__main__":
    sys.exit(main())
