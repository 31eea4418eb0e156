"""Makes slips in plans and rulebooks, one at a time, and counts which are found, where, and with how much noise.

    PYTHONPATH=tests python -m mutation.run                all of it, in one process for each core
    PYTHONPATH=tests python -m mutation.run plans          slips in plans alone, or in ``rulebooks``
    PYTHONPATH=tests python -m mutation.run rulebooks 3    of each operator and file only so many, from all over
    PYTHONPATH=tests python -m mutation.run us-nyc ch-n 8  only in these rulebooks, or plans

``mutation.table`` says what is printed. The exit code is 1 if a file without a slip has a finding, if a slip survives
that the file itself contradicts, or if fewer than 95 % are found of those that something can contradict.
"""

from __future__ import annotations

import multiprocessing
import os
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lampwright.words import did_you_mean
from mutation import books, slips
from mutation.books import trial
from mutation.books.places import BOOKS
from mutation.plans import PLANS, Mutant, Operator, plan, spread, written
from mutation.score import Outcome, Score, tried
from mutation.table import enough, table
from support import all_checks, bundled, library, result_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

IN_BOOKS = 4
"""Slips of each operator in each rulebook: all 16,000 would take hours."""


@dataclass(frozen=True)
class Subject:
    """Files, what slips are made in them, and how one is tried."""

    name: str
    files: tuple[Path, ...]
    operators: list[Operator]
    most: int
    try_one: Callable[[Path, Mutant, str], Outcome]


SUBJECTS = (
    Subject("plans", PLANS, slips.OPERATORS, 0, lambda path, mutant, label: tried(plan(path), mutant, label)),
    Subject("rulebooks", BOOKS, books.OPERATORS, IN_BOOKS, trial.tried),
)
Task = tuple[int, int, int, int]
"""Numbers of a subject, an operator and a file, and how many slips at most; 0 for all."""


def scores(number: int, files: list[int], most: int) -> list[Score]:
    """Return how each operator fares over files of a subject; how far it is is told on the standard error."""
    subject = SUBJECTS[number]
    found = [Score(operator) for operator in subject.operators]
    tasks = [(number, kind, file, most) for kind in range(len(found)) for file in files]
    with multiprocessing.get_context("fork").Pool(os.cpu_count()) as pool:
        for done, (kind, outcomes) in enumerate(pool.imap_unordered(made, tasks), 1):
            found[kind].add(outcomes)
            told(f"{subject.name}: {done} of {len(tasks)}, {sum(len(score.outcomes) for score in found)} slips")
    told("", end="\n")
    return found


def made(task: Task) -> tuple[int, list[Outcome]]:
    """Try the slips of one operator in one file."""
    return task[1], list(outcomes(*task))


def outcomes(number: int, kind: int, file: int, most: int) -> Iterator[Outcome]:
    """Yield what becomes of the slips of one operator in one file."""
    subject = SUBJECTS[number]
    path = subject.files[file]
    mutants = list(subject.operators[kind].make(plan(path)))
    for mutant in spread(mutants, most) if most else mutants:
        label = f"{called(path)}: {mutant.name}"
        try:
            yield subject.try_one(path, mutant, label)
        except Exception as error:  # noqa: BLE001  (whatever a check raises: the slip is not found)
            yield Outcome(f"{label} raises {error!r}", held=True)


def called(path: Path) -> str:
    """Return what a file is called: a rulebook by its folder."""
    return path.parent.name if path.name == trial.FILE else path.stem


def chosen(words: list[str]) -> list[list[int]]:
    """Return for each subject the numbers of those of its files that are meant: named, or all of a subject, or all.

    Exit if a word is neither a file nor a subject.
    """
    names = {called(path) for subject in SUBJECTS for path in subject.files}
    known = {*names, *(subject.name for subject in SUBJECTS)}
    for word in words:
        if word not in known:
            sys.exit(f"there is no {word}: {did_you_mean(word, sorted(known))}")
    picked = names.intersection(words)
    wholly = [not picked and (not words or subject.name in words) for subject in SUBJECTS]
    return [
        [number for number, path in enumerate(subject.files) if whole or called(path) in picked]
        for subject, whole in zip(SUBJECTS, wholly, strict=True)
    ]


def false_alarms(files: list[list[int]]) -> list[str]:
    """Return what is found in plans and rulebooks without a slip, written as the mutants are."""
    plans, rulebooks = ([one.files[number] for number in some] for one, some in zip(SUBJECTS, files, strict=True))
    found = [(path.stem, finding) for path in plans for finding in result_of(written(plan(path))).findings]
    return [
        *(f"{stem}: {one.message}" for stem, one in found),
        *(one for path in rulebooks for one in trial.alarms(path)),
    ]


def told(text: str, end: str = "\r") -> None:
    """Tell how far the work is."""
    sys.stderr.write(f"\x1b[K{text}{end}")
    sys.stderr.flush()


def main(arguments: list[str]) -> int:
    """Print the tables; fail if a plan has a false alarm or too much is not found."""
    numbers = [int(word) for word in arguments if word.isdigit()]
    files = chosen([word for word in arguments if not word.isdigit()])
    all_checks()
    for name in library().ids:
        bundled(name)
    alarms = false_alarms(files)
    good = not alarms
    for number, subject in enumerate(SUBJECTS):
        if files[number]:
            rows = scores(number, files[number], numbers[0] if numbers else subject.most)
            sys.stdout.writelines(f"{line}\n" for line in table(subject.name, rows))
            good = good and enough(rows)
    sys.stdout.writelines(f"{line}\n" for line in (f"false alarms: {len(alarms)}", *alarms))
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
