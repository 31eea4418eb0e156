"""The collector is off while a file is read, and finds afterwards what is no longer needed."""

from __future__ import annotations

import gc
import weakref
from typing import TYPE_CHECKING

import pytest

from lampwright.collector import collector_off
from lampwright.documents import read

if TYPE_CHECKING:
    from collections.abc import Iterator

TIMES = 100


class Knot:
    """Something that refers to itself, as a layout does by its signals."""

    def __init__(self) -> None:
        self.parts = [[self] for _ in range(100)]


@pytest.fixture(autouse=True)
def _seldom() -> Iterator[None]:
    """Let the collector look after 2,000 new objects, which is more than one round makes."""
    before = gc.get_threshold()
    gc.set_threshold(2_000, 10, 10)
    yield
    gc.set_threshold(*before)


def test_what_is_dropped_between_two_readings_is_let_go() -> None:
    """As in an editor, which reads a plan again at every key and makes a layout of it."""
    knots = []
    for _ in range(TIMES):
        knots.append(weakref.ref(Knot()))
        read(b"plan: 1\nsignals: {A: {routes: []}}\n", "plan.yaml")
    assert sum(knot() is not None for knot in knots) < TIMES / 2


@pytest.mark.parametrize("for_good", [False, True])
def test_it_is_off_inside_and_on_again_afterwards(for_good: bool) -> None:  # noqa: FBT001  (a parameter of a test)
    """Also where one is within another, or something is raised."""
    seen: list[bool] = []
    with pytest.raises(KeyError):
        _raising(seen, for_good=for_good)
    assert seen == [False, False]
    assert gc.isenabled()


def _raising(seen: list[bool], *, for_good: bool) -> None:
    """Note whether the collector is on within two of them, and within one; then raise."""
    with collector_off(for_good=for_good):
        with collector_off():
            seen.append(gc.isenabled())
        seen.append(gc.isenabled())
        raise KeyError
