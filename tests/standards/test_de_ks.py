"""Germany, Ks light signals: what the rulebook must say, each with its source.

Ril 301 is the Signalbuch of DB Netz in update 11, by module and section, and verified. All others are secondary.
"""

from __future__ import annotations

import pytest

from lampwright.findings import Basis
from lampwright.quantities import quantity
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.speeds import contents, speed
from lampwright.years import Years
from seen_lamps import form, lit, must, places, rises
from support import bundled, findings_of, library, rules_of

BOOK = bundled("de-ks")
HEADS = [name for name, item in BOOK.forms.items() if not item.parts and name != "zs7"]
COMBINED = [name for name in HEADS if name.startswith("ks-combined")]
SHORT = ["ks-combined-shortened", "ks-combined-shortened-with-zs1", "ks-combined-shortened-with-sh1"]
SLOW = {"next-route": {"speed": "60 km/h"}}

# One light at a time


@pytest.mark.parametrize("name", HEADS)
def test_at_most_one_of_red_green_and_yellow_is_lit(name: str) -> None:
    """OpenRailwayMap, validator rules; two of them is no aspect, in any way of flashing."""
    signal = form(BOOK, name)
    main = [lamp for lamp in ("red", "green", "yellow") if lamp in signal.lamps]
    for meaning in signal.meanings:
        alone = not meaning.commanded or meaning.aspect == "kennlicht"
        assert alone or sum(lamp in dict(meaning.lamps) for lamp in main) == 1
    for display in signal.combinations():
        if sum(lamp in display for lamp in main) > 1:
            assert signal.read(display).kind is Kind.NONE


def test_hp0_is_one_red_and_there_is_no_ks0() -> None:
    """hurrug.de, and a forum (weak)."""
    assert lit(BOOK, "ks-main", "hp0") == lit(BOOK, "ks-combined", "hp0") == ["red"]
    assert not [aspect for aspect in BOOK.aspects.values() if aspect.code.replace(" ", "") == "Ks0"]
    plan = "plan: 1\nrulebook: de-ks\nyear: 2004\nsignals: {A: {form: ks-main, shows: {ks0: red}}}\n"
    assert "unknown-aspect" in rules_of(plan)


@pytest.mark.parametrize("name", ["ks-combined", "ks-distant", "ks-repeater"])
def test_ks2_is_one_yellow_steady(name: str) -> None:
    """Ril 301.0102 s3."""
    assert [light for light in lit(BOOK, name, "ks2") if light != "white"] == ["yellow"]


@pytest.mark.parametrize("name", ["ks-combined", "ks-distant", "ks-combined-with-zs1"])
def test_green_flashes_with_zs3v_and_with_nothing_else(name: str) -> None:
    """Ril 301.0102 s2(2) and s2(3): Zs 3 alone does not make it flash."""
    signal = form(BOOK, name)
    assert signal.read({"green": "flash", "zs3v": "6"}).aspect == "ks1-announcing"
    assert signal.read({"green": "lit"}).aspect == "ks1"
    assert signal.read({"green": "lit", "zs3v": "6"}).kind is Kind.NONE
    assert signal.read({"green": "flash"}).kind is Kind.NONE
    if "zs3" in signal.form.indicators:
        assert signal.read({"green": "lit", "zs3": "6"}).aspect == "ks1"
        assert signal.read({"green": "flash", "zs3": "6", "zs3v": "4"}).aspect == "ks1-announcing"
        assert signal.read({"green": "flash", "zs3": "6"}).kind is Kind.NONE


# The white light


@pytest.mark.parametrize("name", [*SHORT, "ks-distant-shortened", "ks-repeater"])
@pytest.mark.parametrize(("aspect", "white"), [("ks2", 1), ("ks1-announcing", 1), ("ks1", 0)])
def test_the_white_light_is_dark_with_plain_ks1(name: str, aspect: str, white: int) -> None:
    """Ril 301.0102 s1(3) and s1(4)."""
    assert lit(BOOK, name, aspect).count("white") == white


def test_white_above_is_a_short_distance_and_below_a_repeater() -> None:
    """Ril 301.0102 s1(3) and s1(4)."""
    for name in (*SHORT, "ks-distant-shortened", "ks-repeater"):
        lights = dict(places(BOOK, name, "ks2"))
        above = lights["white"][1] > lights["yellow"][1]
        assert above is (name != "ks-repeater")


