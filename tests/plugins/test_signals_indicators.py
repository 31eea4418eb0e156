"""Indicators: what a form may carry, when, what it lights, and what a driver reads from it.

Sources, unless a test names its own: handbook RS521 section 2.3, as drivers' cards quote it ("Signs" cards; cards on
RS521 and S7), for which routes have an indicator and on which side positions stand; the IRSE exam study forum for the
pairs of one slope; railsigns.uk 6.5 for lamps per arm, 6.2 for characters.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright.findings import Level
from support import findings_of, line_of, result_of, rules_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lampwright.findings import Finding

ENDS = {"main": "off-stage", "branch": "off-stage", "loop": "off-stage", "yard": "unsignalled"}
"""Ends by their kind; a plan has those that its routes lead to."""


def plan(
    *routes: str, form: str = "three-aspect", year: str = "1978", carries: str = "", more: Sequence[str] = ()
) -> str:
    """Return a plan of one signal with some routes, each written as in a plan."""
    lines = ["plan: 1", "rulebook: gb-colour-light", f"year: {year}" if year else ""]
    ends = (f"{name}: {{kind: {kind}}}" for name, kind in ENDS.items() if f"to: {name}" in "".join(routes))
    lines += [f"ends: {{{', '.join(ends)}}}"] if routes else []
    lines += ["signals:", "  HF3:", f"    form: {form}", f"    carries: {carries}" if carries else ""]
    lines += [f"    {line}" for line in more]
    lines += ["    routes:" if routes else "", *(f"      - {{{route}}}" for route in routes)]
    return "\n".join(line for line in lines if line) + "\n"


def only(text: str, *, year: str = "") -> Finding:
    """Return the one finding of a plan."""
    (finding,) = findings_of(text, year=year)
    return finding


STRAIGHT = "to: main, turns: straight"

# ---------------------------------------------------------------- Names, forms, years


@pytest.mark.parametrize("name", ["position-2", "junction.position-2", "{junction: position-2}"])
def test_a_position_has_three_spellings(name: str) -> None:
    """Alone, after its indicator, or as what the indicator shows; they are one position."""
    assert findings_of(plan(STRAIGHT, f"to: branch, turns: left, indicator: {name}", carries="[position-2]")) == []


def test_an_unknown_indicator_is_named_once_wherever_it_is_used() -> None:
    """Carried and lit under one wrong name: one slip, one finding, at the first place."""
    text = plan(STRAIGHT, "to: branch, turns: left, indicator: fether", carries="[fether]")
    finding = only(text)
    assert (finding.rule, finding.spot.path) == ("unknown-indicator", ("signals", "HF3", "carries", 0))


def test_an_unknown_position_of_a_known_indicator() -> None:
    """The tip names the nearest there is."""
    finding = only(plan(STRAIGHT, "to: branch, turns: left, indicator: {junction: position-7}"))
    assert finding.rule == "unknown-indicator"
    assert "position-7" in finding.message
    assert finding.tip.startswith("did you mean position-")


@pytest.mark.parametrize("form", ["two-aspect-distant", "banner-repeater", "shunt-red-white"])
def test_forms_without_junction_indicators(form: str) -> None:
    """One finding for all that is carried, with the rulebook's form beside it."""
    finding = only(plan(form=form, carries="[position-1, position-4]"))
    assert finding.rule == "indicator-beyond-form"
    assert "position-1 and position-4" in finding.message
    assert any(spot.file.startswith("gb-colour-light") for spot in finding.related)


def test_a_form_in_doubt_is_not_asked_for_its_indicators() -> None:
    """The lamps of a three-aspect signal under the name of a distant: that is the one slip."""
    text = plan(
        STRAIGHT,
        "to: branch, turns: left, indicator: position-1",
        form="two-aspect-distant",
        carries="[position-1]",
        more=["lamps: [green, yellow, red]"],
    )
    assert "indicator-beyond-form" not in rules_of(text)


def test_before_junction_indicators() -> None:
    """One finding for each indicator, at the year; since the year is remembered only, a note.

    Source of the year: from memory. Forms of the 1930s: railsigns.uk 6.5.
    """
    text = plan(STRAIGHT, "to: branch, turns: left, indicator: position-1", year="1930", carries="[position-1]")
    result = result_of(text)
    (finding,) = result.findings
    assert (finding.rule, finding.level) == ("indicator-not-in-use", Level.NOTE)
    assert line_of(result, finding) == 3


