"""Speed signals in the manner of the New York Central: the table of patterns, and what no lamp that is lost may do.

Source of all patterns, unless a test names another: Railroad Facts and Figures, "Railroad Signals", its diagrams of
pure speed signalling (secondary). The table below is typed from there once more.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from american_books import book, file, freer, freer_when_failed, must, read
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import measured
from support import findings_of

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook

TABLE = {
    "Clear": "G/R/R G/R G",
    "Advance Approach": "Y/Y/R Y/Y",
    "Approach Limited": "Y/fG/R Y/fG",
    "Limited Clear": "R/fG/R R/fG",
    "Limited Approach": "R/fY/R R/fY",
    "Approach Medium": "Y/G/R fY/R/R Y/G fY/R fY",
    "Medium Clear": "R/G/R R/G",
    "Medium Approach": "R/Y/R R/Y",
    "Approach Slow": "Y/R/G Y/-/G",
    "Slow Clear": "R/R/G R/-/G",
    "Slow Approach": "R/R/Y R/-/Y",
    "Approach Restricting": "Y/L/R Y/L",
    "Approach": "Y/R/R Y/R Y",
    "Restricting": "L/R/R R/L/R R/R/L fR/R/R R/fR/R R/R/fR R/R/R+n+g L/R R/L fR/R R/fR R/R+n+g L fR R+n+g",
    "Stop and Proceed": "R/R/R+n R/R+n R+n",
    "Stop": "R/R/R R/R R",
}
NAME = {pattern: name for name, row in TABLE.items() for pattern in row.split()}
DERIVED = {"G/-/R", "Y/-/R", "R/-/R"}
"""Two heads with a wide gap, the lower a place-holder: they follow from the rows that the source has."""


def nyc() -> Rulebook:
    """Return the rulebook."""
    return book("us-nyc")


@pytest.mark.parametrize("pattern", NAME)
def test_every_pattern_is_read_by_its_name(pattern: str) -> None:
    """Check point 4, and the whole table, on every form with such heads."""
    assert nyc().aspects[read(nyc(), pattern)].name == NAME[pattern]


def test_no_pattern_stands_twice_and_three_are_derived() -> None:
    """Derived: counted in the source's table."""
    said = [pattern for aspect in nyc().aspects.values() for pattern in aspect.patterns[""]]
    assert len(said) == len(set(said)) == len(NAME) + len(DERIVED) == 52 + 3
    assert set(said) - NAME.keys() == DERIVED


def test_the_gap_between_heads_has_a_meaning() -> None:
    """A normal gap is top and middle, which is Medium; a wide one top and bottom, which is Slow."""
    assert read(nyc(), "R/G") == "medium-clear"
    assert read(nyc(), "R/-/G") == "slow-clear"


def test_a_staggered_head_changes_nothing_but_what_is_seen_from_afar() -> None:
    """It affects only the all-red case, and there its number plate says the same."""
    signal = reader(nyc(), "two-heads-staggered")
    red = {"top.red": "lit", "middle.red": "lit"}
    assert signal.read({**red, "number": "present"}).aspect == "stop-and-proceed"
    assert signal.read({"top.green": "lit", "middle.red": "lit"}).aspect == "clear"


def test_speeds() -> None:
    """45, 30 and 15 mph; 49 CFR 236.813 (verified): slow is at most 20."""
    words = [measured(nyc(), word, {}) for word in ("limited", "medium", "slow")]
    assert [word.text for word in words if word] == ["45 mph", "30 mph", "15 mph"]
    assert nyc().parameters["federal-slow"]["value"] == "20 mph"


@pytest.mark.parametrize(
    ("ahead", "shown"),
    [
        ("stop", "approach"),
        ("stop-and-proceed", "approach"),
        ("restricting", "approach"),
        ("approach", "clear"),
        ("limited-clear", "approach-limited"),
        ("limited-approach", "approach-limited"),
        ("medium-clear", "approach-medium"),
        ("medium-approach", "approach-medium"),
        ("slow-approach", "approach-slow"),
        ("clear", "clear"),
    ],
)
def test_this_signal_from_the_next(ahead: str, shown: str) -> None:
    """The table by the next signal."""
    assert must(nyc(), "three-heads", ahead, 1950) == shown


def test_approach_restricting_where_it_is_provided() -> None:
    """Else Approach, which stops the train and is ranked the more restrictive (derived)."""
    assert must(nyc(), "three-heads-lunar", "restricting", 1950) == "approach-restricting"
    assert freer(nyc(), "approach-restricting", "approach")


def test_nothing_that_fails_reads_freer_and_it_is_sound() -> None:
    """Every lamp, flasher and plate of every form (derived): a dark head belongs to no aspect of this book."""
    assert set(freer_when_failed(nyc())) == set()
    assert findings_of(file("us-nyc")) == []
