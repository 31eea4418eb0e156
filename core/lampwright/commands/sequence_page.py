"""The sequence of a rulebook on paper: a table of rules for each role, or the tables that the book has."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING, Any, Final

from lampwright.commands.form_page import in_years
from lampwright.reports.printable import printable, wrapped
from lampwright.reports.tables import table

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.reports.style import Style
    from lampwright.reports.tables import Cell
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Rule

LEGEND: Final = "the first rule that fits counts, and of its aspects the first that the form can give"
INDENT: Final = "  "
NUMBER: Final = 4
"""Columns that the number of a rule takes, with the gap behind it."""
SHARE: Final = 0.55
"""Share of the width that conditions get."""


def sequence(rulebook: Rulebook, style: Style, width: int) -> list[str]:
    """Return the rules of all roles."""
    lines: list[str] = []
    for role, rules in rulebook.sequence.items():
        lines += [f"{INDENT}{style('strong', role)}"] if role else []
        rows = [row for number, rule in enumerate(rules, 1) if not rule.table for row in _rows(number, rule, width)]
        lines += table([["", "when", "show"], *rows], indent=INDENT) if rows else []
        lines += [line for rule in rules if rule.table for line in _book_table(rule, width)]
    never = [" then ".join(map(_words, item.get("run", ()))) for item in rulebook.never if isinstance(item, dict)]
    return [*lines, *(f"{INDENT}never {run}" for run in never)]


def _rows(number: int, rule: Rule, width: int) -> Iterator[list[Cell]]:
    """Yield the lines of one rule: its condition and its aspects side by side, each wrapped in its own column."""
    room = width - len(INDENT) - NUMBER
    left = int(room * SHARE)
    condition = "; ".join(filter(None, (*_conditions(rule.when), in_years(rule))))
    wanted = f"{', else '.join(rule.show)}{f'; may show {_words(rule.may)}' if rule.may else ''}"
    title = [printable(rule.title)] if rule.title else []
    when = [line for text in (*title, condition) for line in wrapped(printable(text), left - 2)]
    show = wrapped(printable(wanted), room - left)
    for place, (one, other) in enumerate(zip_longest(when, show, fillvalue="")):
        yield [str(number) if place == 0 else "", one, other]


def _conditions(when: Mapping[str, Any]) -> Iterator[str]:
    """Yield conditions as they are written: ``next.authority stop or none``, ``route.speed below line``."""
    for key, said in when.items():
        if isinstance(said, dict):
            for name, value in said.items():
                yield from (
                    (f"{key}.{name} {bound.replace('-', ' ')} {limit}" for bound, limit in value.items())
                    if isinstance(value, dict)
                    else [f"{key}.{name} {_words(value)}"]
                )
        else:
            yield f"{key} {_words(said)}"


def _words(said: Any) -> str:
    """Return a value, or several that will do."""
    several = said if isinstance(said, list | tuple) else [said]
    return " or ".join(str(item).lower() if isinstance(item, bool) else str(item) for item in several)


def _book_table(rule: Rule, width: int) -> list[str]:
    """Return a table of the book: rows and columns as it has them; column by column where it is too wide."""
    cells: Mapping[str, Mapping[str, Any]] = rule.table["cells"]
    across = list(dict.fromkeys(name for row in cells.values() for name in row))
    head = f"{rule.table['down']} down, {rule.table['across']} across{f' ({rule.title})' if rule.title else ''}"
    grid = [["", *across], *([name, *(_words(row.get(key) or "") for key in across)] for name, row in cells.items())]
    lines = table(grid, indent=INDENT * 2)
    if max(map(len, lines)) > width:
        flat = [(name, key, _words(value)) for name, row in cells.items() for key, value in row.items() if value]
        lines = table(flat, indent=INDENT * 2)
    return [f"{INDENT}{head}", *lines]
