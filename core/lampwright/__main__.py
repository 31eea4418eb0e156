"""``python -m lampwright``, and what ``lampwright`` in a shell runs."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from typing import Any, Final

NEW_OBJECTS: Final = 200_000
"""That many new objects bring a search for what only refers to itself; a large plan is millions, and all are kept."""


def run() -> None:
    """Run the command line; ^C while it is still being loaded ends it as quietly as later."""
    gc.set_threshold(NEW_OBJECTS)
    try:
        from lampwright.commands import main

        try:
            main()
        except SystemExit as end:
            _leave(end.code)
    except KeyboardInterrupt:
        sys.stderr.write("lampwright: interrupted\n")
        sys.exit(130)


def _leave(code: Any) -> None:
    """End the process without taking its objects apart one by one, which is a sixth of a run and good for nothing.

    What is registered to be done at the end is done. Where more than one thread runs, Python ends them its own way.
    """
    import atexit
    import threading

    if not isinstance(code, int) or threading.active_count() > 1:
        sys.exit(code)
    atexit._run_exitfuncs()  # noqa: SLF001  (there is no other way to have them run before the end)
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):  # what was written is out already, or nobody reads it
            stream.flush()
    os._exit(code)


if __name__ == "__main__":
    # Python has put the working folder first; it is the one being checked, and no module is taken from it
    with suppress(FileNotFoundError):  # it may be gone
        here = os.path.realpath(os.curdir)
        sys.path[:] = [item for item in sys.path if os.path.realpath(item) != here]
    run()
