"""Great Britain: the facts that are safe to assert, asked of the rulebook as a driver or engineer would ask.

Each test names its source and how well it is known. Sources: NR-4A is "Jargon buster: Four aspect signal", Network
Rail; RS521/S7 cards are driver's cards quoting handbook RS521 and module S7; ENC and ENC-UK are encyclopaedia
articles; RS-n is railsigns.uk, page n.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.displays import FormReader, Kind, reader
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import step
from lampwright.years import Years
from support import findings_of, library

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks import Rulebook

FOUR, THREE = "four-aspect", "three-aspect"


def book() -> Rulebook:
    """Return the rulebook."""
    found = library().get("gb-colour-light")
    assert found is not None
    return found


def form(name: str, year: int = 1978) -> FormReader:
    """Return what reads a form's displays in a year."""
    return reader(book(), name, Years(year, year))


def colours(name: str) -> list[str]:
    """Return a form's colours from the top down."""
    lamps = form(name).anatomy.lamps.values()
    return [lamp.colours[0] for lamp in sorted(lamps, key=lambda lamp: -lamp.at[0][1])]


def must(name: str, ahead: str, year: int = 1978, facts: Mapping[str, object] | None = None) -> str:
    """Return the aspect that must stand at a form when the next signal shows ``ahead``."""
    role = book().forms[name].roles[0]
    return step(book(), role, form(name, year).gives, {"next": ahead, **(facts or {})}, Years(year, year)).must


def basis(*path: str) -> Basis:
    """Return how well a datum is known."""
    return book().why(*path).basis


def routed(indicator: str, turns: str, beside: str = "turns: straight") -> str:
    """Return a plan with two routes, one of them turning and lit by an indicator."""
    lit = f", indicator: {indicator}" if indicator else ""
    return f"""
plan: 1
rulebook: gb-colour-light
year: 1978
ends: {{there: {{kind: off-stage}}, here: {{kind: off-stage}}}}
signals:
  HF1:
    form: three-aspect
    routes:
      - {{to: there, {beside}}}
      - {{to: here, turns: {turns}{lit}}}
"""


def rules(plan: str) -> set[str]:
    """Return the rules that fire."""
    return {finding.rule for finding in findings_of(plan)}


# 1 and 2: lamps from the top down


def test_four_aspect_from_the_top_is_yellow_green_yellow_red() -> None:
    """NR-4A (verified)."""
    assert colours(FOUR) == ["yellow", "green", "yellow", "red"]
    assert basis("forms", FOUR, "lamps") is Basis.VERIFIED


def test_a_single_yellow_is_the_lower_one_and_double_yellow_is_both() -> None:
    """NR-4A (verified)."""
    assert form(FOUR).displays("caution") == ({"lower-yellow": "lit"},)
    assert form(FOUR).displays("preliminary-caution") == ({"upper-yellow": "lit", "lower-yellow": "lit"},)


def test_three_aspect_from_the_top_is_green_yellow_red() -> None:
    """ENC-UK (secondary)."""
    assert colours(THREE) == ["green", "yellow", "red"]


@pytest.mark.parametrize("name", ["two-aspect-stop", "two-aspect-red-yellow", THREE, FOUR])
def test_red_is_the_lowest_lamp_on_a_post(name: str) -> None:
    """RS521/S7 cards (secondary)."""
    assert colours(name)[-1] == "red"


@pytest.mark.parametrize("name", ["ground-mounted-three-aspect", "ground-mounted-four-aspect"])
def test_red_is_the_top_lamp_on_the_ground(name: str) -> None:
    """A forum on the prototype (secondary); that the rest is turned round too is memory."""
    assert colours(name)[0] == "red"
    lower = next(lamp for lamp in book().forms[name].lamps if lamp != "red")
    assert basis("forms", name, "lamps", lower, "at") is Basis.MEMORY


# 3: names


