"""Long work says how far it is: one line on stderr, on a terminal only, that goes away."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, Final, Self, TextIO

from lampwright.reports.printable import printable

if TYPE_CHECKING:
    from collections.abc import Callable

PATIENCE: Final = 0.7
"""Seconds that nobody needs to be told anything."""
STEP: Final = 0.1
"""Seconds between two words."""
WIDTH: Final = 79
AWAY: Final = "\r\x1b[K"
"""Back to the beginning of the line, and clear it."""


class Progress:
    """Tells how far work is; use it in ``with``, so that the line is taken away whatever happens."""

    def __init__(self, stream: TextIO | None = None, clock: Callable[[], float] = time.monotonic) -> None:
        self._stream = stream or sys.stderr
        self._clock = clock
        self._next = clock() + PATIENCE
        self._shown = False
        self._wanted = self._stream.isatty()

    def __enter__(self) -> Self:
        """Begin."""
        return self

    def __exit__(self, *_: object) -> None:
        """Take the line away."""
        if self._shown:
            self._stream.write(AWAY)
            self._stream.flush()

    def __call__(self, what: str, done: int, of: int) -> None:
        """Say what is being worked on, and how many of how many are done."""
        if not self._wanted or self._clock() < self._next:
            return
        self._next = self._clock() + STEP
        self._shown = True
        self._stream.write(f"{AWAY}{printable(f'lampwright: {done:,} of {of:,}: {what}')[:WIDTH]}")
        self._stream.flush()
