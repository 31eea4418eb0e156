"""A table has a command for everything that a signal can be asked to show, also where only its route forces it."""

from __future__ import annotations

from pathlib import Path

import pytest

from lampwright.documents import read
from lampwright.intake import build_plan
from lampwright.layout import Layout
from lampwright.tables import tables
from lampwright.working.reach import reach
from support import library

EXAMPLES = sorted((Path(__file__).parents[3] / "rulesets").glob("*/examples/*.yaml"))
DARK = "dark"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_all_that_is_asked_has_a_command(path: Path) -> None:
    """Every answer of the sequence, part by part, in every example plan."""
    plan, faults = build_plan(read(path, path.name))
    assert plan is not None, faults
    layout = Layout(plan, library())
    seen = reach(layout)
    for name, table in tables(layout).signals.items():
        known = {frozenset((part, aspect or DARK) for part, aspect in command.aspects) for command in table.commands}
        for state in seen.of(name):
            asked = frozenset((part, aspect or DARK) for part, aspect in state.answer.shows)
            failed = any(not aspect for _, aspect in state.answer.shows)
            assert failed or asked in known, f"{name}: {sorted(asked)}"
