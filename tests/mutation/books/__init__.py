"""Slips of the pen in rulebooks, each made in every place, or in some of them."""

from __future__ import annotations

from mutation.books import evidence, following, looks, meanings
from mutation.books.places import BOOK_SLIPS

_ORDER = (looks, following, meanings, evidence)
OPERATORS = sorted(
    BOOK_SLIPS, key=lambda operator: [module.__name__ for module in _ORDER].index(operator.make.__module__)
)
"""All kinds of slips in rulebooks, in the order of the table."""
