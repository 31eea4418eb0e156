"""Germany, H/V light signals: what the rulebook must say, each with its source.

Ril 301 is the Signalbuch of DB Netz in update 11, by module and section; ESO and EBO are the ordinances of 1959 and
after. They are verified. All others are secondary; ``derived`` follows from other facts.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from lampwright.findings import Basis
from lampwright.quantities import quantity
from lampwright.rulebooks.displays import Kind, of_part
from lampwright.rulebooks.posts import dark_by_rule
from lampwright.rulebooks.speeds import contents, speed
from lampwright.working.parameters import saying
from lampwright.years import Years
from seen_lamps import form, is_level, is_upright, lit, must, places, rises
from support import bundled, findings_of, library, rules_of

if TYPE_CHECKING:
    from lampwright.rulebooks.displays import Display

BOOK = bundled("de-hv")
HEADS = ("hp-block", "hp-entry", "hp-symmetrical", "hp-exit")
WITH_HP2 = ("hp-entry", "hp-symmetrical", "hp-exit")
DISTANTS = ("vr", "vr-oblique", "vr-at-main")
WITH_WHITE = ("vr-shortened", "vr-oblique-shortened", "vr-shortened-at-main", "vr-repeater", "vr-oblique-repeater")


def figure(name: str) -> list[int]:
    """Return both ends of what the rulebook says of a length, in metres; one if they are the same."""
    found = saying(BOOK.parameters[name]["value"], None)
    assert found is not None
    assert found.measures == "length"
    return sorted({int(end) for end in (found.low, found.high) if end is not None})


# Main signals


@pytest.mark.parametrize(("name", "reds"), [("hp-block", 1), ("hp-entry", 1), ("hp-symmetrical", 1), ("hp-exit", 2)])
def test_hp0_is_one_red_or_two_side_by_side(name: str, reds: int) -> None:
    """Ril 301.0101 s2, s1(1); ESO (10)."""
    assert lit(BOOK, name, "hp0") == ["red"] * reds
    assert reds == 1 or is_level(places(BOOK, name, "hp0"))


@pytest.mark.parametrize("name", HEADS)
def test_hp1_is_one_green(name: str) -> None:
    """Ril 301.0101 s3; ESO (10)."""
    assert lit(BOOK, name, "hp1") == ["green"]


@pytest.mark.parametrize("name", WITH_HP2)
def test_hp2_is_green_with_yellow_vertically_below(name: str) -> None:
    """Ril 301.0101 s4."""
    assert [colour for colour, _ in places(BOOK, name, "hp2")] == ["yellow", "green"]
    assert is_upright(places(BOOK, name, "hp2"))


@pytest.mark.parametrize("name", HEADS)
def test_a_main_signal_shows_one_or_two_lights(name: str) -> None:
    """ESO (11); the shunting whites of Hp 0 + Sh 1 apart."""
    assert {len(lit(BOOK, name, aspect)) for aspect in ("hp0", "hp1", "hp2") if aspect in form(BOOK, name).gives} <= {
        1,
        2,
    }


@pytest.mark.parametrize(("zs3", "shown"), [("dark", "40 km/h"), ("6", "60 km/h"), ("16", "160 km/h")])
def test_hp2_is_40_unless_zs3_says_otherwise(zs3: str, shown: str) -> None:
    """Ril 301.0101 s4 and 301.0301 s5: a figure is times 10 km/h."""
    assert str(speed(BOOK, BOOK.aspects["hp2"].says["speed-now"], {"zs3": zs3})) == shown
    assert BOOK.why("aspects", "hp2").basis is Basis.VERIFIED


def test_one_red_goes_out_when_sh1_lights() -> None:
    """Ril 301.0101 s2(5) and 301.0601 s3: one red, and two whites that rise to the right."""
    assert lit(BOOK, "hp-exit", "hp0-sh1") == ["red", "white", "white"]
    assert rises([light for light in places(BOOK, "hp-exit", "hp0-sh1") if light[0] == "white"])


@pytest.mark.parametrize(("year", "lower"), [(1950, "green"), (1954, "yellow")])
def test_hp2_had_two_greens_until_1953(year: int, lower: str) -> None:
    """A university's page on the book of 1935; two greens also blocksignal.de."""
    found = {
        "".join(colour for colour, _ in places(BOOK, name, "hp2") if colour != "green") or "green"
        for name, item in BOOK.forms.items()
        if item.years.covers(Years(year, year)) and not item.parts and "hp2" in form(BOOK, name, year).gives
    }
    assert found == {lower}