def test_no_form_is_both_a_repeater_and_a_short_one() -> None:
    """OpenRailwayMap, validator rules."""
    assert [name for name, item in BOOK.forms.items() if "repeater" in item.roles] == ["ks-repeater"]
    assert lit(BOOK, "ks-repeater", "ks2").count("white") == 1


# Forms


def test_main_and_distant_are_one_head_and_never_side_by_side() -> None:
    """OpenRailwayMap, validator rules: not a main and a distant at one place; a combined one is there for it."""
    for item in BOOK.forms.values():
        roles = {role for part in item.parts.values() for role in BOOK.forms[part.form].roles}
        assert "distant" not in roles or "stop" in BOOK.forms["ks-combined"].roles
        assert not any(part.form.startswith("ks-distant") for part in item.parts.values())
    assert BOOK.forms["ks-combined"].roles == ("stop", "distant")


@pytest.mark.parametrize("name", COMBINED)
def test_a_combined_signal_has_the_yellow_triangle_and_no_distant_board(name: str) -> None:
    """Ril 301.0102 s1(2), 301.1401 s2(13) and s2(4)."""
    plates = BOOK.forms[name].plates
    assert {"w-r-w", "yellow-triangle"} <= set(plates)
    assert not {"ne2", "ne2-shortened"} & set(plates)
    assert "point down" in BOOK.plates["yellow-triangle"].title
    text = f"plan: 1\nrulebook: de-ks\nyear: 2004\nsignals: {{A: {{form: {name}, plates: [ne2]}}}}\n"
    assert "unknown-plate" in rules_of(text)


def test_a_pure_main_signal_has_no_yellow_and_a_distant_no_red() -> None:
    """An article on the three basic forms (weak alone) and OpenRailwayMap."""
    assert form(BOOK, "ks-main").gives == ("hp0", "ks1", "kennlicht")
    assert set(form(BOOK, "ks-distant").gives) == {"ks2", "ks1", "ks1-announcing", "kennlicht"}
    (green,) = form(BOOK, "ks-main").at("green")
    (red,) = form(BOOK, "ks-main").at("red")
    assert (red[0], red[1] > green[1]) == (green[0], True)


def test_there_are_no_semaphores() -> None:
    """OpenRailwayMap, validator rules: Ks exists as light signals only."""
    assert all(item.parts or item.lamps for item in BOOK.forms.values())
    plan = "plan: 1\nrulebook: de-ks\nyear: 2004\nsignals: {A: {form: semaphore}}\n"
    assert rules_of(plan) == ["unknown-form"]


def test_there_is_nothing_before_1993() -> None:
    """Three pages on Magdeburg-Marienborn; Wikipedia, German, has 1994."""
    plan = "plan: 1\nrulebook: de-ks\nyear: {}\nsignals: {{A: {{form: ks-main}}}}\n"
    assert [str(one.level) for one in findings_of(plan.format(1992)) if one.rule == "year-outside-rulebook"] == [
        "error"
    ]
    assert rules_of(plan.format(1995)) == []
    assert BOOK.evidence.disputed["years"] == {"wp-ks": "1994.."}


# Beside the signal light


@pytest.mark.parametrize("name", ["zs3", "zs3v"])
def test_figures_are_1_to_16_and_times_10(name: str) -> None:
    """OpenRailwayMap, validator rules and drawings; times ten: Ril 301.0301 s5 and s6."""
    assert contents(BOOK, name) == tuple(str(figure) for figure in range(1, 17))
    for shown, meant in (("6", 60), ("16", 160)):
        assert speed(BOOK, name, {name: shown}) == quantity(f"{meant} km/h", "speed")


@pytest.mark.parametrize(("figure", "rules"), [("6", []), ("16", []), ("17", ["unshowable-character"])])
def test_a_route_with_a_figure_that_there_is_not(figure: str, rules: list[str]) -> None:
    """OpenRailwayMap, validator rules: nothing above 16."""
    found = rules_of(f"""
plan: 1
rulebook: de-ks
year: 2004
ends: {{away: {{kind: off-stage, assume: [hp0, ks1]}}}}
lines: {{main: {{speed: 200 km/h}}}}
signals:
  A:
    form: ks-main
    from: off-stage
    carries: [zs3]
    routes: [{{to: away, speed: {figure}0 km/h, turns: left, indicator: {{zs3: {figure}}}}}]
""")
    assert [rule for rule in found if rule == "unshowable-character"] == rules


