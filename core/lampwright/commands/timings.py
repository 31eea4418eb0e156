"""Where the time of a run went: reading, and each check."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Final

from lampwright.project import READING

if TYPE_CHECKING:
    from collections.abc import Callable

SHOWN: Final = 20
"""Most lines of the table; what took least is put together."""
OTHER: Final = "all else"


class Timings:
    """Is told what begins (see ``engine.Tell``), and keeps how long it took until the next began."""

    def __init__(self, clock: Callable[[], float] = time.perf_counter) -> None:
        self._clock = clock
        self._spent: dict[str, float] = {}
        self._began = clock()
        self._what = OTHER

    def __call__(self, what: str, _done: int, _of: int) -> None:
        """Begin with something; files that are read are put together."""
        self._end()
        self._what = READING if what.startswith(f"{READING} ") else what

    def report(self, say: Callable[[str], object]) -> None:
        """Say how long what took, the longest first. The first of the checks that need something pays for it."""
        self._end()
        whole = sum(self._spent.values())
        ranked = sorted(self._spent.items(), key=lambda one: -one[1])
        rest = sum(spent for _, spent in ranked[SHOWN:])
        say("     ms    %")
        for what, spent in [*ranked[:SHOWN], *([(f"{len(ranked) - SHOWN} more", rest)] if rest else [])]:
            say(f"{spent * 1000:7.1f} {spent / whole * 100:4.0f}  {what}")
        say(f"{whole * 1000:7.1f}  100  in all")

    def _end(self) -> None:
        """Add the time since the last thing began to it."""
        now = self._clock()
        self._spent[self._what] = self._spent.get(self._what, 0.0) + now - self._began
        self._began = now