# Distant signals


@pytest.mark.parametrize("name", DISTANTS)
@pytest.mark.parametrize(
    ("aspect", "lower", "upper"), [("vr0", "yellow", "yellow"), ("vr1", "green", "green"), ("vr2", "yellow", "green")]
)
def test_a_distant_shows_two_lights_that_rise_to_the_right(name: str, aspect: str, lower: str, upper: str) -> None:
    """Ril 301.0201 s1 to s4."""
    lights = places(BOOK, name, aspect)
    assert [colour for colour, _ in lights] == [lower, upper]
    assert rises(lights)


@pytest.mark.parametrize("name", DISTANTS)
def test_vr2_in_a_mirror_is_no_aspect_here(name: str) -> None:
    """Ril 301.0201 s4: it may be so in the area of DV 301, which is not this rulebook's."""
    reading = form(BOOK, name).read({"lower-green": "lit", "upper-yellow": "lit"})
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "vr0")


@pytest.mark.parametrize(("main", "distant"), [("hp0", "vr0"), ("hp1", "vr1"), ("hp2", "vr2")])
def test_a_distant_follows_its_main_signal(main: str, distant: str) -> None:
    """Ril 301.0201 s2 to s4; ESO (14)."""
    assert must(BOOK, "vr", main) == distant
    assert must(BOOK, "vr-repeater", main) == distant
    assert must(BOOK, "vr-at-main", main) == distant


@pytest.mark.parametrize("name", WITH_WHITE)
@pytest.mark.parametrize("aspect", ["vr0", "vr1", "vr2"])
def test_the_white_light_is_lit_with_every_aspect(name: str, aspect: str) -> None:
    """Ril 301.0201 s1(14) and s1(16); it stands over the lower light, about level with the upper one."""
    assert lit(BOOK, name, aspect).count("white") == 1
    lights = places(BOOK, name, aspect)
    (white,) = (at for colour, at in lights if colour == "white")
    (_, lower), (_, upper) = (light for light in lights if light[0] != "white")
    assert white[0] <= lower[0]
    assert white[1] > lower[1]
    assert abs(white[1] - upper[1]) <= 1


def test_no_distant_is_both_a_repeater_and_a_short_one() -> None:
    """OpenRailwayMap, validator rules; a repeater has no distant board: Ril 301.1401 s2(4)."""
    repeaters = {name: item for name, item in BOOK.forms.items() if "repeater" in item.roles}
    assert set(repeaters) == {"vr-repeater", "vr-oblique-repeater"}
    assert all(item.plates == () and "shortened" not in item.title for item in repeaters.values())


# Main and distant on one post


def legal(name: str, facts: dict[str, Any] | None = None) -> list[Display]:
    """Return every combination of lamps of a post that may stand: each part an aspect, or dark where a rule says so."""
    post = form(BOOK, name)
    found = []
    for display in post.combinations():
        alone = {part: item.read(of_part(display, part)) for part, item in post.parts.items()}
        dark = dark_by_rule(BOOK, post.form, alone, facts or {})
        if all(not of_part(display, part) if part in dark else alone[part].kind is Kind.ASPECT for part in post.parts):
            found.append(display)
    return found


@pytest.mark.parametrize("name", ["main-and-distant", "main-and-distant-shortened"])
def test_main_and_distant_have_seven_displays(name: str) -> None:
    """A page on the history of H/V: Hp 0 alone, and Hp 1 or Hp 2 over each of Vr 0, Vr 1, Vr 2.

    The count is over every combination of the lamps, flashing ones too.
    """
    shown = {
        tuple(reading.aspect for reading in form(BOOK, name).read_parts(display).values()) for display in legal(name)
    }
    assert len(legal(name)) == 7
    assert shown == {("hp0", ""), *((hp, vr) for hp in ("hp1", "hp2") for vr in ("vr0", "vr1", "vr2"))}


def test_at_most_four_lamps_are_lit() -> None:
    """hurrug.de: Hp 2 over Vr x is the worst case."""
    lamps = sorted(len(display) for display in legal("main-and-distant"))
    assert lamps == [1, 3, 3, 3, 4, 4, 4]


