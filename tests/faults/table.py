"""All rows of the table of faults."""

from __future__ import annotations

from importlib import import_module
from typing import Final

PARTS: Final = ("writing", "reading", "streams", "plugins", "paths", "running")


def load() -> None:
    """Fill the table."""
    for part in PARTS:
        import_module(f"faults.{part}")
