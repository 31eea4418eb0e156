"""``python -m lampwright``, and what ``lampwright`` in a shell runs."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from typing import Final

NEW_OBJECTS: Final = 200_000
"""That many new objects bring a search for what only refers to itself; a large plan is millions, and all are kept."""


def run() -> None:
    """Run the command line; ^C while it is still being loaded ends it as quietly as later."""
    gc.set_threshold(NEW_OBJECTS)
    try:
        from lampwright.commands import main

        main()
    except KeyboardInterrupt:
        sys.stderr.write("lampwright: interrupted\n")
        sys.exit(130)


if __name__ == "__main__":
    # Python has put the working folder first; it is the one being checked, and no module is taken from it
    with suppress(FileNotFoundError):  # it may be gone
        here = os.path.realpath(os.curdir)
        sys.path[:] = [item for item in sys.path if os.path.realpath(item) != here]
    run()
