"""Counts commands to give until a fault is found, against walking one lamp at a time; and times the diagnosis.

PYTHONPATH=tests python -m benchmarks.proving
"""

from __future__ import annotations

import sys
from random import Random
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING, NamedTuple

from bench_oracle import random_state, sights
from bench_plans import random_standing
from lampwright_proving.diagnosis.result import Diagnosis, Observation
from lampwright_proving.diagnosis.sights import WORDS

if TYPE_CHECKING:
    from bench_oracle import State
    from lampwright_proving.diagnosis.bench import Bench, Command

SIGNALS = 300


class Asked(NamedTuple):
    """How many commands were given until one explanation was left, and until looking told nothing more."""

    lamps: int
    commands: int
    suspected: int
    told: int
    seconds: float


def ask(bench: Bench, state: State, luck: Random) -> Asked:
    """Answer the questions of the interactive mode by what is seen in a state."""
    answers: list[Observation] = []
    suspected, slowest = 0, 0.0
    while True:
        start = perf_counter()
        diagnosis = Diagnosis(bench, tuple(answers), wary=True)
        command = diagnosis.next
        slowest = max(slowest, perf_counter() - start)
        if not suspected and not diagnosis.all_right and diagnosis.unique:
            suspected = len(answers)
        if command is None:
            return Asked(len(bench.lights), len(bench.commands), suspected or len(answers), len(answers), slowest)
        answers.append(answer(bench, state, command, luck))


def answer(bench: Bench, state: State, command: Command, luck: Random) -> Observation:
    """Return what somebody sees of every lamp for a command."""
    seen = [luck.choice(sorted(sights(bench, state, light, command))) for light in range(len(bench.lights))]
    return Observation(command, {light: WORDS[word] for light, word in enumerate(seen)})


def measured(signals: int, faults: int) -> list[Asked]:
    """Return what random signals with so many faults each took."""
    found = []
    for seed in range(signals):
        luck = Random(seed)  # noqa: S311  (the same every time)
        bench = random_standing(luck, 7).bench
        found.append(ask(bench, random_state(luck, bench, faults), luck))
    return found


def main() -> None:
    """Print a line for each number of faults."""
    heads = ("faults", "signals", "lamps", "commands", "one suspicion", "nothing more", "walking", "slowest ms")
    sys.stdout.write("".join(f"{head:>15}" for head in heads) + "\n")
    for faults in (0, 1, 2):
        found = measured(SIGNALS, faults)
        columns = [median(each) for each in list(zip(*found, strict=True))[:4]]
        figures = (faults, len(found), *columns, columns[0], f"{1000 * max(one.seconds for one in found):.0f}")
        sys.stdout.write("".join(f"{figure:>15}" for figure in figures) + "\n")


if __name__ == "__main__":
    main()
