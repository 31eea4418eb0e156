"""Work shared among processes comes to the same as work done by one, whatever becomes of the helpers."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as some

from lampwright import hands
from lampwright.hands import shared
from lampwright.layout import Settings
from lampwright.reports.contract import ordered
from lampwright.session import Session

if TYPE_CHECKING:
    from collections.abc import Callable

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only there do others help")
HERE = os.getpid()
ROOT = Path(__file__).parents[2]


def square(number: int) -> int:
    """Work."""
    return number * number


def always(_found: object) -> bool:
    """Take everything for whole."""
    return True


def secret(number: int) -> Callable[[], int]:
    """Return what cannot be sent."""
    return lambda: number


def nobody_is_left() -> bool:
    """Tell whether every helper has ended and was seen to."""
    try:
        os.waitpid(-1, os.WNOHANG)
    except ChildProcessError:
        return True
    return False


@given(some.lists(some.integers(), max_size=20), some.integers(2, 5))
def test_many_hands_come_to_what_one_does(numbers: list[int], many: int) -> None:
    """In the order of the things."""
    assert list(shared(numbers, square, always, many)) == [square(number) for number in numbers]
    assert nobody_is_left()


def test_a_helper_that_dies_is_done_without() -> None:
    """As the system ends a process that takes too much memory."""

    def work(number: int) -> int:
        if os.getpid() != HERE and number == 5:
            os.kill(os.getpid(), 9)
        return square(number)

    assert list(shared(range(8), work, always, 3)) == [square(number) for number in range(8)]
    assert nobody_is_left()


def test_a_helper_that_raises_is_done_without() -> None:
    """And the work raises here, as it would have with one."""

    def work(number: int) -> int:
        if number == 5:
            raise ValueError("five")
        return square(number)

    with pytest.raises(ValueError, match="five"):
        list(shared(range(8), work, always, 2))
    assert nobody_is_left()


def test_what_cannot_be_sent_is_worked_out_here() -> None:
    """A function has no place in another process."""
    made = list(shared(range(4), secret, always, 2))
    assert [one() for one in made] == [0, 1, 2, 3]


def test_what_is_not_whole_is_worked_out_here() -> None:
    """So that what it leaves behind is left here: a helper has worked on 1 and 3, and on 3 in vain."""
    left: list[int] = []

    def work(number: int) -> int:
        left.append(number)
        return number

    assert list(shared(range(4), work, lambda number: number != 3, 2)) == [0, 1, 2, 3]
    assert left == [0, 2, 3]


def test_a_run_shared_is_the_run_of_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """All example plans, of which some read data of parts, in a year in which nothing of them was there."""
    monkeypatch.setattr(hands, "WORTH", 1)
    files = sorted(ROOT.glob("rulesets/*/examples/*.yaml"))
    plans = [(f"{number}-{file.name}", file) for number, file in enumerate(files)]
    alone, together = (Session().examine(plans, Settings("1820"), share=share) for share in (False, True))
    assert len(alone.findings) > len(plans)
    assert ordered(together) == ordered(alone)
    assert together.skips == alone.skips
    assert together.documents.keys() == alone.documents.keys()


def test_little_work_is_not_shared() -> None:
    """A process costs more than it saves there."""
    assert hands.hands(hands.WORTH, 20) == 1
    assert hands.hands(20 * hands.WORTH, 1) == 1
    assert hands.hands(20 * hands.WORTH, 20) == min(hands.MOST, len(os.sched_getaffinity(0)))
