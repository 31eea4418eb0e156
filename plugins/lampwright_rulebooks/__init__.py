"""Hands over the rulebooks that come with Lampwright."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from lampwright.host import hookimpl

lampwright_api = 1


@hookimpl
def rulebooks() -> list[Path]:
    """Return the folder of rulebooks, wherever it was installed."""
    return [Path(str(files("lampwright_rulesets")))]