def test_the_rule_book_names_of_the_aspects() -> None:
    """RS521/S7 cards, driver's flash-cards (secondary)."""
    names = {book().aspects[aspect].code: book().aspects[aspect].name for aspect in form(FOUR).gives[:4]}
    assert names == {"R": "Danger", "Y": "Caution", "YY": "Preliminary caution", "G": "Clear"}


# 4 to 6: sequences


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        (THREE, {"danger": "caution", "caution": "clear", "clear": "clear"}),
        (
            FOUR,
            {"danger": "caution", "caution": "preliminary-caution", "preliminary-caution": "clear", "clear": "clear"},
        ),
    ],
)
def test_what_stands_before_each_aspect(name: str, shown: dict[str, str]) -> None:
    """RS521/S7 cards, for four aspects a Southern enthusiasts' group too (secondary)."""
    assert {ahead: must(name, ahead) for ahead in shown} == shown


def test_flashing_double_yellow_is_for_four_aspect_areas_only() -> None:
    """RS521/S7 cards, explicit (secondary)."""
    assert "flashing-preliminary-caution" in form(FOUR).gives
    assert "flashing-preliminary-caution" not in form(THREE).gives
    assert must(THREE, "flashing-caution") == "clear"


def test_the_flashing_sequence_of_four_aspects() -> None:
    """Driver's flash-cards (secondary): flashing double yellow, flashing yellow, yellow with the indicator."""
    assert must(FOUR, "caution", facts={"next-route": {"release": "flashing"}}) == "flashing-caution"
    assert must(FOUR, "flashing-caution") == "flashing-preliminary-caution"
    assert must(FOUR, "danger", facts={"route": {"release": "flashing"}, "approached": False}) == "caution"


def test_the_flashing_sequence_of_three_aspects() -> None:
    """Driver's flash-cards, RS521/S7 cards (secondary): green, flashing yellow, yellow with the indicator."""
    assert must(THREE, "caution", facts={"next-route": {"release": "flashing"}}) == "flashing-caution"
    assert must(THREE, "flashing-caution") == "clear"


def test_a_late_change_leaves_the_signal_in_rear_steady() -> None:
    """RS521 2.5 in the RS521/S7 cards (secondary): it may show steady double yellow before flashing yellow."""
    asked = step(book(), "stop", form(FOUR).gives, {"next": "flashing-caution"}, Years(1986, 1986))
    assert asked.may == ("preliminary-caution",)


# 7: distants and first cautions


@pytest.mark.parametrize("name", ["two-aspect-distant", "three-lamp-distant", "fixed-distant"])
def test_a_distant_cannot_show_red(name: str) -> None:
    """RS521/S7 cards, plate R (secondary)."""
    assert "red" not in colours(name)
    assert "danger" not in form(name).gives


@pytest.mark.parametrize("name", ["two-aspect-red-yellow", "two-aspect-distant", THREE, FOUR])
def test_whatever_has_a_yellow_shows_it_before_a_stop_signal_at_danger(name: str) -> None:
    """RS-asp (verified): a stop signal reached on a main aspect has a caution before it."""
    assert must(name, "danger") == "caution"


# 8 to 10: junction indicators


def test_positions_one_to_three_are_left_and_four_to_six_right() -> None:
    """RS521/S7 cards (secondary); photographs of EY8 and LJ62, RS-ph (verified)."""
    sides = book().indicators["junction"].positions
    assert [sides[f"position-{number}"] for number in range(1, 7)] == ["left"] * 3 + ["right"] * 3
    assert basis("indicators", "junction", "positions", "position-1") is Basis.VERIFIED


def test_a_position_on_the_other_side_of_the_turn_is_an_error() -> None:
    """The same."""
    assert "indicator-on-wrong-side" in rules(routed("position-4", "left"))
    assert rules(routed("position-1", "left")) == set()


@pytest.mark.parametrize(("left", "right"), [(1, 6), (2, 5), (3, 4)])
def test_positions_of_one_slope_can_be_confused(left: int, right: int) -> None:
    """IRSE exam study forum (verified): avoided, not banned, so a warning."""
    plan = routed(f"position-{left}", "left", beside=f"turns: right, indicator: position-{right}")
    assert rules(plan) == {"confusable-indicators"}


