"""The runner over our own rules, on a small module: what changes its meaning is found, what does not lives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mutation.rules import with_checks
from mutation.rules_tried import FOUND, SURVIVED, TIMED_OUT, tried

if TYPE_CHECKING:
    from pathlib import Path

MODULE = """
LEAST = 2

def kept(numbers):
    found = []
    for number in numbers:
        if number >= LEAST and number not in found:
            found.append(number)
    return found

def floored(number):
    if number < 0:
        return 0
    return number

def threes(number):
    while number > 1:
        number -= 3
    return number
"""
TESTS = """
import sys
sys.path.insert(0, {folder!r})
from counting import floored, threes, kept

def test_kept():
    assert kept([1, 2, 3, 3]) == [2, 3]

def test_floored():
    assert [floored(-1), floored(5)] == [0, 5]

def test_threes():
    assert [threes(number) for number in (0, 1, 2, 5)] == [0, 1, -1, -1]
"""


def test_a_slip_is_found_and_what_means_the_same_is_not(tmp_path: Path) -> None:
    """Nought is nought, whether it is left as it is or taken for too little."""
    folder = tmp_path / "plugins"
    folder.mkdir()
    (folder / "counting.py").write_text(MODULE, encoding="utf-8")
    (tmp_path / "test_counting.py").write_text(TESTS.format(folder=str(folder)), encoding="utf-8")
    outcomes = {
        (mutant.old, mutant.new): outcome
        for mutant, outcome in tried([folder / "counting.py"], [str(tmp_path / "test_counting.py")], longest=1)
    }
    edge = "if number >= LEAST and number not in found:"
    assert outcomes[edge, edge.replace(">=", ">")] == FOUND
    assert outcomes[edge, edge.replace("not in", "in")] == FOUND
    assert outcomes[edge, edge.replace("and", "or")] == FOUND
    assert outcomes["for number in numbers:", "for number in []:"] == FOUND
    assert outcomes["return found", "return ()"] == FOUND
    assert outcomes["LEAST = 2", "LEAST = 3"] == FOUND  # runs on import, so it is tried in another process
    assert outcomes["number -= 3", "number -= 2"] == FOUND
    assert outcomes["while number > 1:", "while number > 0:"] == FOUND
    assert outcomes["while number > 1:", "while not (number > 1):"] == TIMED_OUT
    lived = {new for (_, new), outcome in outcomes.items() if outcome == SURVIVED}
    assert lived == {"if number <= 0:", "if number < 1:"}


def test_rules_are_all_modules_with_checks() -> None:
    """One that holds the first check of all is among them."""
    assert "references.py" in {path.name for path in with_checks()}
