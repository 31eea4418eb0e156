"""What every test starts from."""

from __future__ import annotations

import sys

import pytest
from hypothesis import settings

settings.register_profile("untimed", deadline=None)  # a busy machine is no failure
settings.load_profile("untimed")


@pytest.fixture(autouse=True)
def _own_import_path(monkeypatch: pytest.MonkeyPatch) -> None:
    """Give each test an import path of its own: loading the host takes the working folder off it."""
    monkeypatch.setattr(sys, "path", sys.path[:])
