"""BNSF 1999: patterns, plates, what stands before what, and every lamp that can be lost.

Source of all patterns and figures, unless a test names another: Railroad Facts and Figures, "Railroad Signals", its
pages on the BNSF book of 1999 (secondary). The table below is typed from there once more, and is what the rulebook is
compared with.
"""

from __future__ import annotations

from itertools import chain, product
from typing import TYPE_CHECKING

import pytest

from american_books import allowed, book, freer, freer_when_failed, must, read
from lampwright.findings import Basis
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.failing import failings
from lampwright.rulebooks.sequence import measured
from support import findings_of, rules_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks import Rulebook

TABLE = {
    "9.1.3 Clear": "G G/R G/R/R G/B G/B/B",
    "9.1.4 Approach Limited": "Y/fG",
    "9.1.5 Advance Approach": "Y/G Y/G/R",
    "9.1.6 Approach Medium": "fY fY/R fY/R/R fY/B fY/B/B Y/Y Y/Y/R",
    "9.1.7 Approach Restricting": "Y/L Y/L/R",
    "9.1.8 Approach": "Y Y/R Y/R/R Y/B Y/B/B Y/B/R B/Y",
    "9.1.9 Diverging Clear": "R/G R/G/R R/R/G R/G/B",
    "9.1.10 Diverging Approach Diverging": "R/Y/Y",
    "9.1.11 Diverging Approach Medium": "R/fY R/fY/R",
    "9.1.12 Diverging Approach": "R/Y R/Y/R R/R/Y R/Y/B",
    "9.1.13 Restricting": "fR R/fR R/fR/R fR/R fR/R/R R/R/fR fR/B B/fR L L/R L/R/R R/L R/R/L R/L/R B/L "
    "R+n+g R/R+n+g R/B+n+g B/R+n+g",
    "9.1.14 Stop and Proceed": "R+n R/R+n R/B+n B/R+n",
    "9.1.15 Stop": "R R/R R/R/R R/B B/R",
}
RULE = {pattern: rule.partition(" ")[0] for rule, row in TABLE.items() for pattern in row.split()}
YEAR = 1999


def bnsf() -> Rulebook:
    """Return the rulebook."""
    return book("us-bnsf-1999")


def rule_of(aspect: str) -> str:
    """Return the number of an aspect's rule; of none, that of Stop, for so a display that is no aspect is read."""
    return bnsf().aspects[aspect or "stop"].code


# Check points 1 to 3: the table


def test_there_are_13_rules_63_patterns_and_no_pattern_twice() -> None:
    """Derived: counted in the source's table."""
    said = {f"{aspect.code} {aspect.name}": " ".join(aspect.patterns[""]) for aspect in bnsf().aspects.values()}
    assert said == TABLE
    patterns = list(chain.from_iterable(row.split() for row in said.values()))
    assert (len(said), len(patterns), len(set(patterns))) == (13, 63, 63)


@pytest.mark.parametrize("pattern", RULE)
def test_every_pattern_is_read_by_its_rule(pattern: str) -> None:
    """On every form with such heads: lamps and searchlights alike."""
    assert rule_of(read(bnsf(), pattern)) == RULE[pattern]


@pytest.mark.parametrize("plates", ["", "+n", "+n+g"])
def test_whatever_is_lit_is_read_as_the_table_has_it(plates: str) -> None:
    """All 819 combinations of one, two and three heads, each dark or in one colour, steady or flashing."""
    lights = ["B", *(f"{way}{colour}" for colour in "GYRL" for way in ("", "f"))]
    for heads in (1, 2, 3):
        for letters in product(lights, repeat=heads):
            pattern = "/".join(letters)
            asked = (pattern + plates, pattern + plates.removesuffix("+g"), pattern)
            wanted = next((RULE[one] for one in asked if one in RULE), "")
            aspect = read(bnsf(), pattern + plates)
            assert (bnsf().aspects[aspect].code if aspect else "") == wanted, pattern


@pytest.mark.parametrize(
    ("pattern", "name"),
    [
        ("G", "Clear"),
        ("G/R", "Clear"),
        ("G/B/B", "Clear"),
        ("B/Y", "Approach"),
        ("B/R", "Stop"),
        ("R/R/Y", "Diverging Approach"),
        ("R/R/L", "Restricting"),
        ("Y/Y", "Approach Medium"),
        ("Y/G", "Advance Approach"),
        ("R/G", "Diverging Clear"),
    ],
)
def test_patterns_that_other_books_read_otherwise(pattern: str, name: str) -> None:
    """Y/Y is Advance Approach of the New York Central, Y/G its Approach Medium, R/G its Medium Clear."""
    assert bnsf().aspects[read(bnsf(), pattern)].name == name


