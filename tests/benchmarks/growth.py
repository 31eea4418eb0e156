"""Times what is worked out of plans of growing size, and prints by which power of the plan's size each time grows.

PYTHONPATH=tests python -m benchmarks.growth [SIGNALS]

SIGNALS is the size of the largest plan, up to 100000.
"""

from __future__ import annotations

import gc
import sys
from math import log
from time import perf_counter
from typing import TYPE_CHECKING, Any

from benchmarks.generate import plan
from lampwright import engine
from lampwright.documents import read
from lampwright.edits.notation import entry
from lampwright.intake import build_plan
from lampwright.layout import Layout
from lampwright.working.conflicts import conflicts
from lampwright.working.reach import reach
from support import all_checks, library

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.documents import Document

SIZES = (100, 1_000, 10_000, 100_000)
USUAL = 10_000
"""The largest plan, unless one is named."""


def _written(signals: int) -> bytes:
    """Return a plan as a modeller would write it, in lines."""
    return "".join(f"{entry(key, value, '', chr(10))}\n" for key, value in plan(signals).items()).encode()


def _read(text: bytes) -> Document:
    """Read the file of a plan."""
    return read(text, "plan.yaml")


def _built(document: Document) -> Layout:
    """Hold what was read against its schema, and build the plan."""
    found, findings = build_plan(document)
    if found is None:
        raise ValueError(findings[0].message)
    return Layout(found, library())


def _conflicts(layout: Layout) -> Layout:
    """Find every pair of routes that exclude each other, with all reasons."""
    found = conflicts(layout)
    for one, other in found.pairs():
        found.reasons(one, other)
    return layout


def _reach(layout: Layout) -> Layout:
    """Find everything that every signal can be asked to show."""
    found = reach(layout)
    for name in layout.signals:
        found.first(name)
    return layout


def _checks(layout: Layout) -> None:
    """Run every check of every plugin."""
    engine.run(all_checks(), Layout(layout.plan, layout.library), "plan", "plan.yaml")


STAGES: dict[str, Callable[[Any], Any]] = {
    "reading": _read,
    "building": _built,
    "conflicts": _conflicts,
    "reach": _reach,
    "all checks": _checks,
}
"""In their order: each is given what the one before it has returned. Checks begin with nothing worked out."""


def timed(signals: int, rounds: int) -> tuple[int, dict[str, float]]:
    """Return the size of a plan in signals and routes, and the best time of each stage in seconds."""
    best = dict.fromkeys(STAGES, float("inf"))
    size = 0
    for _ in range(rounds):
        made: Any = _written(signals)
        for name, stage in STAGES.items():
            gc.collect()
            gc.disable()  # as timeit does
            start = perf_counter()
            made = stage(made)
            best[name] = min(best[name], perf_counter() - start)
            gc.enable()
            if isinstance(made, Layout):
                size = len(made.signals) + sum(len(signal.entry.routes) for signal in made.signals.values())
    return size, best


def main(largest: int = USUAL) -> None:
    """Print a line for each size and stage, with the exponent from the size before."""
    sys.stdout.write(f"{'signals':>8}{'and routes':>12}  {'stage':<12}{'ms':>10}{'exponent':>10}\n")
    last: tuple[int, dict[str, float]] | None = None
    for signals in (size for size in SIZES if size <= largest):
        size, spent = timed(signals, 5 if signals < SIZES[2] else 2)
        for name, seconds in spent.items():
            power = f"{log(seconds / last[1][name]) / log(size / last[0]):.2f}" if last else ""
            sys.stdout.write(f"{signals:>8}{size:>12}  {name:<12}{1000 * seconds:>10.1f}{power:>10}\n")
            sys.stdout.flush()
        last = size, spent


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