def test_colours_of_speeds_and_letters() -> None:
    """Ril 301.0301 s3 to s6: white here, yellow what is announced."""
    colours = {name: BOOK.indicators[name].colour for name in ("zs2", "zs2v", "zs3", "zs3v")}
    assert colours == {"zs2": "white", "zs2v": "yellow", "zs3": "white", "zs3v": "yellow"}


@pytest.mark.parametrize("name", ["ks-main-with-zs1", "ks-combined-with-zs1", "ks-combined-with-sh1"])
def test_zs1_is_one_white_flashing(name: str) -> None:
    """Ril 301.0301 s2; that Ks has this one of the two Wikipedia, German: Ersatzsignal."""
    assert lit(BOOK, name, "zs1") == ["flash white", "red"]
    assert form(BOOK, name).read({"lower-white": "flash"}).aspect == "zs1"


def test_zs7_is_a_v_of_yellows() -> None:
    """Ril 301.0301 s8: two over one, steady."""
    lights = places(BOOK, "zs7", "zs7")
    assert [colour for colour, _ in lights] == ["yellow"] * 3
    assert lights[0][1][1] < lights[1][1][1] == lights[2][1][1]


def test_sh1_is_two_whites_that_rise_to_the_right_beside_one_red() -> None:
    """Ril 301.0101 s2(5) and 301.0601 s3; on the Ks head hurrug.de."""
    for name in ("ks-main-with-sh1", "ks-combined-with-sh1"):
        assert lit(BOOK, name, "hp0-sh1") == ["red", "white", "white"]
        assert rises([light for light in places(BOOK, name, "hp0-sh1") if light[0] == "white"])


def test_kennlicht_is_one_white_and_nothing_else() -> None:
    """Ril 301.0002 s2(2)."""
    assert lit(BOOK, "ks-combined", "kennlicht") == []
    assert BOOK.indicators["kennlicht"].lamps == {"count": 1, "colour": "white"}


# Sequence


@pytest.mark.parametrize(
    ("ahead", "facts", "shown"),
    [
        ("hp0", {}, "ks2"),
        ("ks1", {}, "ks1"),
        ("ks2", {}, "ks1"),
        ("ks1", SLOW, "ks1-announcing"),
        ("ks2", SLOW, "ks1-announcing"),
        ("ks1", {"route": {"speed": "60 km/h"}, **SLOW}, "ks1"),
        ("ks1", {"route": {"speed": "40 km/h"}, **SLOW}, "ks1"),
    ],
)
def test_what_must_stand_before_what(ahead: str, facts: dict[str, dict[str, str]], shown: str) -> None:
    """Ril 301.0102 s2 and s3; hurrug.de; that Zs 3v may then be left out stellwerke.de."""
    assert must(BOOK, "ks-combined", ahead, **facts) == shown


def test_the_example_of_an_entry_signal() -> None:
    """stellwerke.de: Ks 1 steady with Zs 3 "6" there, Ks 1 flashing with Zs 3v at its distant."""
    assert must(BOOK, "ks-combined", "ks1", route={"speed": "60 km/h"}) == "ks1"
    assert must(BOOK, "ks-distant", "ks1", **SLOW) == "ks1-announcing"
    told = speed(BOOK, BOOK.aspects["ks1-announcing"].says["speed-next"], {"zs3v": "6"})
    assert told == speed(BOOK, BOOK.aspects["ks1"].says["speed-now"], {"zs3": "6"})


def test_what_rests_on_the_book_is_verified() -> None:
    """The meanings of all light of a Ks head are in Ril 301."""
    for aspect in ("hp0", "ks1", "ks2", "ks1-announcing", "zs1", "hp0-sh1"):
        assert BOOK.why("aspects", aspect, "says").basis is Basis.VERIFIED
    assert Years.parse("1993..") == BOOK.years


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
