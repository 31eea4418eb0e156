"""What every test starts from."""

from __future__ import annotations

import sys

import pytest


@pytest.fixture(autouse=True)
def _own_import_path(monkeypatch: pytest.MonkeyPatch) -> None:
    """Give each test an import path of its own: loading the host takes the working folder off it."""
    monkeypatch.setattr(sys, "path", sys.path[:])
