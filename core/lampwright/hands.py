"""Many hands: work on many plans is shared among processes, where there are processors for them and enough to do.

A process made by ``fork`` has all that was read, and costs a few milliseconds. Everywhere else one does all.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import TYPE_CHECKING, Any, Final, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

S = TypeVar("S")
T = TypeVar("T")
MOST: Final = 8
"""Processes at most: what each costs grows with what was read."""
WORTH: Final = 200_000
"""Characters of plans that are worth another process: checking them takes some tenths of a second."""


def hands(characters: int, plans: int) -> int:
    """Return how many processes should share plans of so many characters; one where they cannot be had.

    On a Mac a copied process may not use what the system has begun already. A second thread would be missing in it.
    """
    import threading

    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return max(1, min(len(os.sched_getaffinity(0)), characters // WORTH, plans, MOST))


def shared(things: Sequence[S], work: Callable[[S], T], whole: Callable[[T], bool], many: int) -> Iterator[T]:
    """Yield what ``work`` returns for each thing, in their order, worked out by so many processes.

    A helping process keeps to itself what is not ``whole``: where the work has changed more than it returns. That, and
    what a helper has not come to, is done here; so nothing depends on helpers.
    """
    helpers = [_helper(things, work, whole, range(hand, len(things), many)) for hand in range(1, many)]
    try:
        done = {index: work(things[index]) for index in range(0, len(things), many)}
        for _, pipe in helpers:
            done.update(_received(pipe))
    finally:
        _end(helpers)
    yield from (done[index] if index in done else work(thing) for index, thing in enumerate(things))


def _helper(things: Sequence[S], work: Callable[[S], T], whole: Callable[[T], bool], numbers: range) -> tuple[int, int]:
    """Begin a process that works on some of the things; return it, and where its answer can be read."""
    reading, writing = os.pipe()
    process = os.fork()
    if process:
        os.close(writing)
        return process, reading
    import pickle  # few runs are shared

    try:
        found = {index: done for index in numbers if whole(done := work(things[index]))}
        with open(writing, "wb") as pipe:  # noqa: PTH123  (it is no path)
            pickle.dump(found, pipe, pickle.HIGHEST_PROTOCOL)
    finally:  # nothing that this process has from the first is written out, or cleared up, a second time
        os._exit(0)


def _received(pipe: int) -> dict[int, Any]:
    """Return what a process has answered; nothing if it has not come to its end."""
    import pickle

    with open(pipe, "rb", closefd=False) as answer:
        text = answer.read()
    try:
        found: dict[int, Any] = pickle.loads(text)  # noqa: S301  (it comes from a copy of this process)
    except (EOFError, pickle.UnpicklingError):
        return {}
    return found


def _end(helpers: list[tuple[int, int]]) -> None:
    """Let no process outlive the work, whatever has ended that."""
    import signal

    for process, pipe in helpers:
        os.close(pipe)
        with suppress(ProcessLookupError):
            os.kill(process, signal.SIGKILL)
        os.waitpid(process, 0)