def test_plates_make_a_red_permissive() -> None:
    """A number plate makes it 9.1.14, with the grade plate 9.1.13; without a plate it is 9.1.15."""
    read_with = {plates: rule_of(read(bnsf(), f"R{plates}")) for plates in ("", "+n", "+n+g", "+g")}
    assert read_with == {"": "9.1.15", "+n": "9.1.14", "+n+g": "9.1.13", "+g": "9.1.15"}


@pytest.mark.parametrize("pattern", ["G", "Y/fG", "Y/G/R", "fY", "Y/L", "Y/R/R", "fR", "R/L"])
def test_rules_up_to_approach_and_restricting_may_have_a_number_plate(pattern: str) -> None:
    """9.1.3 to 9.1.8 and 9.1.13, with or without it."""
    assert read(bnsf(), f"{pattern}+n") == read(bnsf(), pattern)


@pytest.mark.parametrize("name", ["Clear", "Approach Medium", "Approach"])
def test_a_distant_carries_a_d(name: str) -> None:
    """9.1.3 to 9.1.8 may carry a D sign: those of them that one head without red can show."""
    signal = reader(bnsf(), "distant")
    aspect = next(key for key, record in bnsf().aspects.items() if record.name == name)
    assert all(signal.read({**display, "distant": "present"}).aspect == aspect for display in signal.displays(aspect))
    assert aspect in signal.gives


def test_a_dark_signal_is_read_as_stop() -> None:
    """Wikipedia, North American railroad signals (secondary).

    That two lamps lit in one head are Stop: training manual TR06358 of the US Army (verified).
    """
    for pattern in ("B", "B/B", "B/B/B"):
        assert read(bnsf(), pattern) == ""
    assert all(form.in_doubt == "stop" for name, form in bnsf().forms.items() if name != "distant")
    head = reader(bnsf(), "one-head")
    assert head.read({"top.green": "lit", "top.yellow": "lit"}).taken_for == "stop"


# Check points 10 and 11: speeds


def test_ceilings_at_the_next_signal() -> None:
    """60, 50, 40, and 35 mph when diverging."""
    said = {aspect.code: aspect.says.get("speed-next") for aspect in bnsf().aspects.values()}
    assert [said[f"9.1.{number}"] for number in (4, 5, 6, 11)] == ["60 mph", "50 mph", "40 mph", "35 mph"]
    assert bnsf().aspects["approach"].says["speed-now"] == "40 mph"


def test_diverging_has_no_figure_and_the_law_has_one_for_slow() -> None:
    """The timetable tells how fast a turnout may be run; 49 CFR 236.813 (verified): slow is at most 20 mph."""
    assert measured(bnsf(), "diverging", {}) is None
    assert bnsf().parameters["federal-slow"]["value"] == "20 mph"
    assert bnsf().why("parameters", "federal-slow", "value").basis is Basis.VERIFIED


# Check point 14: searchlights


@pytest.mark.parametrize("form", ["one-searchlight", "two-searchlights", "three-searchlights"])
def test_a_searchlight_without_power_is_red(form: str) -> None:
    """TrainWeb, page on the searchlight signal (secondary)."""
    lenses = reader(bnsf(), form).anatomy.lamps
    assert {lens.unpowered for lens in lenses.values()} == {"red"}
    clear = next(item for item in failings(reader(bnsf(), form)) if "red" in item.display.values())
    assert clear.reading.taken_for == "stop"


# Check point 19: what stands before what


def test_four_indications_toward_a_red() -> None:
    """G, fY, Y, R: aspects at Rio Metro (secondary); that Clear may stand for fY is where blocks are long enough."""
    form = "one-head"
    assert must(bnsf(), form, "stop-and-proceed", YEAR) == "approach"
    assert (must(bnsf(), form, "approach", YEAR), *allowed(bnsf(), form, "approach", YEAR)) == (
        "clear",
        "approach-medium",
    )
    assert must(bnsf(), form, "approach-medium", YEAR) == "clear"
    assert reader(bnsf(), form).displays("approach-medium")[0] == {"top.yellow": "flash"}


@pytest.mark.parametrize(
    ("speed", "shown"),
    [
        ("60 mph", "approach-limited"),
        ("50 mph", "advance-approach"),
        ("55 mph", "advance-approach"),
        ("40 mph", "approach-medium"),
        ("25 mph", "approach-medium"),
        (None, "approach-medium"),
    ],
)
def test_what_stands_before_a_diverging_route(speed: str | None, shown: str) -> None:
    """By the ceiling that each announces; where no speed is said, by the lowest (derived)."""
    facts = {"speed": speed} if speed else {}
    for ahead in ("diverging-clear", "diverging-approach", "diverging-approach-medium"):
        assert must(bnsf(), "two-heads", ahead, YEAR, **{"next-route": facts}) == shown