def test_a_year_set_for_the_run_points_to_the_first_use() -> None:
    """The plan's own year is not the line to change then."""
    finding = only(plan(year="", carries="[position-1]"), year="1930")
    assert finding.spot.path == ("signals", "HF3", "carries", 0)


def test_no_indicator_is_missing_before_there_were_any() -> None:
    """Other means told the route then."""
    assert findings_of(plan(STRAIGHT, "to: branch, turns: left", year="1930")) == []


@pytest.mark.parametrize(
    ("installed", "level"),
    [("1959", None), ("1966", None), ("1975", Level.ERROR), ("1964..1968", None)],
)
def test_three_lamps_were_put_up_until_1966(installed: str, level: Level | None) -> None:
    """Southern only, new until about 1966; Faversham EY8 has one of 1959 (railsigns.uk 6.5, verified)."""
    text = plan(carries="[junction-three-lamp]", year="1980", more=[f"installed: {installed}"])
    found = findings_of(text)
    assert [(item.rule, item.level) for item in found] == (
        [("indicator-fitted-out-of-time", level)] if level is not None else []
    )


def test_an_indicator_added_to_an_older_signal() -> None:
    """The signal's year says nothing of an indicator that may have been put on later."""
    assert findings_of(plan(carries="[position-1]", more=["installed: 1931"])) == []


def test_a_survivor_is_asked_for_its_age_once() -> None:
    """Two signals with three lamps, one note, at the year."""
    text = plan(carries="[junction-three-lamp]", year="1980")
    text += "  HF5: {form: three-aspect, carries: [junction-three-lamp]}\n"
    finding = only(text)
    assert (finding.rule, finding.level, finding.spot.path) == ("undated-indicator", Level.NOTE, ("year",))
    assert "HF3 and HF5 do not say" in finding.message


def test_a_route_lights_a_position_of_the_indicator_that_is_carried() -> None:
    """position-1 is then one of three lamps, and as old as those."""
    text = plan(
        STRAIGHT, "to: branch, turns: left, indicator: position-1", carries="[junction-three-lamp]", year="1980"
    )
    assert rules_of(text) == ["undated-indicator"]


# ---------------------------------------------------------------- Sides

SIDES = {1: "left", 2: "left", 3: "left", 4: "right", 5: "right", 6: "right"}
"""Positions 1 to 3 stand on the left, 4 to 6 on the right: cards on RS521 (secondary); EY8 and LJ62 (verified)."""


@given(st.sampled_from(sorted(SIDES)), st.sampled_from(["left", "right"]))
def test_a_position_stands_on_the_side_to_which_the_route_turns(position: int, turn: str) -> None:
    """Wrong exactly if the two differ, and nothing else is said then."""
    rules = rules_of(plan(STRAIGHT, f"to: branch, turns: {turn}, indicator: position-{position}"))
    assert rules == ([] if SIDES[position] == turn else ["indicator-on-wrong-side"])


def test_the_wrong_side_names_what_the_signal_carries_there() -> None:
    """Three spots: the indicator, the turn, and the rulebook's side; the tip is what hangs there already."""
    text = plan(STRAIGHT, "to: branch, turns: left, indicator: position-4", carries="[position-1]")
    finding = only(text)
    assert finding.rule == "indicator-on-wrong-side"
    assert finding.level is Level.ERROR
    assert finding.tip.startswith("position-1 ")
    assert [spot.path[-1] for spot in finding.related] == ["turns", "position-4"]


# ---------------------------------------------------------------- Which route has one


@st.composite
def junctions(draw: st.DrawFn) -> list[tuple[str, int]]:
    """Draw two to four routes: the way each turns, and its speed in mph (0 if not said)."""
    turns = st.sampled_from(["straight", "left", "right"])
    return draw(st.lists(st.tuples(turns, st.sampled_from([0, 25, 40, 60])), min_size=2, max_size=4))


def must_have_one(routes: list[tuple[str, int]], index: int) -> bool:
    """Tell from the cards' words whether a route must have an indicator.

    Obvious straight route: none. No obvious straight: one for every route. Straight route not the fastest: on the
    lower-speed route. Two turning routes of equal speed: one each. An unsaid speed is no reason to leave one out.
    """
    turn, speed = routes[index]
    others = routes[:index] + routes[index + 1 :]
    if turn == "straight":
        return speed > 0 and any(other > speed for _, other in others)
    if all(way != "straight" for way, _ in others):
        return True
    return not (speed > 0 and all(0 < other < speed for _, other in others))


