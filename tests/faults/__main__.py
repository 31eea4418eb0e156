"""``PYTHONPATH=tests python -m faults``: every fault, what happened, and the exit code."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Final

from faults.row import ROWS, Place
from faults.struck import Struck
from faults.table import load

if TYPE_CHECKING:
    from faults.row import Row

FAIL: Final = "FAIL "


def main(wanted: list[str]) -> int:
    """Print the table, or the rows that hold one of the words wanted; return 1 if one did not end as it must."""
    load()
    failed = ran = 0
    with tempfile.TemporaryDirectory() as talk:
        struck = Struck(Path(talk))
        for name, run in ROWS.items():
            if not wanted or any(word in name for word in wanted):
                line = _line(run, struck)
                ran += 1
                failed += line.startswith(FAIL)
                sys.stdout.write(f"{line[:5]} {name}: {line[5:]}\n")
                sys.stdout.flush()
        struck.close()
    sys.stdout.write(f"{ran} rows, {failed} failed\n")
    return min(failed, 1)


def _line(run: Row, struck: Struck) -> str:
    """Return what came of a row: the exit code in five columns, and what happened."""
    with tempfile.TemporaryDirectory() as folder:
        try:
            happened = run(Place(Path(folder), struck))
        except AssertionError as error:
            return f"{FAIL}{error}"
    return f"{happened.code:>4} {happened.what}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
