"""Cells of CSV: a spreadsheet takes what begins with certain signs for a formula, and works it out."""

from __future__ import annotations

from typing import Final

FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
"""How a formula may begin, for one spreadsheet or another."""


def cell(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula: it has the sign for text before it where need be."""
    return f"'{text}" if text.startswith(FORMULA) else text