@given(junctions())
def test_exactly_the_routes_that_must_have_an_indicator_lack_one(routes: list[tuple[str, int]]) -> None:
    """Against the oracle above, over every mix of turns and speeds."""
    ends = ["main", "branch", "loop", "yard"]
    written = [
        f"to: {end}, turns: {turn}" + (f", speed: {speed} mph" if speed else "")
        for end, (turn, speed) in zip(ends, routes, strict=False)
    ]
    found = [item for item in findings_of(plan(*written)) if item.rule == "missing-route-indicator"]
    named = {int(str(item.spot.path[3])) for item in found}
    assert named == {index for index in range(len(routes)) if must_have_one(routes, index)}
    assert {item.level for item in found} <= {Level.ERROR}


def test_the_speed_of_a_straight_route_is_that_of_its_line() -> None:
    """A straight route onto a slow line beside a fast turning one needs the indicator; the fast one needs none."""
    sections = "lines: {fast: {speed: 90 mph}, slow: {speed: 25 mph}}\nsections: {AA: {line: slow}, AB: {line: fast}}\n"
    text = sections + plan("to: loop, turns: straight, over: [AA]", "to: main, turns: left, speed: 90 mph, over: [AB]")
    text = text.replace(sections, "", 1).replace("ends:", sections + "ends:", 1)
    finding = only(text)
    assert finding.rule == "missing-route-indicator"
    assert "the straight route to loop, which is slower than another" in finding.message


def test_the_only_route_written_is_a_note() -> None:
    """A bay's way out turns, and has no indicator: there is nothing to be told from."""
    finding = only(plan("to: main, turns: left"))
    assert (finding.rule, finding.level) == ("missing-route-indicator", Level.NOTE)


def test_a_character_tells_the_route_as_well() -> None:
    """An alphanumeric indicator instead of a junction indicator (railsigns.uk 6.2)."""
    assert findings_of(plan(STRAIGHT, "to: branch, turns: left, indicator: {alphanumeric: B}")) == []


def test_a_character_may_stand_for_the_straight_route() -> None:
    """A platform's number is shown for every route (railsigns.uk 6.2)."""
    routes = [f"to: {end}, indicator: {{alphanumeric: {figure}}}" for figure, end in enumerate(["main", "loop"], 1)]
    assert findings_of(plan(routes[0] + ", turns: straight", routes[1] + ", turns: left")) == []


def test_an_indicator_for_the_obvious_route() -> None:
    """An error; the tip says what to write if the route is not obvious."""
    finding = only(
        plan("to: main, turns: straight, indicator: position-1", "to: branch, turns: right, indicator: position-4")
    )
    assert (finding.rule, finding.level) == ("indicator-on-obvious-route", Level.ERROR)
    assert "no route is obviously straight" in finding.tip


def test_an_indicator_for_the_straight_route_that_is_slower() -> None:
    """The lower-speed route has it."""
    fast, slow = "to: branch, turns: left, speed: 60 mph", "to: main, turns: straight, speed: 25 mph"
    assert findings_of(plan(slow + ", indicator: position-4", fast)) == []


def test_an_indicator_for_the_fastest_route_beside_a_straight_one() -> None:
    """Not asked for, and not wrong enough for more than a warning."""
    fast, slow = "to: branch, turns: left, speed: 60 mph", "to: main, turns: straight, speed: 25 mph"
    found = findings_of(plan(slow + ", indicator: position-4", fast + ", indicator: position-1"))
    assert [(item.rule, item.level) for item in found] == [("indicator-on-obvious-route", Level.WARNING)]


def test_a_route_that_does_not_say_how_it_turns_is_not_guessed() -> None:
    """Absent is not said: a route without `turns` beside a lit one."""
    assert findings_of(plan("to: main", "to: branch, indicator: position-1")) == []


# ---------------------------------------------------------------- Classes


@pytest.mark.parametrize("kind", ["shunt", "call-on"])
def test_shunting_routes_need_no_indicator(kind: str) -> None:
    """They are told by the position light (cards on RS521; SREMG page 4), many routes by one."""
    routes = [f"to: {end}, turns: left, class: {kind}" for end in ("branch", "loop", "yard")]
    assert findings_of(plan(STRAIGHT, *routes, form="three-aspect-with-position-light")) == []


