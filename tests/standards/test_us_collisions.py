"""One pattern, several meanings: there is no national set of aspects, so each book must keep its own.

Source: Railroad Facts and Figures, "Railroad Signals" (secondary), for the western and the New York Central's; a post
of 1992 that quotes the Conrail book, cards of 2021 and a page of notes of low authority for NORAC, and for Canada
a page of help on its rules, a blog and notes of a trainee (secondary).
"""

from __future__ import annotations

import pytest

from american_books import book, read
from command_line import call

BNSF, NYC, NORAC, CROR = "us-bnsf-1999", "us-nyc", "us-norac", "ca-cror"
MEANINGS = {
    "Y/Y": {NYC: "Advance Approach", BNSF: "Approach Medium", NORAC: "Approach Slow"},
    "Y/Y/R": {NYC: "Advance Approach", BNSF: "Approach Medium", NORAC: "Approach Slow"},
    "Y/G": {NYC: "Approach Medium", BNSF: "Advance Approach", NORAC: "Approach Medium", CROR: "Clear to Medium"},
    "fY": {NYC: "Approach Medium", BNSF: "Approach Medium", NORAC: "Advance Approach", CROR: "Advance Clear to Stop"},
    "R/G": {NYC: "Medium Clear", BNSF: "Diverging Clear", NORAC: "Medium Clear", CROR: "Medium to Clear"},
    "R/Y": {NYC: "Medium Approach", BNSF: "Diverging Approach", NORAC: "Restricting", CROR: "Medium to Stop"},
    "R/R/Y": {NYC: "Slow Approach", BNSF: "Diverging Approach", NORAC: "Restricting", CROR: "Restricting"},
    "R/fY": {
        NYC: "Limited Approach",
        BNSF: "Diverging Approach Medium",
        NORAC: "Medium Approach",
        CROR: "Limited to Stop",
    },
    "G/R": {NYC: "Clear", BNSF: "Clear", NORAC: "Clear", CROR: "Clear"},
    "R": {NYC: "Stop", BNSF: "Stop", NORAC: "Stop Signal", CROR: "Stop"},
    "R+n": {NYC: "Stop and Proceed", BNSF: "Stop and Proceed", NORAC: "Stop and Proceed", CROR: "Stop and Proceed"},
}


@pytest.mark.parametrize(
    ("pattern", "name", "meaning"),
    [(pattern, name, meaning) for pattern, row in MEANINGS.items() for name, meaning in row.items()],
)
def test_a_pattern_means_what_its_book_says(pattern: str, name: str, meaning: str) -> None:
    """Check point 5 and the collisions beside it."""
    assert book(name).aspects[read(book(name), pattern)].name == meaning


def test_green_over_red_is_clear_high_and_slow_clear_on_a_dwarf() -> None:
    """Signal cards of NS for the lines from Conrail, 2021 (secondary)."""
    assert read(book(NORAC), "G/R") == "clear"
    assert read(book(NORAC), "G/R", "dwarf") == "slow-clear"


def test_a_modeller_can_ask_for_the_collisions() -> None:
    """Two books side by side, by the lights that are lit."""
    rows = call("rulebooks", NYC, "--compare", BNSF).out.splitlines()
    place = next(number for number, row in enumerate(rows) if row.startswith("  Y Y "))
    assert "us-nyc        advance-approach" in rows[place]
    assert "us-bnsf-1999  approach-medium" in rows[place + 1]
