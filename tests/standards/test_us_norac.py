"""NORAC and Conrail: speed signals, high and dwarf; what each pattern is, the speeds, what stands before what.

Sources: N8 is the NORAC Operating Rules, 8th edition, an extract (verified); CONRAIL a post of 1992 that quotes its
book; NS cards for the lines from Conrail, 2021; DWARFS pages on dwarf signals; FAQ the railroad signal FAQ of 1995;
NOTES a page of notes of low authority; FACTS Railroad Facts and Figures (all secondary).
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from american_books import allowed, book, file, freer, freer_when_failed, must, read
from lampwright.findings import Basis
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.failing import failings
from lampwright.rulebooks.sequence import measured
from support import findings_of, result_of

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook

YEAR = 2003
HIGH = {
    # FAQ
    "G/R/R": "Clear",
    "G/R": "Clear",
    "R/G/R": "Medium Clear",
    "R/G": "Medium Clear",
    "Y/R/R": "Approach",
    "Y/R": "Approach",
    # CONRAIL
    "Y/fG/R": "Approach Limited",
    "Y/fG": "Approach Limited",
    "R/fG/R": "Limited Clear",
    "R/fG": "Limited Clear",
    "fY/R/R": "Advance Approach",
    "fY/R": "Advance Approach",
    "fY": "Advance Approach",
    "R/fY": "Medium Approach",
    "R/R/fY": "Slow Approach",
    # NS cards
    "Y/G": "Approach Medium",
    "Y/Y": "Approach Slow",
    # NOTES
    "fG/R": "Cab Speed",
    "fG/R/R": "Cab Speed",
    "Y/R/G": "Approach Slow",
    "Y/Y/R": "Approach Slow",
    "R/Y/G": "Medium Approach Medium",
    "R/R/G": "Slow Clear",
    "R/R/Y": "Restricting",
    "R/Y": "Restricting",
    # FACTS
    "R": "Stop Signal",
    "R/R": "Stop Signal",
    "R/R/R": "Stop Signal",
    "R+n": "Stop and Proceed",
    "R/R+n": "Stop and Proceed",
    "R/R/R+n": "Stop and Proceed",
}
REMEMBERED = {
    # memory
    "G": "Clear",
    "Y": "Approach",
    "Y/G/R": "Approach Medium",
    "R/fY/R": "Medium Approach",
}
DWARF = {
    # FAQ; the same from CONRAIL and NS cards
    "G/G": "Clear",
    "G/fR": "Medium Clear",
    # CONRAIL and NS cards
    "Y/fG": "Approach Limited",
    "Y/fR": "Medium Approach",
    # NS cards
    "Y/G": "Approach Medium",
    "Y/Y": "Approach Slow",
    "G": "Slow Clear",
    "G/R": "Slow Clear",
    # DWARFS and NS cards
    "Y": "Restricting",
    "R/Y": "Restricting",
    "fY": "Slow Approach",
    "Y/R": "Slow Approach",
    # NS cards against CONRAIL: they disagree, and each is read so
    "fG": "Limited Clear",
    "fG/R": "Limited Clear",
    "R/fG": "Limited Clear",
}


def norac() -> Rulebook:
    """Return the rulebook."""
    return book("us-norac")


def named(pattern: str, mount: str = "high") -> str:
    """Return the name of what is read in a pattern."""
    aspect = read(norac(), pattern, mount)
    return norac().aspects[aspect].name if aspect else ""


def mph(word: str) -> str:
    """Return the figure of a speed the book calls by name."""
    found = measured(norac(), word, {})
    return found.text if found else ""


@pytest.mark.parametrize(("pattern", "name"), HIGH.items())
def test_high_signals(pattern: str, name: str) -> None:
    """Check point 6, and the whole table of high signals: sources beside the rows (secondary)."""
    assert named(pattern) == name


@pytest.mark.parametrize(("pattern", "name"), DWARF.items())
def test_dwarf_signals(pattern: str, name: str) -> None:
    """Check points 6 and 7, and the whole table of dwarfs: sources beside the rows (secondary)."""
    assert named(pattern, "dwarf") == name


@pytest.mark.parametrize(
    ("mount", "most", "table"),
    [("high", 3, HIGH | REMEMBERED), ("dwarf", 2, DWARF | {"R": "Stop Signal", "R/R": "Stop Signal"})],
)
def test_whatever_is_lit_is_read_as_the_tables_have_it(mount: str, most: int, table: dict[str, str]) -> None:
    """Every combination of heads, each dark or in one colour, steady or flashing; a dark head belongs to no aspect."""
    lights = ["B", *(f"{way}{colour}" for colour in "GYR" for way in ("", "f"))]
    rulebook = norac()
    rulebook = replace(rulebook, notation={**rulebook.notation, "B": "dark"}, cache={})
    for heads in range(1, most + 1):
        for letters in product(lights, repeat=heads):
            pattern = "/".join(letters)
            aspect = read(rulebook, pattern, mount)
            assert (rulebook.aspects[aspect].name if aspect else "") == table.get(pattern, ""), pattern


def test_no_pattern_means_two_things_and_none_is_left_out_here() -> None:
    """Derived. What the tables above lack rests on memory: one head at Clear and Approach, two rows of three heads."""
    said = [
        (mount, one) for aspect in norac().aspects.values() for mount, row in aspect.patterns.items() for one in row
    ]
    assert len(said) == len(set(said))
    high = {one for mount, one in said if mount == "high"}
    assert high - HIGH.keys() == REMEMBERED.keys()
    assert {one for mount, one in said if mount == "dwarf"} - DWARF.keys() == {"R", "R/R"}
    for aspect, number in (("clear", 0), ("approach", 0), ("approach-medium", 1), ("medium-approach", 1)):
        assert norac().why("aspects", aspect, "patterns", "high", number).basis is Basis.MEMORY


def test_a_dwarf_s_yellow_is_not_approach_and_its_green_not_clear() -> None:
    """DWARFS: no dwarf shows Approach before 2018, nor in the set of NS later; NS cards: green is Slow Clear."""
    for form in ("dwarf-one-head", "dwarf-two-heads"):
        assert "approach" not in reader(norac(), form).gives
    assert "clear" not in reader(norac(), "dwarf-one-head").gives
    assert named("Y") == "Approach"
    assert named("Y", "dwarf") == "Restricting"


# Check point 9 and 12: speeds


def test_what_speed_words_mean() -> None:
    """A glossary and a page for students of NORAC (secondary): 45 and 40 mph, 30, 15; restricted 20, and 15 inside."""
    assert [mph(word) for word in ("limited", "medium", "slow", "restricted")] == [
        "45 mph",
        "30 mph",
        "15 mph",
        "20 mph",
    ]
    assert norac().speeds["limited"]["trains"] == {"freight": "40 mph"}
    assert norac().parameters["restricted-interlocking"]["value"] == "15 mph"
    assert norac().speeds["normal"] == "line"


def test_ceilings_without_cab_signals() -> None:
    """N8, rules 280a, 280b and 281a (verified): 79 mph, and 60 at Cab Speed without a figure."""
    for name, figure in (("without-cab-signals", "79 mph"), ("cab-speed-without-figure", "60 mph")):
        assert norac().parameters[name]["value"] == figure
        assert norac().why("parameters", name, "value").basis is Basis.VERIFIED
    assert norac().parameters["federal-slow"]["value"] == "20 mph"  # 49 CFR 236.813 (verified)


def test_what_is_verified_and_what_is_remembered_of_the_indications() -> None:
    """N8 was read for 281 to 283a; 285 and 292 are secondary; the others are remembered."""
    basis = {
        aspect.code: norac().why("aspects", name, "says", "authority").basis for name, aspect in norac().aspects.items()
    }
    assert {code for code, known in basis.items() if known is Basis.VERIFIED} == {
        "281", "281a", "281b", "281c", "282", "282a", "283", "283a",
    }  # fmt: skip
    assert {code for code, known in basis.items() if known is Basis.SECONDARY} == {"285", "292"}
    assert {code for code, known in basis.items() if known is Basis.MEMORY} == {
        "284",
        "286",
        "287",
        "288",
        "290",
        "291",
    }


# What stands before what: FACTS, the table by the next signal (secondary), its arrangement derived


@pytest.mark.parametrize(
    ("ahead", "shown"),
    [
        ("stop", "approach"),
        ("stop-and-proceed", "approach"),
        ("restricting", "approach"),
        ("approach", "clear"),
        ("advance-approach", "clear"),
        ("approach-medium", "clear"),
        ("limited-clear", "approach-limited"),
        ("medium-clear", "approach-medium"),
        ("medium-approach", "approach-medium"),
        ("slow-clear", "approach-slow"),
        ("slow-approach", "approach-slow"),
        ("clear", "clear"),
    ],
)
def test_this_signal_from_the_next(ahead: str, shown: str) -> None:
    """At line speed here; whether the speed is said or not."""
    assert must(norac(), "three-heads", ahead, YEAR) == shown
    assert must(norac(), "three-heads", ahead, YEAR, route={"speed": "line"}) == shown


def test_advance_approach_may_stand_before_approach() -> None:
    """Four indications, where blocks are short."""
    assert allowed(norac(), "three-heads", "approach", YEAR) == ("advance-approach",)


@pytest.mark.parametrize(
    ("speed", "clear", "stop"),
    [
        ("45 mph", "limited-clear", "medium-approach"),
        ("60 mph", "limited-clear", "medium-approach"),
        ("30 mph", "medium-clear", "medium-approach"),
        ("40 mph", "medium-clear", "medium-approach"),
        ("15 mph", "slow-clear", "slow-approach"),
        ("25 mph", "slow-clear", "slow-approach"),
        ("10 mph", "restricting", "restricting"),
    ],
)
def test_a_slower_route_puts_its_speed_first(speed: str, clear: str, stop: str) -> None:
    """A speed counts as the fastest word not above it; NORAC has no Limited Approach."""
    assert must(norac(), "three-heads", "clear", YEAR, route={"speed": speed}) == clear
    assert must(norac(), "three-heads", "stop", YEAR, route={"speed": speed}) == stop


def test_a_dwarf_that_lacks_an_aspect_shows_one_that_asks_for_more() -> None:
    """Derived."""
    assert must(norac(), "dwarf-two-heads", "stop", YEAR) == "medium-approach"
    assert must(norac(), "dwarf-one-head", "stop", YEAR) == "slow-approach"
    assert must(norac(), "dwarf-one-head", "clear", YEAR) == "slow-clear"
    for tighter, aspect in (("medium-approach", "approach"), ("slow-approach", "approach"), ("slow-clear", "clear")):
        assert freer(norac(), aspect, tighter)


# Faults


def test_one_flasher_that_sticks_reads_freer_and_is_accepted() -> None:
    """Cab Speed is the one flashing light that asks for more than the steady one; derived."""
    found = {(aspect, seen) for _, aspect, _, seen in freer_when_failed(norac())}
    assert found == {("cab-speed", "clear")}
    faults = [fault for form in norac().forms.values() for fault in form.faults]
    assert all(fault.steady and fault.within == ("cab-speed",) and fault.accepted for fault in faults)


def test_a_lamp_lost_is_read_as_stop() -> None:
    """A dark head belongs to no aspect of this book, and a red beside another colour is a place-holder (FACTS)."""
    for form in ("one-head", "two-heads", "three-heads", "dwarf-one-head", "dwarf-two-heads"):
        lost = [item for item in failings(reader(norac(), form)) if item.how == "lost" and item.elements != ("number",)]
        assert lost
        assert {item.reading.taken_for for item in lost} == {"stop"}


def test_soundness_leaves_one_note() -> None:
    """Cab Speed is asked for by cab signals, which no rule of the sequence knows."""
    assert [(one.rule, str(one.level)) for one in findings_of(file("us-norac"))] == [("unasked-aspect", "note")]


def test_lamps_from_the_top_down_tell_the_form() -> None:
    """Heads of three lamps are one column; a dwarf has the same, so that the mount decides."""
    plan = "plan: 1\nrulebook: us-norac\nyear: 1996\nsignals: {2W: {lamps: [LAMPS], MOUNT}}\n"
    lamps = "green, yellow, red, green, yellow, red"
    found = {
        mount: result_of(plan.replace("LAMPS", lamps).replace("MOUNT", f"mount: {mount}")).layouts[0].signals["2W"]
        for mount in ("high", "dwarf")
    }
    assert {mount: signal.form_name for mount, signal in found.items()} == {
        "high": "two-heads",
        "dwarf": "dwarf-two-heads",
    }