@pytest.mark.parametrize(
    ("kind", "indicator", "right"),
    [
        ("shunt", "position-1", False),
        ("call-on", "position-1", False),
        ("main", "position-1", True),
        ("warner", "position-1", True),
        ("shunt", "{alphanumeric-miniature: S}", True),
        ("main", "{alphanumeric-miniature: S}", False),
        ("shunt", "{alphanumeric: S}", False),
        ("shunt", "{alphanumeric-shared: S}", True),
        ("main", "{alphanumeric-shared: S}", True),
    ],
)
def test_indicators_go_with_the_aspects_of_a_class(kind: str, indicator: str, *, right: bool) -> None:
    """Standard with main aspects, miniature with position lights, shared before (IRSE exam study forum, verified)."""
    text = plan(
        STRAIGHT,
        f"to: branch, turns: left, class: {kind}, indicator: {indicator}",
        form="three-aspect-with-position-light",
        year="1990",
    )
    assert rules_of(text) == ([] if right else ["indicator-for-wrong-class"])


def test_the_tip_for_a_shunting_route_names_what_may_be_lit() -> None:
    """Only indicators in use that year."""
    route = "to: yard, turns: left, class: shunt, indicator: position-1"
    finding = only(plan(STRAIGHT, route, form="three-aspect-with-position-light"))
    assert "alphanumeric-miniature" in finding.tip


# ---------------------------------------------------------------- Telling routes apart


@pytest.mark.parametrize(("one", "other"), [(1, 6), (2, 5), (3, 4)])
def test_positions_of_one_slope(one: int, other: int) -> None:
    """1-6, 2-5 and 3-4 (IRSE exam study forum, verified): a warning, since they are not banned."""
    routes = [
        f"to: branch, turns: left, indicator: position-{one}",
        f"to: loop, turns: right, indicator: position-{other}",
    ]
    finding = only(plan(STRAIGHT, *routes))
    assert (finding.rule, finding.level) == ("confusable-indicators", Level.WARNING)
    assert finding.spot.path == ("signals", "HF3", "routes", 2, "indicator")


def test_all_six_positions_are_three_pairs() -> None:
    """Carried only, one warning a pair."""
    text = plan(carries="[position-1, position-2, position-3, position-4, position-5, position-6]")
    assert rules_of(text) == ["confusable-indicators"] * 3


def test_one_position_for_two_lines() -> None:
    """Exits count as lines where nothing is said of lines."""
    lit = "turns: left, indicator: position-1"
    finding = only(plan(STRAIGHT, f"to: branch, {lit}", f"to: loop, {lit}"))
    assert finding.rule == "shared-indication"
    assert "branch and loop" in finding.message


@pytest.mark.parametrize(("line", "rules"), [("up", []), ("down", ["shared-indication"])])
def test_one_position_for_two_exits_of_one_line(line: str, rules: list[str]) -> None:
    """What a position stands for is the line, however many exits it has."""
    lit = "turns: left, indicator: position-1"
    text = plan(STRAIGHT, f"to: up-1, {lit}", f"to: up-2, {lit}").replace(
        "ends: {", f"ends: {{up-1: {{kind: off-stage, line: up}}, up-2: {{kind: off-stage, line: {line}}}, "
    )
    assert rules_of(text) == rules


def test_the_line_of_a_route_is_that_of_its_last_section() -> None:
    """Two signals on one line ahead, reached over sections of that line."""
    text = """\
plan: 1
rulebook: gb-colour-light
sections: {AA: {line: up}, AB: {line: up}, AC: {line: branch}}
signals:
  HF1:
    form: three-aspect
    routes:
      - {to: HF3, over: [AC, AA], turns: left, indicator: position-1}
      - {to: HF5, over: [AC, AB], turns: left, indicator: position-1}
  HF3: {form: three-aspect}
  HF5: {form: three-aspect}
"""
    assert rules_of(text) == []
    assert rules_of(text.replace("AB: {line: up}", "AB: {line: down}")) == ["shared-indication"]


def test_two_indicators_together() -> None:
    """Reading West T2802 lights position 1 and M (railsigns.uk photographs, verified); with B it is another route."""
    text = plan(
        STRAIGHT,
        "to: branch, turns: left, indicator: [position-1, {alphanumeric: M}]",
        "to: loop, turns: left, indicator: [position-1, {alphanumeric: B}]",
    )
    assert findings_of(text) == []
    assert rules_of(text.replace("alphanumeric: B", "alphanumeric: M")) == ["shared-indication"]


