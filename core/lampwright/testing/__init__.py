"""The kit for those who write a rulebook: ``pytest`` runs its examples, its cases and its soundness.

Installed with Lampwright, it does nothing until it meets a ``cases.yaml`` beside a ``rulebook.yaml``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

CASES = "cases.yaml"
BESIDE = "rulebook.yaml"


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> pytest.Collector | None:
    """Take the cases of a rulebook for tests."""
    if file_path.name != CASES or not file_path.with_name(BESIDE).is_file():
        return None
    from lampwright.testing.collect import CasesFile

    made: pytest.Collector = CasesFile.from_parent(parent, path=file_path)
    return made


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print what no example or case of the rulebooks that were run touches."""
    import sys

    collect = sys.modules.get("lampwright.testing.collect")
    if collect is not None:
        collect.print_untouched(terminalreporter, config)
