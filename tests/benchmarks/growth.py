"""Times what is worked out of plans of growing size, and prints by which power of the plan's size each time grows.

PYTHONPATH=tests python -m benchmarks.growth
"""

from __future__ import annotations

import gc
import sys
from math import log
from time import perf_counter
from typing import TYPE_CHECKING

from benchmarks.generate import plan
from lampwright import engine
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.conflicts import conflicts
from lampwright.working.reach import reach
from support import all_checks, library

if TYPE_CHECKING:
    from collections.abc import Callable

SIZES = (100, 1_000, 10_000)


def _conflicts(layout: Layout) -> None:
    """Find every pair of routes that exclude each other, with all reasons."""
    found = conflicts(layout)
    for one, other in found.pairs():
        found.reasons(one, other)


def _reach(layout: Layout) -> None:
    """Find everything that every signal can be asked to show."""
    found = reach(layout)
    for name in layout.signals:
        found.first(name)


def _checks(layout: Layout) -> None:
    """Run every check of every plugin."""
    engine.run(all_checks(), layout, "plan", "plan.yaml")


STAGES: dict[str, Callable[[Layout], None]] = {"conflicts": _conflicts, "reach": _reach, "all checks": _checks}


def timed(stage: Callable[[Layout], None], signals: int, rounds: int) -> tuple[int, float]:
    """Return the size of a plan in signals and routes, and the best time of a stage in seconds."""
    values = plan(signals)
    best, size = float("inf"), 0
    for _ in range(rounds):
        layout = Layout(load(values, "plan.yaml"), library())
        size = len(layout.signals) + sum(len(signal.entry.routes) for signal in layout.signals.values())
        gc.collect()
        gc.disable()  # as timeit does
        start = perf_counter()
        stage(layout)
        best = min(best, perf_counter() - start)
        gc.enable()
    return size, best


def main() -> None:
    """Print a line for each stage and size, with the exponent from the size before."""
    sys.stdout.write(f"{'stage':<12}{'signals':>8}{'and routes':>12}{'ms':>10}{'exponent':>10}\n")
    for name, stage in STAGES.items():
        last: tuple[int, float] | None = None
        for signals in SIZES:
            size, seconds = timed(stage, signals, 3 if signals < SIZES[-1] else 1)
            power = f"{log(seconds / last[1]) / log(size / last[0]):.2f}" if last else ""
            sys.stdout.write(f"{name:<12}{signals:>8}{size:>12}{1000 * seconds:>10.1f}{power:>10}\n")
            sys.stdout.flush()
            last = size, seconds


if __name__ == "__main__":
    main()
