"""Runs the command line in children with limits on time and memory.

As a program it reads calls, one JSON object a line, and forks a child for each: what is imported is imported once.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from traceback import print_exc
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from collections.abc import Callable

PLAN = b"plan: 1\nrulebook: gb-colour-light\nyear: 1975\nsignals:\n  TB1: {form: three-aspect, carries: [position-1]}\n"
SECONDS = 2
"""Processor time a call may take."""
MEMORY = 200 * 1024 * 1024
"""Bytes of memory a call may ask for, the interpreter and its libraries among them."""


@dataclass(frozen=True)
class Ended:
    """How a call ended; a negative code is the signal that ended it."""

    code: int
    out: str
    err: str


class Limited:
    """A program that runs calls in a folder."""

    def __init__(self, folder: Path) -> None:
        """Start it."""
        self.folder = folder
        pipe = subprocess.PIPE
        self.program = subprocess.Popen([sys.executable, __file__], cwd=folder, stdin=pipe, stdout=pipe)

    def call(self, *arguments: str) -> Ended:
        """Run the command line within the limits."""
        assert self.program.stdin
        assert self.program.stdout
        self.program.stdin.write(json.dumps(arguments).encode() + b"\n")
        self.program.stdin.flush()
        code = int(self.program.stdout.readline())
        out, err = ((self.folder / name).read_text(errors="replace") for name in ("stdout", "stderr"))
        return Ended(code, out, err)

    def close(self) -> None:
        """Let it end."""
        self.program.communicate()


def _serve() -> None:
    """Run each call that comes; answer with its exit code."""
    main = warmed()
    for line in sys.stdin:
        child = os.fork()
        if not child:
            _within_limits()
            called(main, json.loads(line))
        sys.stdout.write(f"{os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])}\n")
        sys.stdout.flush()


def called(main: Callable[[list[str]], NoReturn], arguments: list[str]) -> None:
    """Run a call and end at once: what is put in order at the end of a process takes longer than most calls."""
    code: Any = 1
    try:
        main(arguments) if arguments[0] != "cases" else _cases(Path(arguments[1]))
    except SystemExit as end:
        code = end.code
    except BaseException:  # noqa: BLE001  (what the interpreter would do)
        print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _cases(folder: Path) -> NoReturn:
    """Read the cases of a rulebook as the kit for its author does; pytest around it would take a second a time."""
    from lampwright.testing import CASES
    from lampwright.testing.bench import Bench, Unfulfilled
    from lampwright.testing.collect import text_of

    try:
        Bench(folder, folder.name).cases(CASES)
    except Unfulfilled as error:
        print(text_of(error))  # noqa: T201
        sys.exit(1)
    sys.exit(0)


def warmed() -> Callable[[list[str]], NoReturn]:
    """Return the command line, with all imported that a call can need: a plan is checked once."""
    from lampwright import sifting  # noqa: F401
    from lampwright.commands import main
    from lampwright.layout import Settings
    from lampwright.session import Session
    from lampwright.testing import collect  # noqa: F401

    session = Session()
    session.host.commands()
    session.host.reporters()
    session.examine([("plan.yaml", PLAN)], Settings(), configure=False)
    return main


def _within_limits() -> None:
    """Set the limits, and let output go to files."""
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    names: list[Any] = [("/dev/null", os.O_RDONLY), ("stdout", os.O_RDWR), ("stderr", os.O_RDWR)]
    for number, (name, mode) in enumerate(names):
        os.dup2(os.open(name, mode | (os.O_CREAT | os.O_TRUNC if number else 0), 0o600), number)


if __name__ == "__main__":
    _serve()