def test_an_indicator_stands_with_a_proceed_aspect_and_is_proved_before_it() -> None:
    """RS521/S7 cards (secondary); IRSE News, Back to basics: Interlocking, part 2 (verified)."""
    assert book().indicators["junction"].stands_with == {"authority": "proceed"}
    assert book().indicators["junction"].proved is True
    assert basis("indicators", "junction", "proved") is Basis.VERIFIED


def test_an_obvious_straight_route_has_no_indicator_and_a_turning_one_has() -> None:
    """Driver's flash-cards, RS521 2.3 (secondary)."""
    assert rules(routed("", "left")) == {"missing-route-indicator"}
    straight = routed("position-1", "left", beside="turns: straight, indicator: position-4")
    assert "indicator-on-obvious-route" in rules(straight)


def test_without_a_straight_route_each_has_an_indicator() -> None:
    """Driver's flash-cards, RS521 2.3 (secondary)."""
    assert rules(routed("position-1", "left", beside="turns: right")) == {"missing-route-indicator"}
    assert rules(routed("position-1", "left", beside="turns: right, indicator: position-5")) == set()


def test_five_lamps_are_standard_and_three_were_last_put_up_about_1966() -> None:
    """RS-6.5 (verified)."""
    assert book().indicators["junction"].lamps["count"] == 5
    three = book().indicators["junction-three-lamp"]
    assert (three.lamps["count"], three.fitted.last) == (3, 1966)
    assert basis("indicators", "junction-three-lamp", "fitted") is Basis.VERIFIED


# 11 to 15: other indicators, splitting distants, position lights, banners


def test_an_alphanumeric_indicator_is_blank_at_danger() -> None:
    """RS-6.2 (verified)."""
    assert book().indicators["alphanumeric"].stands_with == {"authority": "proceed"}
    assert basis("indicators", "alphanumeric", "stands-with") is Basis.VERIFIED


def test_preliminary_route_indicators_are_three_or_two() -> None:
    """RS521/S7 cards (secondary): three in four-aspect areas, two in three-aspect; upright is straight."""
    parameters = book().parameters
    counts = [parameters[f"preliminary-count-{area}"]["value"] for area in (FOUR, THREE)]
    assert counts == [3, 2]
    assert book().indicators["preliminary-route-indicator"].positions["arrow-up"] == "straight"


def test_the_off_set_head_of_a_splitting_distant_is_for_the_diverging_route() -> None:
    """RS521/S7 cards (secondary): with the straight route set it stays at caution, and the primary head may clear."""
    rules_of = {
        str(item.when["next-route"]["turns"]): dict(item.then) for item in book().forms["splitting-distant"].coupling
    }
    assert rules_of == {"straight": {"off-set": "caution"}, "['left', 'right']": {"primary": "caution"}}


def test_a_position_light_beside_a_main_aspect() -> None:
    """RS521/S7 cards, a Southern enthusiasts' group (secondary): unlit by itself; two whites with the main red."""
    post = form("four-aspect-with-position-light")
    whites = {"subsidiary.upper": "lit", "subsidiary.lower": "lit"}
    assert post.read_parts({"main.green": "lit"})["subsidiary"].aspect == "unlit"
    assert post.read_parts({"main.red": "lit", **whites})["subsidiary"].aspect == "shunt-proceed"
    assert post.read_parts({"main.red": "lit", "subsidiary.upper": "lit"})["subsidiary"].kind is Kind.NONE
    (coupling,) = post.form.coupling
    assert dict(coupling.then) == {"main": "danger"}


@pytest.mark.parametrize("name", ["shunt-red-white", "shunt-two-red"])
def test_a_shunting_signal_is_level_at_stop_and_slopes_to_proceed(name: str) -> None:
    """A Southern enthusiasts' group, a forum on the prototype, RS521/S7 cards (secondary)."""
    signal = form(name, 1995)
    (stop,), (proceed,) = signal.displays("shunt-stop"), signal.displays("shunt-proceed")
    level, slope = ([signal.at(lamp)[0] for lamp in display] for display in (stop, proceed))
    assert level[0][1] == level[1][1]
    assert slope[0][0] != slope[1][0]
    assert slope[0][1] != slope[1][1]