def test_a_distant_is_dark_where_the_route_is_not_its_own() -> None:
    """Ril 301.0201 s1(18): the main signal then stands alone."""
    shown = [sorted(display) for display in legal("main-and-distant", {"route": {"distant-applies": False}})]
    assert sorted(shown) == [["main.green"], ["main.green", "main.yellow"], ["main.red"]]


POST = """
plan: 1
rulebook: de-hv
year: 1975
signals:
  A:
    form: main-and-distant
    gives: [main.hp0, main.hp1, main.hp2, distant.vr0, distant.vr1, distant.vr2]
    shows:
      main.hp0: [main.red%s]
"""


@pytest.mark.parametrize(
    "lamps",
    [
        ("lower-yellow", "upper-yellow"),
        ("lower-green", "upper-green"),
        ("lower-yellow", "upper-green"),
    ],
)
def test_a_distant_lit_over_hp0_on_its_post_is_an_error(lamps: tuple[str, str]) -> None:
    """Ril 301.0201 s1(18)."""
    wrong = findings_of(POST % "".join(f", distant.{lamp}" for lamp in lamps))
    assert [(one.rule, str(one.level)) for one in wrong if "must be dark" in one.message] == [
        ("contradicting-parts", "error")
    ]
    assert not [one for one in findings_of(POST % "") if "must be dark" in one.message]


# Sperrsignale and what stands beside a main signal


def test_two_reds_or_one_are_stop_at_a_sperrsignal_and_two_rising_whites_lift_it() -> None:
    """Ril 301.0101 s2(3)(4) and 301.0601 s3."""
    assert lit(BOOK, "sperrsignal", "hp0") == ["red", "red"]
    assert is_level(places(BOOK, "sperrsignal", "hp0"))
    assert {form(BOOK, "sperrsignal").read({lamp: "lit"}).aspect for lamp in ("left-red", "right-red")} == {"hp0"}
    assert lit(BOOK, "sperrsignal", "sh1") == ["white", "white"]
    assert rises(places(BOOK, "sperrsignal", "sh1"))


@pytest.mark.parametrize(
    ("name", "beside"),
    [
        ("main-and-sperrsignal", {"main": "hp1"}),
        ("main-and-sperrsignal", {"main": "hp2"}),
        ("main-zs1-and-sperrsignal", {"main": "hp0", "substitute": "zs1"}),
        ("main-zs1-and-sperrsignal", {"main": "hp0", "substitute": "zs8"}),
        ("main-zs7-and-sperrsignal", {"main": "hp0", "substitute": "zs7"}),
    ],
)
def test_a_sperrsignal_at_a_main_signal_is_dark_where_that_speaks(name: str, beside: dict[str, str]) -> None:
    """Ril 301.0002 s2(2): where it lets trains go, or shows Zs 1, Zs 7 or Zs 8; it is not where it stands at Hp 0."""
    post = form(BOOK, name)
    readings = {part: post.parts[part].read(post.parts[part].displays(aspect)[0]) for part, aspect in beside.items()}
    assert dark_by_rule(BOOK, post.form, readings, {}) == {"shunt"}
    stop = {"main": post.parts["main"].read({"red": "lit"})}
    assert dark_by_rule(BOOK, post.form, stop, {}) == frozenset()


def test_the_light_sh0_became_hp0_in_december_2006() -> None:
    """Wikipedia, German: Schutzsignale. The day is 10 December, so 2007 is the first whole year of Hp 0."""
    assert form(BOOK, "sperrsignal-sh0", 2006).gives[0] == "sh0"
    assert BOOK.forms["sperrsignal"].years == Years.parse("2007..")
    plan = "plan: 1\nrulebook: de-hv\nyear: {}\nsignals: {{S: {{form: {}}}}}\n"
    assert rules_of(plan.format(2006, "sperrsignal-sh0")) == []
    assert rules_of(plan.format(2007, "sperrsignal")) == []
    assert "form-not-in-use" in rules_of(plan.format(2010, "sperrsignal-sh0"))


