"""Times the conflicts of plans of growing size, and prints by which power of the number of routes the time grows.

PYTHONPATH=tests python -m benchmarks.conflicts_growth
"""

from __future__ import annotations

import gc
import sys
from math import log
from time import perf_counter

from benchmarks.generate import plan
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.conflicts import conflicts
from support import library

SIZES = (100, 1_000, 10_000)
ROUNDS = 3


def timed(signals: int) -> tuple[int, int, float, float]:
    """Return the number of routes and of conflicting pairs, and the best times of the matrix and of every reason."""
    values = plan(signals)
    matrix, whole = [], []
    routes = pairs = 0
    for _ in range(ROUNDS):
        layout = Layout(load(values, "plan.yaml"), library())
        gc.collect()
        gc.disable()  # as timeit does
        start = perf_counter()
        found = conflicts(layout)
        excluded = list(found.pairs())
        matrix.append(perf_counter() - start)
        for one, other in excluded:
            found.reasons(one, other)
        whole.append(perf_counter() - start)
        gc.enable()
        routes, pairs = len(found.routes), len(excluded)
    return routes, pairs, min(matrix), min(whole)


def main() -> None:
    """Print a line for each size, with the exponent from the size before."""
    sys.stdout.write(
        f"{'signals':>8}{'routes':>8}{'pairs':>8}{'matrix ms':>11}{'exponent':>10}{'reasons ms':>12}{'exponent':>10}\n"
    )
    last: tuple[int, int, float, float] | None = None
    for size in SIZES:
        routes, pairs, matrix, whole = now = timed(size)
        powers = [f"{log(now[key] / last[key]) / log(routes / last[0]):.2f}" if last else "" for key in (2, 3)]
        line = (
            f"{size:>8}{routes:>8}{pairs:>8}{1000 * matrix:>11.1f}{powers[0]:>10}{1000 * whole:>12.1f}{powers[1]:>10}"
        )
        sys.stdout.write(line + "\n")
        last = now


if __name__ == "__main__":
    main()
