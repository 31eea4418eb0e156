"""Faults while something is written: the process is killed, a call of the system fails, ^C."""

from __future__ import annotations

import errno
import os
from functools import partial
from typing import TYPE_CHECKING, Final

from faults.row import ROWS, Happened
from faults.strike import INTERRUPT, KILL, TEAR
from faults.writers import WRITERS

if TYPE_CHECKING:
    from faults.row import Place, State
    from faults.writers import Writer

ERRORS: Final = ("ENOSPC", "EIO", "EROFS", "EACCES", "EDQUOT")
"""No space left, the disk fails, it may not be written, or not by us, no more is allowed."""
KILLED: Final = -9


def killed(place: Place, writer: Writer) -> Happened:
    """Kill it at every call that changes files, and in the middle of every write: each file is old or new, and whole.

    What it leaves beside is in nobody's way: the next check does not see it, and the call can be made again.
    """
    old, new, calls, _ = _unhindered(place, writer)
    times = 0
    known: list[tuple[State, bool]] = []
    for at, call in enumerate(calls):
        for what in (KILL, TEAR) if call == "write" else (KILL,):
            assert place.write(writer, what, at).code == KILLED
            _whole(place.state(), old, new)
            times += 1
            stands = place.state(), bool(place.left())
            if stands not in known:
                known.append(stands)
                _undisturbed(place, writer, new)
    return Happened(f"killed at {times} calls of the system: files old or new, whole; the next run undisturbed", KILLED)


def failed(place: Place, writer: Writer) -> Happened:
    """Let every such call fail, one at a time: one line says why, nothing is written, nothing left beside."""
    old, new, calls, code = _unhindered(place, writer)
    for at, call in enumerate(calls):
        error = ERRORS[at % len(ERRORS)]
        ended = place.write(writer, error, at)
        if ended.code == code:  # it made no difference: a folder was there already, or only tidying failed
            assert place.state() == new
            continue
        assert ended.code == 2, (call, error, ended)
        assert os.strerror(getattr(errno, error)).lower() in ended.err.splitlines()[-1]
        assert "Traceback" not in ended.err
        assert not place.left()
        if writer.whole:
            assert place.state() == old
        _whole(place.state(), old, new)
    return Happened(f"{len(calls)} calls failed, one at a time: one line says why, nothing is written or left", 2)


def stopped(place: Place, writer: Writer) -> Happened:
    """Send ^C at every such call: one line, nothing half written, nothing left beside."""
    old, new, calls, _ = _unhindered(place, writer)
    for at in range(len(calls)):
        ended = place.write(writer, INTERRUPT, at)
        assert ended.code == 130, (calls[at], ended)
        assert ended.err.splitlines()[-1].startswith("lampwright: interrupted")
        assert "Traceback" not in ended.err
        assert not place.left(), calls[at]
        if writer.whole:
            assert place.state() in (old, new)
        _whole(place.state(), old, new)
    return Happened(f"^C at {len(calls)} calls: one line, nothing half written or left", 130)


def _unhindered(place: Place, writer: Writer) -> tuple[State, State, list[str], int]:
    """Return what stands there before a call and after it, the calls of the system between, and its exit code."""
    writer.lay(place.folder)
    old = place.state()
    ended = place.again(writer)
    new = place.state()
    assert ended.code in {0, 1}, ended
    assert new != old, ended
    assert not place.left()
    return old, new, ended.calls, ended.code


def _whole(now: State, old: State, new: State) -> None:
    """Assert that each file is as it was or as it is to be; also, that it may not be there yet, or no more."""
    for name in {*now, *old, *new}:
        assert now.get(name) in (old.get(name), new.get(name)), name


def _undisturbed(place: Place, writer: Writer, new: State) -> None:
    """Assert that what was left beside does no harm."""
    if place.left():
        ended = place.struck.call(place.folder, "check", ".")
        assert ended.code in {0, 1}, ended
        assert ".new" not in ended.out + ended.err
    if writer.again and place.state() != new:
        place.again(writer)
        assert place.state() == new


for _writer in WRITERS:
    ROWS[f"killed while writing: {_writer.name}"] = partial(killed, writer=_writer)
    ROWS[f"disk full or broken: {_writer.name}"] = partial(failed, writer=_writer)
    ROWS[f"^C while writing: {_writer.name}"] = partial(stopped, writer=_writer)
