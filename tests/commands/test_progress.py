"""What is said of long work, and where its time went."""

from __future__ import annotations

import io
from itertools import count
from pathlib import Path

import pytest

from command_line import call
from lampwright.commands.progress import Progress
from lampwright.commands.timings import Timings

EXAMPLE = Path(__file__).parents[2] / "rulesets/gb-colour-light/examples/pellow-halt.yaml"


class Terminal(io.StringIO):
    """A terminal that keeps what it gets."""

    def isatty(self) -> bool:
        """Return that it is one."""
        return True


def worked(stream: io.StringIO, seconds: float) -> str:
    """Return what is said while three things take some seconds each."""
    clock = count(0, seconds)
    with Progress(stream, lambda: float(next(clock))) as progress:
        for done in range(3):
            progress(f"plan-{done}\x1b[2J.yaml", done, 3)
    return stream.getvalue()


def test_long_work_says_how_far_it_is_and_cleans_up() -> None:
    """Nothing in a name acts on the terminal."""
    said = worked(Terminal(), 1.0)
    assert "lampwright: 1 of 3: plan-1\\x1b[2J.yaml" in said
    assert said.endswith("\r\x1b[K")


def test_short_work_and_pipes_get_nothing() -> None:
    """A log has no use for it."""
    assert not worked(Terminal(), 0.01)
    assert not worked(io.StringIO(), 1.0)


def test_a_line_is_taken_away_though_work_fails() -> None:
    """What is said of the failure begins on a clean line."""
    stream, clock = Terminal(), count(0, 1.0)

    def work() -> None:
        with Progress(stream, lambda: float(next(clock))) as progress:
            progress("plan.yaml", 0, 1)
            progress("plan.yaml", 0, 1 // 0)

    with pytest.raises(ZeroDivisionError):
        work()
    assert stream.getvalue().endswith("\r\x1b[K")


def test_timings_add_up() -> None:
    """Each thing has the time until the next began."""
    clock, lines = iter([0.0, 1.0, 3.0, 6.0, 10.0]), list[str]()
    timings = Timings(lambda: next(clock))
    for what in ("reading a.yaml", "some-check", "reading b.yaml"):
        timings(what, 0, 1)
    timings.report(lines.append)
    assert [line.split() for line in lines[1:]] == [
        ["6000.0", "60", "reading"],
        ["3000.0", "30", "some-check"],
        ["1000.0", "10", "all", "else"],
        ["10000.0", "100", "in", "all"],
    ]


def test_every_check_has_its_time() -> None:
    """On stderr, after the report."""
    done = call("check", EXAMPLE, "--timings")
    assert done.code == 0
    assert "%" not in done.out
    assert done.err.splitlines()[-1].endswith("in all")
    assert any(line.endswith(" reading") for line in done.err.splitlines())
