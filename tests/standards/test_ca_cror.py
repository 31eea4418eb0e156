"""Canada: the patterns, plates and speeds of the Canadian Rail Operating Rules as far as they are established.

Sources, all secondary: WIKI Wikipedia, "Canadian Rail Operating Rules"; HELP a page of help on the rules; BLOG a
railway blog of 2012; TRAINEE notes of a trainee, 2022; PAGE a page on prototype signals.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from american_books import allowed, book, file, freer_when_failed, must, read
from lampwright.findings import Basis
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import measured
from support import findings_of, rules_of

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook

YEAR = 2006
PATTERNS = {
    # PAGE, BLOG, HELP, TRAINEE
    "G/R/R": "Clear",
    "Y/R/R": "Clear to Stop",
    "Y/G": "Clear to Medium",
    "fY": "Advance Clear to Stop",
    "fY/R": "Advance Clear to Stop",
    "fY/R/R": "Advance Clear to Stop",
    "R/G/R": "Medium to Clear",
    "R/Y/R": "Medium to Stop",
    "R/fY/R": "Limited to Stop",
    "R/R/fY": "Slow to Stop",
    "R/R/Y": "Restricting",
    "R/R/R": "Stop",
    # WIKI, HELP: plates
    "R/G/R+plate-l": "Limited to Clear",
    "R/R/R+n+plate-r": "Restricting",
    "R/R/R+plate-a": "Stop",
    # What most railroads do (Railroad Facts and Figures)
    "R/R/R+n": "Stop and Proceed",
}
NUMBERS = {
    "Clear": "405",
    "Clear to Medium": "407",
    "Clear to Stop": "411",
    "Limited to Clear": "416",
    "Medium to Clear": "422",
    "Stop": "439",
}


def cror() -> Rulebook:
    """Return the rulebook."""
    return book("ca-cror")


def named(pattern: str) -> str:
    """Return the name of what is read in a pattern."""
    return cror().aspects[read(cror(), pattern)].name


@pytest.mark.parametrize(("pattern", "name"), PATTERNS.items())
def test_patterns(pattern: str, name: str) -> None:
    """Sources beside the rows."""
    assert named(pattern) == name


def test_check_point_13() -> None:
    """WIKI, HELP: R/G/R is 422, with the L plate 416; Y/G is 407, and an R plate leaves it so."""
    codes = {pattern: cror().aspects[read(cror(), pattern)].code for pattern in ("R/G/R", "R/G/R+plate-l", "Y/G")}
    assert codes == {"R/G/R": "422", "R/G/R+plate-l": "416", "Y/G": "407"}
    assert read(cror(), "Y/G+plate-r") == read(cror(), "Y/G")


def test_numbers_are_those_that_sources_agree_on() -> None:
    """PAGE, BLOG, HELP, WIKI. That of Advance Clear to Stop has changed, so it has none."""
    assert {one.name: one.code for one in cror().aspects.values() if one.code} == NUMBERS


@pytest.mark.parametrize(
    ("whole", "cut"),
    [("G/R/R", "G/R"), ("G/R/R", "G"), ("Y/R/R", "Y"), ("R/G/R", "R/G"), ("R/Y/R", "R/Y"), ("Y/G/R", "Y/G")],
)
def test_red_heads_at_the_bottom_may_be_left_out(whole: str, cut: str) -> None:
    """WIKI: a red bottom head may be; if the second and third are red, both."""
    assert read(cror(), cut) == read(cror(), whole)


def test_plates_turn_medium_into_limited_and_slow_into_diverging() -> None:
    """WIKI, HELP. DV on the one slow aspect whose pattern is known is derived, and so is L on Medium to Stop."""
    assert named("R/Y/R+plate-l") == "Limited to Stop"
    assert named("R/R/fY+plate-dv") == "Diverging to Stop"
    assert cror().why("aspects", "diverging-to-stop", "patterns").basis is Basis.DERIVED


def test_speeds() -> None:
    """Check point 9. WIKI, BLOG: 45, 30, 25, 15 mph; restricted is never above slow (posts on the rules of 1962)."""
    words = ("limited", "medium", "diverging", "slow", "restricted")
    found = [measured(cror(), word, {}) for word in words]
    assert [speed.text for speed in found if speed] == ["45 mph", "30 mph", "25 mph", "15 mph", "15 mph"]


@pytest.mark.parametrize(
    ("ahead", "shown"),
    [
        ("stop", "clear-to-stop"),
        ("stop-and-proceed", "clear-to-stop"),
        ("clear-to-stop", "clear"),
        ("medium-to-clear", "clear-to-medium"),
        ("medium-to-stop", "clear-to-medium"),
        ("slow-to-stop", "clear-to-stop"),
        ("clear-to-medium", "clear"),
        ("clear", "clear"),
    ],
)
def test_this_signal_from_the_next(ahead: str, shown: str) -> None:
    """The names are the rule: speed here, to speed at the next signal. Slow ahead tells of a stop (derived)."""
    assert must(cror(), "three-heads", ahead, YEAR) == shown
    assert ("advance-clear-to-stop" in allowed(cror(), "three-heads", ahead, YEAR)) is (ahead == "clear-to-stop")


@pytest.mark.parametrize(
    ("speed", "clear", "stop"),
    [
        ("45 mph", "limited-to-clear", "limited-to-stop"),
        ("30 mph", "medium-to-clear", "medium-to-stop"),
        ("25 mph", "diverging-to-stop", "diverging-to-stop"),
        ("15 mph", "slow-to-stop", "slow-to-stop"),
    ],
)
def test_a_slower_route_puts_its_speed_first(speed: str, clear: str, stop: str) -> None:
    """What Diverging and Slow show before a clear line is not established; they tell of a stop (derived)."""
    assert must(cror(), "three-heads", "clear", YEAR, route={"speed": speed}) == clear
    assert must(cror(), "three-heads", "stop", YEAR, route={"speed": speed}) == stop


def test_a_limited_route_needs_its_plate() -> None:
    """Without it the same lights are Medium to Clear, and nothing says Limited."""
    plan = """
plan: 1
rulebook: ca-cror
year: 2006
ends: {east: {kind: off-stage, assume: [stop, clear]}}
signals:
  101E:
    form: two-heads
    from: off-stage
    plates: [PLATE]
    shows: {NAME: {top: red, middle: green}, NAME-stop: {top: red, middle: flash yellow}, stop: {top: red, middle: red}}
    gives: [NAME, NAME-stop, stop]
    blanked: [top.green, top.yellow]
    routes: [{to: east, turns: left, speed: 45 mph}]
"""
    limited = plan.replace("NAME-stop", "limited-to-stop").replace("NAME", "limited-to-clear")
    assert rules_of(limited.replace("PLATE", "plate-l")) == []
    assert set(rules_of(limited.replace("PLATE", "plate-a"))) == {"missing-indication", "display-of-another-aspect"}


def test_nothing_that_fails_reads_freer_and_it_is_sound() -> None:
    """TRAINEE: flashing always upgrades. Every lamp, flasher and plate of every form (derived)."""
    assert set(freer_when_failed(cror())) == set()
    assert findings_of(file("ca-cror")) == []
    assert all(lens.unpowered == "red" for lens in reader(cror(), "two-searchlights").anatomy.lamps.values())
