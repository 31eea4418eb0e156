"""The table of faults, row by row; ``PYTHONPATH=tests python -m faults`` prints it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from faults.row import ROWS, Place
from faults.strike import FORBIDDEN, POSSIBLE
from faults.struck import TESTS, Struck
from faults.table import load
from faults.writers import WRITING

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


def test_every_module_that_writes_has_its_rows() -> None:
    """A new one is added to the writers, with a call; and nobody writes but through ``lampwright.edits``."""
    sources = [path for room in ("core", "plugins") for path in (TESTS.parent / room).rglob("*.py")]
    found = set()
    for path in sources:
        text = path.read_text(encoding="utf-8")
        if re.search(r"from lampwright\.edits import .*\b(?:put|save|put_folder)\b", text):
            found.add("/".join(path.parts[-2:]))
        if path.parts[-2] != "edits":
            assert not re.search(r"write_(?:text|bytes)\(|\.open\(\"[wax]|os\.(?:replace|rename|remove)\(", text), path
    assert found == WRITING