def test_one_character_for_two_lines() -> None:
    """One indication has one meaning in one place (railsigns.uk 6.2, verified)."""
    routes = [f"to: {end}, turns: left, indicator: {{alphanumeric: X}}" for end in ("branch", "loop")]
    finding = only(plan(STRAIGHT, *routes))
    assert finding.rule == "shared-indication"
    assert "alphanumeric X" in finding.message


def test_one_character_for_a_group_of_sidings() -> None:
    """Shunting routes are left alone."""
    routes = [f"to: {end}, class: shunt, indicator: {{alphanumeric-miniature: S}}" for end in ("yard", "loop")]
    assert findings_of(plan(STRAIGHT, *routes, form="three-aspect-with-position-light")) == []


def test_an_indicator_without_its_content_is_not_compared() -> None:
    """What it shows is not said, so it may differ."""
    routes = [f"to: {end}, turns: left, indicator: alphanumeric" for end in ("branch", "loop")]
    assert findings_of(plan(STRAIGHT, *routes)) == []


def test_more_routes_than_can_be_told_apart() -> None:
    """Four routes, three of which light nothing: two can be told. With the counts, and every one of the three."""
    text = plan("to: main", "to: loop", "to: branch, turns: left, indicator: position-1", "to: yard")
    finding = only(text)
    assert (finding.rule, finding.level) == ("indistinct-routes", Level.WARNING)
    assert "4 main routes, and a driver can tell only 2 apart: those to main, loop and yard look" in finding.message
    assert len(finding.related) == 3


def test_two_straight_routes() -> None:
    """Both say so: an error."""
    finding = only(plan(STRAIGHT, "to: loop, turns: straight"))
    assert (finding.rule, finding.level) == ("indistinct-routes", Level.ERROR)
    assert "2 main routes, and a driver cannot tell one from another" in finding.message


def test_two_ways_to_one_exit_need_not_be_told_apart() -> None:
    """The driver ends up in the same place."""
    assert findings_of(plan("to: main, name: a", "to: main, name: b")) == []


# ---------------------------------------------------------------- What is lit


def test_lit_and_not_carried() -> None:
    """A whole junction indicator stands for all its positions, one position for itself."""
    routes = STRAIGHT, "to: branch, turns: left, indicator: position-2"
    assert findings_of(plan(*routes, carries="[junction]")) == []
    finding = only(plan(*routes, carries="[position-3]"))
    assert finding.rule == "indicator-not-carried"
    assert finding.tip.endswith("or light position-3")


def test_characters_that_are_wired() -> None:
    """A map of characters says which there are."""
    wired = "{alphanumeric: {M: A.0, B: A.1}}"
    routes = STRAIGHT, "to: branch, turns: left, indicator: {alphanumeric: B}"
    text = plan(*routes, "to: loop, turns: right, indicator: {alphanumeric: M}", carries=wired)
    assert findings_of(text) == []
    assert rules_of(text.replace("alphanumeric: M}}", "alphanumeric: X}}")) == ["indicator-not-carried"]
    assert rules_of(plan(*routes, carries=wired)) == ["unlit-indicator"]


def test_how_a_lamp_is_wired_is_no_character() -> None:
    """`output`, `leds` and the like are words of the plan."""
    text = plan(
        STRAIGHT,
        "to: branch, turns: left, indicator: position-1",
        carries="{position-1: {output: A.0, leds: 5 parallel, current: 10 mA}}",
    )
    assert findings_of(text) == []


def test_what_a_display_lights_is_lit() -> None:
    """By the modeller's own display of clear; it is an indicator the form has, and no lamp."""
    shows = "shows: {danger: red, caution: yellow, clear: {green: lit, position-1: lit}}"
    text = plan(STRAIGHT, "to: branch, turns: left, indicator: {alphanumeric: B}", carries="[position-1]", more=[shows])
    assert findings_of(plan(carries="[position-1]", more=[shows])) == []
    assert rules_of(text) == ["indicator-not-carried"]