@pytest.mark.parametrize(
    ("ahead", "form", "shown"),
    [
        ("stop", "two-heads", "diverging-approach"),
        ("restricting", "two-heads", "diverging-approach"),
        ("clear", "two-heads", "diverging-clear"),
        ("approach", "two-heads", "diverging-clear"),
        ("diverging-clear", "two-heads", "diverging-approach"),
        ("diverging-clear", "three-heads", "diverging-approach-diverging"),
    ],
)
def test_what_a_diverging_route_shows(ahead: str, form: str, shown: str) -> None:
    """The names' own grammar; the fall-back of two heads without R/Y/Y is derived."""
    assert must(bnsf(), form, ahead, YEAR, route={"turns": "left"}) == shown


def test_approach_restricting_where_it_is_provided() -> None:
    """Else Approach."""
    assert must(bnsf(), "two-heads-lunar", "restricting", YEAR) == "approach-restricting"
    assert must(bnsf(), "two-heads", "restricting", YEAR) == "approach"


# Check point 20: every lamp, plate and flasher of the book


def failed(pattern: str) -> Iterator[str]:
    """Yield a pattern with one lamp dark, one flasher stuck steady, or one plate lost, by its letters alone."""
    heads, *plates = pattern.split("+")
    letters = heads.split("/")
    for number, head in enumerate(letters):
        for instead in {"B", head.removeprefix("f")} - {head}:
            yield "+".join(["/".join([*letters[:number], instead, *letters[number + 1 :]]), *plates])
    for plate in plates:
        yield "+".join([heads, *(other for other in plates if other != plate)])


def rank(pattern: str) -> str:
    """Return the aspect of a pattern; what stands in no table is read as the most restrictive that heads can show."""
    code = RULE.get(pattern) or RULE.get(pattern.removesuffix("+g"), "9.1.15")
    return next(name for name, aspect in bnsf().aspects.items() if aspect.code == code)


def test_one_lamp_lost_in_the_whole_book_reads_freer() -> None:
    """Derived, by the letters of the source's table: R/Y with its top red dead is B/Y, which is Approach.

    Approach is ranked more restrictive than Approach Restricting; else Y/L with its lunar dead would be another.
    """
    assert freer(bnsf(), "approach-restricting", "approach")
    wrong = [(one, other) for one in RULE for other in failed(one) if freer(bnsf(), rank(other), rank(one))]
    assert wrong == [("R/Y", "B/Y")]


def test_the_forms_tell_the_same_one_and_answer_it() -> None:
    """Every failing of every display on every form, as the checks of soundness try them; the answer is derived."""
    found = set(freer_when_failed(bnsf()))
    lost = {"two-heads": "top.red lost", "two-heads-lunar": "top.red lost", "two-searchlights": "top lost"}
    assert found == {(form, "diverging-approach", failing, "approach") for form, failing in lost.items()}
    assert {fault.then for form in lost for fault in bnsf().forms[form].faults} == {"stop"}


def test_no_flasher_that_sticks_reads_freer() -> None:
    """Railroad Facts and Figures, and notes of a trainee in Canada (secondary): flashing always upgrades."""
    steady = [(pattern, pattern.replace("f", "")) for pattern in RULE if "f" in pattern]
    assert len(steady) == 16
    for flashing, stuck in steady:
        assert not freer(bnsf(), rank(stuck), rank(flashing)), (flashing, stuck)


# Plans

PLAN = """
plan: 1
rulebook: us-bnsf-1999
year: 2003
ends: {east: {kind: off-stage, assume: [stop, clear]}}
signals:
  1017: {form: one-head, from: off-stage, plates: %s, routes: [{to: 2E}], shows: {%s}}
  2E: {form: %s, routes: [{to: east, turns: straight}, {to: east, name: 2E-siding, turns: left}]}
"""
LIT = "clear: {top: green}, approach: {top: yellow}, approach-medium: {top: flash yellow}, "


def test_one_head_cannot_say_diverging() -> None:
    """Two are asked for: the lower is the diverging route's."""
    found = findings_of(PLAN % ("[number]", LIT + "stop-and-proceed: {top: red}", "one-head"))
    assert [one.rule for one in found] == ["missing-indication"]
    assert "2E must be able to show diverging-" in found[0].message


def test_a_number_plate_decides_what_a_red_is_on_a_plan() -> None:
    """Red beside it is not Stop, and is not asked to be."""
    assert rules_of(PLAN % ("[number]", LIT + "stop-and-proceed: {top: red}", "two-heads")) == []
    assert rules_of(PLAN % ("[number, grade]", LIT + "restricting: {top: red}", "two-heads")) == []
    assert rules_of(PLAN % ("[number]", LIT + "stop: {top: red}", "two-heads")) != []


def test_a_signal_without_plates_need_not_say_both_ways_to_stop() -> None:
    """Whether it has a number plate is not said; that it shows one of the two settles it."""
    assert rules_of(PLAN % ("[]", LIT + "stop: {top: red}", "two-heads")) == []
    assert rules_of(PLAN % ("[]", LIT + "stop-and-proceed: {top: red}", "two-heads")) == []
    assert rules_of(PLAN % ("[]", LIT.rstrip(", "), "two-heads")) == ["shows-lacks-aspect"] * 2
