"""Calls the command line as a shell does, in this process or in one of its own."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from types import SimpleNamespace
from typing import TYPE_CHECKING
from unittest import mock

from lampwright.commands import main

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True)
class Done:
    """How a call ended and what it said."""

    code: int
    out: str
    err: str


def call(*arguments: str | Path, stdin: bytes = b"") -> Done:
    """Call the command line in this process."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    given = SimpleNamespace(buffer=io.BytesIO(stdin))
    code: object = None
    with redirect_stdout(out), redirect_stderr(err), mock.patch.object(sys, "stdin", given):
        try:
            main([str(argument) for argument in arguments])
        except SystemExit as end:
            code = end.code
    assert isinstance(code, int)
    said = [stream.buffer.getvalue().decode() for stream in (out, err)]
    return Done(code, *said)


def start(
    *arguments: str | Path, site: Path | None = None, cwd: Path | None = None, **environment: str
) -> subprocess.Popen[bytes]:
    """Start ``python -m lampwright`` in a process of its own; what is installed in ``site`` is found first."""
    path = os.pathsep.join(filter(None, (str(site or ""), os.environ.get("PYTHONPATH", ""))))
    command = [sys.executable, "-m", "lampwright", *map(str, arguments)]
    pipe = subprocess.PIPE
    env = surroundings(PYTHONPATH=path, **environment)
    heard = signal.signal(signal.SIGINT, signal.default_int_handler)  # ^C is heard, even if these tests do not hear it
    try:
        return subprocess.Popen(command, cwd=cwd, env=env, stdin=pipe, stdout=pipe, stderr=pipe)
    finally:
        signal.signal(signal.SIGINT, heard)


def surroundings(**environment: str) -> dict[str, str]:
    """Return the environment of a process: nothing that speaks to this program but what is given."""
    kept = {name: value for name, value in os.environ.items() if name.partition("_")[0] not in ("LAMPWRIGHT", "FORCE")}
    return {**kept, **environment}


def run(*arguments: str | Path, site: Path | None = None, stdin: bytes = b"", **environment: str) -> Done:
    """Run ``python -m lampwright`` to its end."""
    process = start(*arguments, site=site, cwd=None, **environment)
    out, err = process.communicate(stdin)
    return Done(process.returncode, out.decode(), err.decode())
