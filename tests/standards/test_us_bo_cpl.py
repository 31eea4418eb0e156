"""Colour-position lights of the Baltimore and Ohio: the main pair with at most one marker, and what stands before what.

Source of all displays, unless a test names another: Railroad Facts and Figures, "Railroad Signals", its pages on the
Baltimore and Ohio (secondary). The table below is typed from there once more.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from american_books import allowed, book, file, freer_when_failed, must
from lampwright.rulebooks.displays import FormReader, reader
from lampwright.rulebooks.failing import failings
from lampwright.rulebooks.sequence import measured
from support import findings_of

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook

TABLE = {
    "281 Clear": "green top-centre",
    "281B Approach Limited": "green top-left*",
    "281C Limited Clear": "green bottom-centre*",
    "281D Limited Approach": "yellow bottom-centre*",
    "282 Approach Medium": "green top-left",
    "283 Medium Clear": "green bottom-centre",
    "283A Medium Approach Medium": "green bottom-left",
    "283B Medium Approach Slow": "green bottom-right",
    "284 Approach Slow": "green top-right",
    "285 Approach": "yellow top-centre",
    "286 Medium Approach": "yellow bottom-centre",
    "287 Slow Clear": "green*",
    "287A Slow Approach Slow": "green",
    "288 Slow Approach": "yellow",
    "290 Restricting": "lunar",
    "291 Stop and Proceed": "red top-centre",
    "292 Stop": "red",
}
COLOURS = {"green", "yellow", "red", "lunar"}
YEAR = 1955


def cpl() -> Rulebook:
    """Return the rulebook."""
    return book("us-bo-cpl")


def head(form: str = "high") -> FormReader:
    """Return what reads a head."""
    return reader(cpl(), form)


def seen(row: str) -> dict[str, str]:
    """Return a row of the table as what is lit; a star flashes."""
    return {word.rstrip("*"): "flash" if word.endswith("*") else "lit" for word in row.split()}


@pytest.mark.parametrize("form", ["high", "dwarf"])
@pytest.mark.parametrize("rule", TABLE)
def test_every_display_is_read_by_its_rule(rule: str, form: str) -> None:
    """Check point 8. That a dwarf shows the same: Position Light, on the Baltimore and Ohio (secondary)."""
    aspect = cpl().aspects[head(form).read(seen(TABLE[rule])).aspect]
    assert f"{aspect.code} {aspect.name}" == rule


def test_there_are_17_displays_each_of_one_aspect() -> None:
    """Derived: counted in the source's table."""
    said = {f"{one.code} {one.name}": dict(one.shows or ()) for one in cpl().aspects.values()}
    assert said == {rule: seen(row) for rule, row in TABLE.items()}
    assert len({tuple(sorted(display.items())) for display in said.values()}) == 17


def test_at_most_one_marker_is_lit_and_one_colour() -> None:
    """Six markers, at most one of them lit."""
    markers = set(head().anatomy.lamps) - COLOURS
    assert len(markers) == 6
    for meaning in head().meanings:
        lit = {lamp for lamp, _ in meaning.lamps}
        assert len(lit & markers) <= 1
        assert len(lit & COLOURS) == 1
    for extra in markers - {"top-centre"}:
        assert head().read({"green": "lit", "top-centre": "lit", extra: "lit"}).taken_for == "stop"


def test_how_the_pairs_lean() -> None:
    """Green upright, yellow 45 degrees to the right, red level, lunar 45 degrees to the left."""
    places = {colour: head().anatomy.lamps[colour].at for colour in COLOURS}
    slopes = {}
    for colour, (one, other) in places.items():
        right, up = other[0] - one[0], other[1] - one[1]
        slopes[colour] = "upright" if not right else "level" if not up else "right" if right * up > 0 else "left"
    assert slopes == {"green": "upright", "yellow": "right", "red": "level", "lunar": "left"}


