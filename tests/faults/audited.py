"""Runs one call of the command line and writes down what Python is told to do meanwhile that could run foreign code.

As a program: a file to write to, then the call. An audit hook hears everything, from libraries as well.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, Final

RUNS: Final = (
    "compile", "exec", "import", "marshal", "pickle", "ctypes", "subprocess", "socket", "urllib", "webbrowser",
    "os.system", "os.exec", "os.fork", "os.posix_spawn", "os.spawn", "os.startfile", "pty", "code.__new__",
)  # fmt: skip
"""How the names of events begin that run something, load code or speak to others."""


def main(talk: Path, arguments: list[str]) -> None:
    """Run the call; one line for each event that counts."""
    from hostile.limited import called, warmed

    program = warmed()
    events: list[str] = []

    def heard(event: str, details: tuple[Any, ...]) -> None:
        if event.startswith(RUNS):
            events.append(f"{event} {_told(details)}")

    def run(given: list[str]) -> None:
        try:
            program(given)
        finally:
            listening = list(events)
            talk.write_text(json.dumps(listening), encoding="utf-8")

    sys.addaudithook(heard)
    called(run, arguments)  # type: ignore[arg-type]  # it returns, but then the process ends


def _told(details: tuple[Any, ...]) -> str:
    """Return what an event is about; of code, the file it comes from and the names in it."""
    return " ".join(
        f"{one.co_filename} {one.co_names} {one.co_consts}" if hasattr(one, "co_names") else ascii(one)
        for one in details
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
