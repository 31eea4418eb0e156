"""``python -m lampwright``, and what ``lampwright`` in a shell runs."""

from __future__ import annotations

import sys


def run() -> None:
    """Run the command line; ^C while it is still being loaded ends it as quietly as later."""
    try:
        from lampwright.commands import main

        main()
    except KeyboardInterrupt:
        sys.stderr.write("lampwright: interrupted\n")
        sys.exit(130)


if __name__ == "__main__":
    run()