@pytest.mark.parametrize(("row", "word"), [("top", "normal"), ("bottom", "medium"), ("none", "slow")])
def test_the_row_of_the_marker_gives_the_speed_here(row: str, word: str) -> None:
    """Above, Normal; below, Medium, or Limited if it flashes; none, Slow.

    Approach and Approach Slow ask for Medium only of trains that are faster.
    """
    rows = {rule: seen(shown) for rule, shown in TABLE.items() if shown.split()[0].rstrip("*") in ("green", "yellow")}
    for rule, display in rows.items():
        marker = next((lamp for lamp in display if lamp not in COLOURS), "none")
        aspect = head().read(display).aspect
        if marker.startswith(row) and aspect not in ("approach", "approach-slow"):
            wanted = "limited" if row == "bottom" and display[marker] == "flash" else word
            assert cpl().aspects[aspect].says["speed-now"] == wanted, rule


@pytest.mark.parametrize(("column", "word"), [("left", "medium"), ("right", "slow")])
def test_the_column_of_the_marker_gives_the_speed_at_the_next_signal(column: str, word: str) -> None:
    """Left, Medium, or Limited if it flashes; right, Slow."""
    for rule, shown in TABLE.items():
        if column in shown.replace("centre", ""):
            wanted = "limited" if shown.endswith("left*") else word
            assert cpl().aspects[head().read(seen(shown)).aspect].says["speed-next"] == wanted, rule


def test_nothing_that_fails_reads_freer() -> None:
    """Position Light (secondary): designed so that a failed bulb is more restrictive. Every lamp, every flasher."""
    assert set(freer_when_failed(cpl())) == set()
    failed = {(one.meaning.aspect, str(one)): one.reading.taken_for for one in failings(head())}
    assert failed["clear", "top-centre lost"] == "slow-approach-slow"
    assert failed["stop-and-proceed", "top-centre lost"] == "stop"
    assert failed["approach-limited", "top-left steady"] == "approach-medium"
    assert failed["slow-clear", "green steady"] == "slow-approach-slow"
    assert failed["approach", "yellow lost"] == "stop"


def test_every_cell_of_the_table_of_speeds() -> None:
    """The name's first word is the speed here, the speed after Approach that at the next signal: its own grammar.

    Where no such name exists, the cell has one that asks for more (derived).
    """
    rows = {"normal": "line", "limited": "45 mph", "medium": "30 mph", "slow": "15 mph"}
    ahead = {
        "clear": "clear",
        "limited": "limited-clear",
        "medium": "medium-clear",
        "slow": "slow-clear",
        "stop": "stop",
    }
    found = {
        row: [must(cpl(), "high", shown, YEAR, route={"speed": speed}) for shown in ahead.values()]
        for row, speed in rows.items()
    }
    short = {
        row: [shown.replace("approach", "a").replace("medium", "m") for shown in cells] for row, cells in found.items()
    }
    assert short == {
        "normal": ["clear", "a-limited", "a-m", "a-slow", "a"],
        "limited": ["limited-clear", "limited-a", "m-a-m", "m-a-slow", "limited-a"],
        "medium": ["m-clear", "m-a", "m-a-m", "m-a-slow", "m-a"],
        "slow": ["slow-clear", "slow-a", "slow-a", "slow-a-slow", "slow-a"],
    }


def test_stop_and_proceed_ahead_is_a_stop() -> None:
    """Table by the next signal (secondary)."""
    assert must(cpl(), "high", "stop-and-proceed", YEAR) == "approach"
    assert must(cpl(), "high", "restricting", YEAR) == "approach"


def test_approach_medium_may_stand_before_approach() -> None:
    """Railroads without Advance Approach used it so: it does not promise a slower route."""
    assert must(cpl(), "high", "approach", YEAR) == "clear"
    assert allowed(cpl(), "high", "approach", YEAR) == ("approach-medium",)


def test_speeds_are_those_of_others() -> None:
    """45 mph from crews of CSX, 30 and 15 from a glossary (all secondary); its own are not established."""
    found = {word: measured(cpl(), word, {}) for word in ("limited", "medium", "slow")}
    assert {word: speed.text for word, speed in found.items() if speed} == {
        "limited": "45 mph", "medium": "30 mph", "slow": "15 mph",
    }  # fmt: skip
    assert all("not established" in cpl().speeds[word]["note"] for word in found)


def test_it_is_sound() -> None:
    """No finding of any level."""
    assert findings_of(file("us-bo-cpl")) == []
