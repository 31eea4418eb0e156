"""Commands with checks of the tests' own."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from named_checks import CHECKS
from plugin_site import Site

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Site]:
    """Install checks of the test's own, and load no others; run in a folder that holds nothing yet."""
    made = Site(tmp_path / "site")
    made.install("names", CHECKS)
    monkeypatch.setattr(sys, "path", [str(made.folder), *sys.path])
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "names,rulebooks")
    folder = tmp_path / "layouts"
    folder.mkdir()
    monkeypatch.chdir(folder)
    yield made
    made.forget()