def test_a_banner_off_in_green_says_that_the_signal_is_green_and_in_white_that_it_is_off() -> None:
    """RS521/S7 cards, driver's flash-cards (secondary)."""
    aheads = ("danger", "caution", "preliminary-caution", "clear")
    three_state = [must("banner-repeater-three-state", ahead) for ahead in aheads]
    assert three_state == ["banner-on", "banner-off", "banner-off", "banner-off-green"]
    assert [must("banner-repeater", ahead) for ahead in aheads] == ["banner-on"] + ["banner-off"] * 3


# 21 to 25: failures, buffers, dates, release, proving


@pytest.mark.parametrize(
    ("name", "taken_for"),
    [(FOUR, "danger"), (THREE, "danger"), ("two-aspect-distant", "caution"), ("shunt-two-red", "shunt-stop")],
)
def test_a_signal_that_shows_nothing_is_at_its_most_restrictive(name: str, taken_for: str) -> None:
    """RS521/S7 cards, S7 1.5 (secondary)."""
    reading = form(name, 1995).read({})
    assert (reading.kind, reading.taken_for) == (Kind.NONE, taken_for)
    assert basis("forms", name, "in-doubt") is Basis.SECONDARY


@pytest.mark.parametrize(
    ("flashing", "steady"),
    [("flashing-caution", "caution"), ("flashing-preliminary-caution", "preliminary-caution")],
)
def test_a_flasher_that_fails_goes_steady_and_that_is_no_freer(flashing: str, steady: str) -> None:
    """A forum on the prototype (secondary)."""
    (display,) = form(FOUR).displays(flashing)
    assert form(FOUR).read(dict.fromkeys(display, "lit")).aspect == steady
    assert book().order.less_restrictive(steady, flashing) is Verdict.NO


@pytest.mark.parametrize(("year", "shown"), [(1960, "clear"), (1974, "clear"), (1976, "caution"), (2000, "caution")])
def test_the_last_signal_before_the_buffers(year: int, shown: str) -> None:
    """A forum of the LNER (secondary): green before the accident at Moorgate, yellow after; its date is memory."""
    assert must(THREE, "buffers", year) == shown
    rule = step(book(), "stop", form(THREE, year).gives, {"next": "buffers"}, Years(1960, 1960)).path
    assert book().why(*rule, "years").basis is Basis.MEMORY


def test_the_eras_of_the_main_line() -> None:
    """1923: RS-7.2 (verified). Four aspects 1926: a history of colour lights (secondary). 1966: RS-6.5 (verified)."""
    assert (book().years.first, basis("years")) == (1923, Basis.VERIFIED)
    assert (book().forms[FOUR].years.first, basis("forms", FOUR, "years")) == (1926, Basis.SECONDARY)
    assert book().indicators["junction-three-lamp"].fitted.last == 1966


def test_approach_release_from_red_holds_the_signal_until_the_train_is_near() -> None:
    """IRSE exam study forum (verified): main, approach release, from red."""
    far, near = ({"route": {"release": "from-red"}, "approached": approached} for approached in (False, True))
    assert must(FOUR, "clear", facts=far) == "danger"
    assert must(FOUR, "clear", facts=near) == "clear"


def test_flashing_yellows_before_the_sources_agree_on_them_are_a_note_at_most() -> None:
    """Sources differ on the first year (1975 or 1982, secondary, conflict): not safe to assert, so never an error."""
    plan = """
plan: 1
rulebook: gb-colour-light
year: 1970
signals:
  HF1:
    form: three-aspect
    shows: {danger: red, caution: yellow, clear: green, flashing-caution: {yellow: flash}}
"""
    assert {(finding.rule, str(finding.level)) for finding in findings_of(plan)} == {("aspect-not-in-use", "note")}
