"""The table of faults, row by row; ``PYTHONPATH=tests python -m faults`` prints it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from faults.row import ROWS, Place
from faults.strike import FORBIDDEN, POSSIBLE
from faults.struck import Struck
from faults.table import load

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

load()
pytestmark = pytest.mark.skipif(not POSSIBLE, reason="calls of the system are struck as on Linux, x86-64")


@pytest.fixture(scope="module")
def struck(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Struck]:
    """Return a warm process in which calls are run and struck."""
    program = Struck(tmp_path_factory.mktemp("talk"))
    if program.call(tmp_path_factory.mktemp("none"), "--version").code == FORBIDDEN:
        pytest.skip("the system lets nobody watch a process")
    yield program
    program.close()


@pytest.mark.parametrize("name", ROWS)
def test_fault(name: str, struck: Struck, tmp_path: Path) -> None:
    """What a row asserts comes of it."""
    assert ROWS[name](Place(tmp_path, struck)).what
