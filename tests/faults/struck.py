"""Runs calls of the command line in forks of one warm process, each watched and struck where it is wanted.

As a program it reads what to do, one JSON object a line, and answers each with how it ended.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

TESTS = Path(__file__).parent.parent
NO_BYTECODE = {"PYTHONDONTWRITEBYTECODE": "1"}
"""What the interpreter keeps of modules it has read is no file that a call writes."""


@dataclass(frozen=True)
class Ended:
    """How a call ended: its exit code (negative for a signal), the calls of the system that count, what it said."""

    code: int
    calls: list[str]
    out: str
    err: str


class Struck:
    """The warm process; ``talk`` is a folder for what calls say."""

    def __init__(self, talk: Path) -> None:
        """Start it."""
        self.talk = talk
        pipe = subprocess.PIPE
        surroundings = {**os.environ, "PYTHONPATH": str(TESTS), **NO_BYTECODE}
        command = [sys.executable, "-m", "faults.struck", str(talk)]
        self.program = subprocess.Popen(command, stdin=pipe, stdout=pipe, env=surroundings)

    def call(
        self, folder: Path, *arguments: str, stdin: str = "", environment: dict[str, str] | None = None, **strike: Any
    ) -> Ended:
        """Run a call in a folder; ``strike`` is what ``Watched`` takes: what, at, every, on."""
        assert self.program.stdin
        assert self.program.stdout
        asked = {
            "folder": str(folder),
            "arguments": arguments,
            "stdin": stdin,
            "strike": strike,
            "more": environment or {},
        }
        self.program.stdin.write(json.dumps(asked).encode() + b"\n")
        self.program.stdin.flush()
        code, calls = json.loads(self.program.stdout.readline())
        out, err = ((self.talk / name).read_text(errors="replace") for name in ("stdout", "stderr"))
        return Ended(code, calls, out, err)

    def close(self) -> None:
        """Let it end."""
        self.program.communicate()


def _serve(talk: Path) -> None:
    """Run each call that comes."""
    from faults.strike import Watched, started
    from hostile.limited import called, warmed

    main = warmed()
    for line in sys.stdin:
        asked = json.loads(line)

        (talk / "stdin").write_text(asked["stdin"])
        child = started(
            partial(_placed, talk, asked["folder"], asked["more"]), partial(called, main, asked["arguments"])
        )
        watched = Watched(child, **asked["strike"], folder=asked["folder"])
        code = watched.run()
        sys.stdout.write(json.dumps([code, watched.calls]) + "\n")
        sys.stdout.flush()


def _placed(talk: Path, folder: str, more: dict[str, str]) -> None:
    """Let the streams be files, and the folder of the call the working one."""
    for number, (name, mode) in enumerate([("stdin", os.O_RDONLY), ("stdout", os.O_RDWR), ("stderr", os.O_RDWR)]):
        stream = os.open(talk / name, mode | (os.O_CREAT | os.O_TRUNC if number else 0), 0o600)
        os.dup2(stream, number)
        os.close(stream)
    os.environ.update(more)
    os.chdir(folder)


if __name__ == "__main__":
    _serve(Path(sys.argv[1]))
