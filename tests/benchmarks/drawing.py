"""Times how plans of growing size are drawn, and prints how large the pictures are.

PYTHONPATH=tests python -m benchmarks.drawing
"""

from __future__ import annotations

import sys
from time import perf_counter
from typing import TYPE_CHECKING

from benchmarks.generate import plan
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright_drawing.pictures import KINDS, of_layout
from lampwright_drawing.svg import picture
from support import library

if TYPE_CHECKING:
    from collections.abc import Sequence

SIZES = (30, 300, 1_000)


def drawn(layout: Layout, kind: str) -> list[str]:
    """Return all pictures of a kind."""
    return [picture(one.draw()) for one in of_layout(layout) if one.kind == kind]


def timed(kind: str, signals: int) -> tuple[int, float, Sequence[str]]:
    """Return how many signals a plan has, the seconds that drawing it takes, all worked out anew, and the pictures."""
    layout = Layout(load(plan(signals), "plan.yaml"), library())
    start = perf_counter()
    pictures = drawn(layout, kind)
    return len(layout.signals), perf_counter() - start, pictures


def main() -> None:
    """Print a line for each kind of picture and size of plan."""
    sys.stdout.write(f"{'kind':<12}{'signals':>8}{'pictures':>10}{'ms':>10}{'kB in all':>12}{'kB the largest':>16}\n")
    for kind in KINDS:
        for size in SIZES:
            signals, seconds, pictures = timed(kind, size)
            sizes = [len(one.encode()) / 1000 for one in pictures]
            row = f"{signals:>8}{len(pictures):>10}{1000 * seconds:>10.0f}{sum(sizes):>12.0f}{max(sizes):>16.1f}"
            sys.stdout.write(f"{kind:<12}{row}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