@pytest.mark.parametrize(
    ("name", "aspect", "colour", "state", "topmost"),
    [
        ("zs1", "zs1", "white", "lit", 1),
        ("zs1", "zs8", "white", "flash", 1),
        ("zs7", "zs7", "yellow", "lit", 2),
    ],
)
def test_zs1_zs7_and_zs8_are_letters_of_three_lights(
    name: str, aspect: str, colour: str, state: str, topmost: int
) -> None:
    """Ril 301.0301 s2, s8, s9: an A of whites, a V of yellows, and the A flashing."""
    lights = places(BOOK, name, aspect)
    heights = [at[1] for _, at in lights]
    assert [found for found, _ in lights] == [colour] * 3
    assert heights.count(max(heights)) == topmost
    assert set(form(BOOK, name).displays(aspect)[0].values()) == {state}


def test_kennlicht_is_one_white_and_nothing_else() -> None:
    """Ril 301.0002 s2(2)."""
    for name in ("hp-entry", "hp-exit", "vr"):
        assert lit(BOOK, name, "kennlicht") == []
    assert BOOK.indicators["kennlicht"].lamps == {"count": 1, "colour": "white"}


def test_colours_of_speeds_and_letters() -> None:
    """Ril 301.0301 s3 to s6: white here, yellow what is announced."""
    colours = {name: BOOK.indicators[name].colour for name in ("zs2", "zs2v", "zs3", "zs3v")}
    assert colours == {"zs2": "white", "zs2v": "yellow", "zs3": "white", "zs3v": "yellow"}


# Distances


@pytest.mark.parametrize(("line", "low", "high"), [(1000, 950, 1500), (700, 665, 1050), (400, 380, 600)])
def test_a_distant_is_short_below_95_percent_of_its_class(line: int, low: int, high: int) -> None:
    """More than 5 %: Ril 301.0201 and EBO 14(13); the ranges Wikipedia, German: Bremswegabstand; the edge derived."""
    assert figure(f"distant-to-main-{line}") == [low, high]
    edge = Fraction(str(BOOK.parameters["shortened-distant-below"]["value"])) * line
    assert low - 1 < edge == low


def test_braking_distances_of_main_and_branch_lines() -> None:
    """EBO 35(4): 1000 m and 700 m."""
    assert figure("braking-distance-main") + figure("braking-distance-branch") == [1000, 700]
    assert BOOK.why("parameters", "braking-distance-main", "value").basis is Basis.VERIFIED


@pytest.mark.parametrize(("speed_at", "overlap"), [(61, 200), (60, 100), (41, 100), (40, 50), (31, 50), (30, 0)])
def test_overlaps_by_speed(speed_at: int, overlap: int) -> None:
    """Wikipedia, German: Durchrutschweg."""
    bounds = {30: "up-to-30", 40: "up-to-40", 60: "up-to-60"}
    name = next((name for bound, name in bounds.items() if speed_at <= bound), "above-60")
    assert figure(f"overlap-{name}") == [overlap]


def test_three_markers_before_a_distant() -> None:
    """Ril 301.1401 s3(6): the last 100 m before it, the others 75 m apart."""
    markers = [quantity(text).amount for text in BOOK.parameters["distant-markers"]["value"]]
    assert markers == [250, 175, 100]


# Figures, eras


@pytest.mark.parametrize("name", ["zs3", "zs3v"])
def test_figures_of_zs3_are_1_to_16(name: str) -> None:
    """OpenRailwayMap, validator rules and drawings; Ril 301.0301 has no closed list."""
    assert contents(BOOK, name) == tuple(str(figure) for figure in range(1, 17))


@pytest.mark.parametrize(
    ("era", "years"),
    [
        ("era-iii", "1949..1970"),
        ("era-iv", "1965..1990"),
        ("era-iva", "1965..1970"),
        ("era-ivb", "1970..1980"),
        ("era-ivc", "1980..1990"),
    ],
)
def test_eras_by_nem(era: str, years: str) -> None:
    """NEM 806 D, as given on other pages."""
    said = BOOK.eras[era]
    assert (said["years"] if isinstance(said, dict) else said) == years


def test_1967_is_in_two_eras() -> None:
    """NEM 806 D: III and IV overlap."""
    plan = "plan: 1\nrulebook: de-hv\nyear: {}\nsignals: {{A: {{form: hp-entry}}}}\n"
    for year in ("1967", "era-iii", "era-iv"):
        assert rules_of(plan.format(year)) == []
    spans = [BOOK.eras[era]["years"] if isinstance(BOOK.eras[era], dict) else BOOK.eras[era] for era in BOOK.eras]
    assert sum(Years.parse(span).covers(Years(1967, 1967)) for span in spans) >= 4


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