@pytest.mark.parametrize("danger", ["{red: lit, position-1: lit}", "[red, position-1]", "{red: lit, alphanumeric: M}"])
def test_an_indicator_with_red(danger: str) -> None:
    """Blank with red: cards on RS521; railsigns.uk 6.2 (verified)."""
    finding = only(plan(more=[f"shows: {{danger: {danger}, caution: yellow, clear: green}}"]))
    assert (finding.rule, finding.level) == ("indicator-with-wrong-aspect", Level.ERROR)
    assert "with danger" in finding.message
    assert finding.spot.path[-1] in ("position-1", "alphanumeric", 1)
    assert finding.tip == "it may be lit with caution, clear and flashing-caution"


def test_a_dark_indicator_with_red() -> None:
    """To say so is right."""
    assert (
        findings_of(plan(more=["shows: {danger: {red: lit, position-1: dark}, caution: yellow, clear: green}"])) == []
    )


def test_an_indicator_of_a_part() -> None:
    """On a post with parts each name may say its part."""
    shows = (
        "shows: {main.danger: {main.red: lit, main.position-1: lit}, main.caution: main.yellow, main.clear: main.green,"
        " subsidiary.shunt-proceed: [subsidiary.lower, subsidiary.upper]}"
    )
    text = plan(form="three-aspect-with-position-light", more=[shows])
    assert rules_of(text) == ["indicator-with-wrong-aspect"]
    assert rules_of(text.replace(", main.position-1: lit", "")) == []


@pytest.mark.parametrize(
    ("content", "part"), [("m", "which has no m"), ("M-1", "which has no -"), ("MAIN", "which has room for 3")]
)
def test_what_an_alphanumeric_indicator_cannot_show(content: str, part: str) -> None:
    """Letters and digits, at most three: from memory, so a note."""
    finding = only(plan(STRAIGHT, f"to: branch, turns: left, indicator: {{alphanumeric: {content}}}"))
    assert (finding.rule, finding.level) == ("unshowable-character", Level.NOTE)
    assert part in finding.message


def test_a_digit_is_a_character() -> None:
    """A number as YAML reads it."""
    assert findings_of(plan(STRAIGHT, "to: loop, turns: left, indicator: {alphanumeric: 2}")) == []


# ---------------------------------------------------------------- No false alarms

JUNCTION = """\
plan: 1
name: Sallow Bridge
rulebook: gb-colour-light
year: 2005
lines: {down: {speed: 90 mph}, branch: {speed: 40 mph}}
ends: {off: {kind: off-stage, line: down}, up-branch: {kind: off-stage, line: branch}, bay: {kind: buffer-stop}}
sections: {AA: {line: down}, AB: {line: down}, BA: {line: branch}}
signals:
  SB1:
    form: four-aspect
    carries: [arrow-up, arrow-1, arrow-4]
    routes: [{to: SB3, passes: [SB3D], over: [AA], turns: straight}]
  SB3D: {form: splitting-distant, repeats: SB3}
  SB3:
    form: four-aspect-with-position-light
    plates: [semi]
    carries: [position-1, position-4, alphanumeric-miniature]
    routes:
      - {to: off, over: [AB], turns: straight}
      - {to: up-branch, over: [AB, BA], turns: left, indicator: position-1, speed: 40 mph}
      - {to: bay, turns: right, indicator: position-4, speed: 20 mph}
      - {to: bay, turns: right, class: shunt, indicator: {alphanumeric-miniature: B}}
      - {to: up-branch, turns: left, class: call-on}
"""


def test_a_junction_with_all_that_tells_of_it() -> None:
    """Preliminary indicators and a splitting distant tell of the next signal's route: nothing of theirs is unlit."""
    assert findings_of(JUNCTION) == []


def test_an_arrow_says_nothing_of_the_route_from_its_own_signal() -> None:
    """An arrow that announces a turn, on a signal whose own route is straight."""
    assert findings_of(JUNCTION.replace("turns: straight}]", "turns: straight, indicator: arrow-1}]")) == []


SLIPS = {
    "turns: left, indicator: position-1": ("turns: left, indicator: position-4", "indicator-on-wrong-side"),
    "turns: right, indicator: position-4": ("turns: left, indicator: position-4", "indicator-on-wrong-side"),
    ", indicator: position-4": ("", "missing-route-indicator"),
    "carries: [position-1, position-4,": ("carries: [position-2, position-4,", "indicator-not-carried"),
    "carries: [position-1,": ("carries: [postion-1,", "unknown-indicator"),
    "over: [AB], turns: straight": ("over: [AB], turns: straight, indicator: position-4", "indicator-on-obvious-route"),
    "turns: left, class: call-on": ("turns: left, class: call-on, indicator: position-1", "indicator-for-wrong-class"),
    "alphanumeric-miniature: B": ("alphanumeric-miniature: b", "unshowable-character"),
    "turns: right, indicator: position-4, speed": ("turns: left, indicator: position-1, speed", "shared-indication"),
    "turns: straight}\n      - {to: up": ("turns: left}\n      - {to: up", "missing-route-indicator"),
    "position-4, alphanumeric-miniature]": ("position-4, position-5, alphanumeric-miniature]", "unlit-indicator"),
}


