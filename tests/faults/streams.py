"""Faults of the streams that a call is given: closed, full, without a reader, of another encoding; ^C at any time."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from command_line import start, surroundings
from faults.row import ROWS, Happened, row
from faults.strike import INTERRUPT
from faults.writers import PLAN, SLIP

if TYPE_CHECKING:
    from faults.row import Place

ODD: Final = "plan: 1\nsignals: {信号: {frm: é}}\n"
FULL: Final = Path("/dev/full")
SOME: Final = 30
"""Calls of the system, spread over a whole run, at which ^C is sent."""
FORMATS: Final = ("text", "json", "json-lines", "sarif", "junit", "gitlab", "github", "markdown")


def shell(place: Place, call: str, text: str = SLIP, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run a line of the shell beside a plan; ``$L`` is the program."""
    place.folder.mkdir(exist_ok=True)
    (place.folder / "plan.yaml").write_text(text, encoding="utf-8")
    env = surroundings(L=f"{sys.executable} -m lampwright", **environment)
    return subprocess.run(
        ["/bin/sh", "-c", call], cwd=place.folder, env=env, stdin=subprocess.DEVNULL, capture_output=True, check=False
    )


@row("standard output is closed")
def _(place: Place) -> Happened:
    done = shell(place, "$L check plan.yaml >&-")
    assert (done.returncode, done.stderr) == (1, b"")
    return Happened("the check runs, and its exit code counts", done.returncode)


@row("all streams are closed")
def _(place: Place) -> Happened:
    done = shell(place, "$L check plan.yaml <&- >&- 2>&-")
    assert done.returncode == 1
    return Happened("the check runs, and its exit code counts", done.returncode)


@row("standard input is closed and is to be read")
def _(place: Place) -> Happened:
    done = shell(place, "$L check - <&-")
    assert done.returncode == 1
    assert b"error[unreadable-file]: this file cannot be read" in done.stdout
    return Happened("a finding says so", done.returncode)


@row("the output has no reader")
def _(place: Place) -> Happened:
    done = shell(place, "{ $L rulebooks gb-colour-light; echo $? >code; } | true")
    code = int((place.folder / "code").read_text())
    assert (code, done.stderr) == (141, b"")
    return Happened("it ends, nothing is said", code)


@row("what is said beside has no reader")
def _(place: Place) -> Happened:
    done = shell(place, "{ $L check nothing.yaml; echo $? >code; } 2>&1 >kept | true")
    code = int((place.folder / "code").read_text())
    assert (code, done.stderr) == (2, b"")
    return Happened("the exit code is that of the wrong call", code)


@row("the disk of the output is full")
def _(place: Place) -> Happened:
    done = shell(place, "$L check plan.yaml >/dev/full")
    assert (done.returncode, done.stderr) == (2, b"lampwright: no space left on device\n")
    return Happened("one line says so; a report cut short is no report", done.returncode)


@row("the disk of what is said beside is full")
def _(place: Place) -> Happened:
    done = shell(place, "$L check nothing.yaml 2>/dev/full")
    assert done.returncode == 2
    return Happened("the exit code is that of the wrong call", done.returncode)


def narrow(place: Place, environment: dict[str, str]) -> Happened:
    """Print names that the terminal has no letters for."""
    done = shell(place, "$L check plan.yaml", ODD, **environment)
    assert done.returncode == 1
    assert b"frm" in done.stdout
    assert b"\\u4fe1\\u53f7" in done.stdout
    assert not done.stderr
    return Happened("letters it has not are escapes", done.returncode)


for _name, _set in {
    "LC_ALL=C, ASCII": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "ASCII": {"PYTHONIOENCODING": "ascii"},
    "Latin-1": {"PYTHONIOENCODING": "latin-1"},
    "CP437": {"PYTHONIOENCODING": "cp437"},
}.items():
    ROWS[f"a terminal that is no Unicode: {_name}"] = partial(narrow, environment=_set)


@row("names of files and folders that are no UTF-8, in every format")
def _(place: Place) -> Happened:
    name = os.fsdecode(b"\xff\xfe/\xe9.yaml")
    (place.folder / name).parent.mkdir(parents=True)
    (place.folder / name).write_text(SLIP, encoding="utf-8")
    for form in FORMATS:
        ended = place.struck.call(place.folder, "check", name, "--format", form, "--report", f"{form}=out")
        assert (ended.code, ended.err) == (1, ""), (form, ended)
        out = (place.folder / "out").read_bytes().decode()
        assert "udc" in out or "%FF" in out, form
    return Happened(f"{len(FORMATS)} formats name it by escapes", 1)


@row("the working folder is gone")
def _(place: Place) -> Happened:
    done = shell(place, "mkdir gone; cd gone; rmdir ../gone; $L check -", PLAN, PYTHONPATH="")
    assert done.returncode == 2, done
    assert done.stderr.endswith(b"lampwright: the working folder is not there any more\n")
    assert b"Traceback" not in done.stderr
    return Happened("one line says so", done.returncode)


@row("^C while it waits for input")
def _(place: Place) -> Happened:
    place.folder.mkdir(exist_ok=True)
    process = start("--trace-plugins", "check", "-")
    assert process.stderr
    while b"working.checks() returned" not in process.stderr.readline():
        pass
    process.send_signal(signal.SIGINT)
    out, err = process.communicate()
    assert (process.returncode, out) == (130, b"")
    assert err.splitlines()[-1].startswith(b"lampwright: interrupted")
    return Happened("one line says that it was interrupted", process.returncode)


@row(f"^C at {SOME} calls of the system, from the first to the last")
def _(place: Place) -> Happened:
    place.folder.mkdir()
    plan = place.folder / "plan.yaml"
    plan.write_text(SLIP, encoding="utf-8")
    whole = place.struck.call(place.folder, "check", ".", every=True)
    for number in range(SOME):
        at = number * (len(whole.calls) - 2) // SOME  # the last one ends the process
        ended = place.struck.call(place.folder, "check", ".", every=True, what=INTERRUPT, at=at)
        assert ended.code == 130, (at, ended)
        assert ended.err.startswith("lampwright: interrupted")
        assert len(ended.err.splitlines()) == 1
    return Happened("each time one line", 130)