@pytest.mark.parametrize("right", SLIPS)
def test_one_slip_makes_one_finding(right: str) -> None:
    """Each edit of the junction, with every check loaded."""
    wrong, rule = SLIPS[right]
    assert JUNCTION.count(right) == 1
    assert rules_of(JUNCTION.replace(right, wrong)) == [rule]


def test_a_year_rules_out_each_thing_once() -> None:
    """Junction indicators are of no use in 1930, nor is the position light: one finding each, at the year."""
    found = findings_of(JUNCTION.replace("2005", "1930"))
    assert {item.rule for item in found} == {"form-not-in-use", "indicator-not-in-use"}
    assert {item.spot.path for item in found} == {("year",)}


# ---------------------------------------------------------------- Other rulebooks

FIGURES = """\
rulebook: 1
id: figures
title: speed by figures
source: derived
aspects:
  stop: {says: {authority: stop}}
  go: {says: {authority: proceed, speed-now: [box, line]}}
order: [[stop, go]]
forms:
  main:
    role: stop
    lamps: {green: green, red: red}
    shows: {stop: red, go: green}
    in-doubt: stop
    indicators: [box, bars]
indicators:
  box: {kind: figure, figures: 1..12, times: 10 km/h, needed: {route: {speed: {below: line}}}, stands-with: go}
  bars: {kind: bars, shows: {one-bar: 60 km/h, two-bars: 100 km/h}}
"""


def by_figures(route: str) -> list[Finding]:
    """Return the findings of one route under a rulebook that tells speeds, not ways."""
    text = (
        "plan: 1\nrulebook: figures\nlines: {line: {speed: 100 km/h}}\nsections: {L: {line: line}, M: {}}\n"
        "ends: {off: {kind: off-stage}, loop: {kind: off-stage}, far: {kind: off-stage}, "
        "on-line: {kind: off-stage, line: line}}\nsignals:\n"
        f"  A1: {{form: main, from: [far, on-line], routes: [{{to: off}}, {{to: loop, {route}}}]}}\n"
    )
    return findings_of(text, beside={"figures.yaml": FIGURES})


def test_a_speed_must_be_shown_where_the_rulebook_asks_for_it() -> None:
    """The check knows no country: the condition is the rulebook's; ways need not be told."""
    (finding,) = by_figures("turns: left, speed: 40 km/h, over: [L]")
    assert finding.rule == "missing-route-indicator"
    assert "no box" in finding.message
    assert by_figures("turns: left, speed: 40 km/h, over: [L], indicator: {box: 4}") == []


@pytest.mark.parametrize(
    ("route", "found"),
    [
        ("turns: left, speed: 40 km/h", []),  # nothing says how fast the line is
        ("turns: left, speed: 100 km/h, over: [L]", []),  # that is its speed
        ("turns: left, speed: 40 km/h, over: [M]", []),  # a section of no line
        ("turns: left, speed: 40 km/h}, {to: far, turns: straight, speed: 80 km/h", ["missing-route-indicator"]),
        ("turns: left, speed: 40 km/h}, {to: on-line, turns: right, speed: 40 km/h", ["missing-route-indicator"]),
    ],
)
def test_where_the_speed_of_the_line_is_not_known_none_is_asked_for(route: str, found: list[str]) -> None:
    """Of sections, of a faster route beside it, or of the line that an end is on; else nothing is known to be below."""
    assert [one.rule for one in by_figures(route)] == found


@pytest.mark.parametrize(("lit", "right"), [("box: 13", False), ("box: 12", True), ("bars: one-bar", True)])
def test_what_boxes_and_bars_can_show(lit: str, *, right: bool) -> None:
    """Figures from 1 to 12; bars by name."""
    assert [item.rule for item in by_figures(f"indicator: {{{lit}}}")] == ([] if right else ["unshowable-character"])
