"""What findings on signals say in full, where a plan holds more than what is wrong: each word follows from the plan.

Facts of the rulebook have their sources beside the tests of each family.
"""

from __future__ import annotations

import pytest

from full_findings import full

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"
ENDS = (
    "ends: {main: {kind: off-stage}, branch: {kind: off-stage}, loop: {kind: off-stage}, yard: {kind: unsignalled}}\n"
)
MAIN, YARD = "{to: main, turns: straight}", "{to: yard, turns: left, class: shunt}"


def signal(form: str, shows: str) -> str:
    """Return a plan of one signal with displays."""
    return f"{HEAD}signals:\n  HF1: {{form: {form}, shows: {{{shows}}}}}\n"


def routes(*routes: str, form: str = "three-aspect", carries: str = "") -> str:
    """Return a plan of one signal with routes."""
    return f"{HEAD}{ENDS}signals:\n  HF3: {{form: {form}, carries: [{carries}], routes: [{', '.join(routes)}]}}\n"


def left(to: str, indicator: str = "") -> str:
    """Return a route that turns left."""
    return f"{{to: {to}, turns: left, indicator: {indicator}}}" if indicator else f"{{to: {to}, turns: left}}"


OBVIOUS = "indicator-on-obvious-route"
LACKS = "HF3 lights no indicator for the route to branch, which turns left"


@pytest.mark.parametrize(
    ("carries", "loop", "tip"),
    [
        ("", left("loop", "position-1"), "light position-2 or position-3"),
        ("position-5, position-6, position-2, position-1", "", "it carries position-2, which no route lights"),
        ("position-1, position-2", left("loop", "position-1"), "it carries position-2, which no route lights"),
        ("position-4", "{to: loop, turns: right, indicator: position-4}", "light position-1, position-2 or position-3"),
    ],
)
def test_a_missing_indicator_is_one_that_hangs_there_unlit_or_any_on_that_side(
    carries: str, loop: str, tip: str
) -> None:
    """What the post carries comes first; what another route lights, and what is on the other side, is no help."""
    plan = routes(*filter(None, (MAIN, left("branch"), loop)), carries=carries)
    assert full(plan, rule="missing-route-indicator") == [
        "missing-route-indicator at signals/HF3/routes/1/turns",
        LACKS,
        f"tip {tip}",
        "beside signals/HF3/routes/0/to: beside the straight route to main",
        "beside indicators/junction/needed/0: when one is needed",
    ]


@pytest.mark.parametrize(("speed", "condition"), [(30, 0), (50, 1), (80, 2)])
def test_of_several_conditions_the_one_that_asks_is_shown(speed: int, condition: int) -> None:
    """In Austria lights tell 40, 60 and the speed of the line; what lies between and beside them needs a figure."""
    plan = f"""
plan: 1
rulebook: at-light
year: 1972
lines: {{line: {{speed: 100 km/h}}}}
ends: {{east: {{kind: off-stage, line: line, assume: [halt, frei]}}}}
signals:
  Z: {{form: main, from: off-stage, routes: [{{to: east, speed: {speed} km/h}}]}}
"""
    assert f"beside indicators/speed-shown/needed/{condition}: when one is needed" in full(
        plan, rule="missing-route-indicator"
    )


def test_where_every_position_of_the_side_is_lit_another_kind_is_named() -> None:
    """Three routes turn left before it, and there are three positions on the left."""
    lit = [left(to, f"position-{number}") for number, to in enumerate(("loop", "yard", "main"), 1)]
    assert "tip light its junction indicator" in full(routes(*lit, left("branch")), rule="missing-route-indicator")


def test_the_fastest_route_has_no_indicator_only_beside_a_straight_one() -> None:
    """Where both turn, both have one, whatever they allow; and a doubtful one stops no look at the next."""
    both = "{to: main, turns: left, speed: 50 mph, indicator: position-1}"
    assert full(routes(both, "{to: branch, turns: right, speed: 75 mph, indicator: position-4}"), rule=OBVIOUS) == []
    plan = routes(
        "{to: branch, turns: left, indicator: position-1}", "{to: main, turns: straight, indicator: position-4}"
    )
    assert full(plan, rule=OBVIOUS)[:2] == [
        f"{OBVIOUS} at signals/HF3/routes/1/indicator",
        "HF3 lights position-4 for the straight route to main, the obvious one, where the main aspect stands alone",
    ]


def test_an_indicator_for_another_class_of_route_names_those_of_its_kind() -> None:
    """In place of characters only characters are named, and only those that stand with the position light."""
    lettered = YARD.replace("}", ", indicator: {alphanumeric: A}}")
    plan = routes(MAIN, lettered, form="three-aspect-with-position-light")
    assert full(plan, rule="indicator-for-wrong-class") == [
        "indicator-for-wrong-class at signals/HF3/routes/1/indicator/alphanumeric",
        "HF3 lights alphanumeric A for the shunt route to yard, and no aspect of a shunt route allows it",
        "tip leave it out, or use alphanumeric-shared or alphanumeric-miniature",
        "beside signals/HF3/routes/1/class: the class of the route",
        "beside indicators/alphanumeric/stands-with: when it may be lit",
    ]


@pytest.mark.parametrize(
    ("form", "shows", "message"),
    [
        ("shunt-red-white", "shunt-proceed: pivot", "HF1 shows pivot for shunt-proceed, which is no aspect"),
        (
            "three-aspect",
            "danger: red, caution: yellow, clear: [green, red]",
            "HF1 shows green and red together for clear",
        ),
        (
            "three-aspect",
            "danger: red, caution: green, clear: yellow",
            "HF1 shows caution and clear each with the other's",
        ),
        (
            "two-aspect-stop-with-position-light",
            "danger: red, clear: green, shunt-proceed: {upper: lit, lower: lit, green: lit, red: dark}",
            "HF1 shows subsidiary.upper, subsidiary.lower and main.green for shunt-proceed, where main must show",
        ),
    ],
)
def test_a_wrong_display_is_told_by_what_is_lit(form: str, shows: str, message: str) -> None:
    """One light is not together with itself, dark lamps are not shown, and of two aspects the first comes first."""
    assert full(signal(form, shows))[1].startswith(message)


def book(*signals: str, year: str = "1978") -> str:
    """Return a plan of signals, each on its line."""
    return f"plan: 1\nrulebook: gb-colour-light\nyear: {year}\nsignals:\n" + "".join(f"  {one}\n" for one in signals)


def test_an_aspect_by_its_code_is_told_its_name() -> None:
    """YY is double yellow, the code of preliminary caution."""
    plan = signal("four-aspect", "danger: red, YY: [upper-yellow, lower-yellow], caution: lower-yellow, clear: green")
    assert full(plan) == [
        "unknown-aspect at signals/HF1/shows/YY:",
        "HF1 shows YY, which is no aspect of gb-colour-light",
        "tip the rulebook calls it preliminary-caution",
        "beside signals/HF1/form: as in use in 1978",
    ]


def test_aspects_that_are_given_are_judged_as_those_that_are_shown() -> None:
    """One is misspelt, one is beyond the form, and each is told what would be right."""
    plan = book("HF1: {form: two-aspect-stop, gives: [danger, claer, preliminary-caution, flashing-clear]}")
    beyond = "; preliminary-caution needs four-aspect, cluster-four-aspect, searchlight-four-aspect, led-four-aspect"
    first, _, tip, *_ = full(plan, rule="aspect-beyond-form")
    assert first == "aspect-beyond-form at signals/HF1/gives/2"
    assert tip == f"tip it can give danger and clear{beyond} or ground-mounted-four-aspect"
    assert full(plan, rule="unknown-aspect") == [
        "unknown-aspect at signals/HF1/gives/1",
        "HF1 gives claer, which is no aspect of gb-colour-light",
        "tip did you mean clear?",
        "beside signals/HF1/form: as in use in 1978",
    ]


@pytest.mark.parametrize(
    ("plan", "lacking", "added", "first"),
    [
        (
            signal("four-aspect", "danger: red, clear: green"),
            "caution and preliminary-caution",
            "caution: lower-yellow, preliminary-caution: [upper-yellow, lower-yellow]",
            "beside forms/four-aspect/shows/caution: the rulebook's caution",
        ),
        (
            book("HF1: {form: four-aspect, gives: [danger, flashing-caution], shows: {danger: red}}"),
            "flashing-caution",
            "flashing-caution: {lower-yellow: flash}",
            "beside forms/four-aspect/shows/flashing-caution: the rulebook's flashing-caution",
        ),
        (
            signal("two-aspect-stop-with-position-light", "danger: red, shunt-proceed: [upper, lower]"),
            "clear",
            "clear: main.green",
            "beside forms/two-aspect-stop/shows/clear: the rulebook's clear",
        ),
    ],
)
def test_an_aspect_left_out_is_written_as_a_plan_would_say_it(plan: str, lacking: str, added: str, first: str) -> None:
    """One lamp by its name, several as a list, a state only where one flashes; beside the first of the rulebook's."""
    assert full(plan, rule="missing-aspect") == [
        "missing-aspect (warning) at signals/HF1/shows:",
        f"HF1 does not say how it shows {lacking}",
        f"tip add {added}; or say under `gives` which aspects it is meant to give",
        "beside signals/HF1/form: as in use in 1978",
        first,
    ]


def test_confusable_positions_are_told_where_the_second_stands() -> None:
    """What is lit comes before what is merely carried, and the others of that side would do."""
    plan = routes(MAIN, left("branch", "position-1"), carries="position-6, position-1")
    assert full(plan, rule="confusable-indicators") == [
        "confusable-indicators (warning) at signals/HF3/carries/0",
        "HF3 has position-1 and position-6, which can be taken for each other at night",
        "tip another position on that side would do: position-4 or position-5",
        "beside signals/HF3/routes/1/indicator: the other one",
        "beside indicators/junction/confusable/0: the pair",
    ]


def test_one_indication_for_several_lines_is_told_once_at_the_last() -> None:
    """Of two indicators lit together the last is pointed at, and of the other routes the first."""
    three = routes(MAIN, left("branch", "position-1"), left("loop", "position-1"), left("yard", "position-1"))
    assert full(three, rule="shared-indication") == [
        "shared-indication at signals/HF3/routes/3/indicator",
        "HF3 lights position-1 for the routes to branch, loop and yard, which are different lines",
        "tip give each line an indication of its own",
        "beside signals/HF3/routes/1/indicator: the same",
        "beside signals/HF3/routes/2/indicator: the same",
    ]
    both = "indicator: {alphanumeric: A, junction: position-1}"
    together = routes(f"{{to: main, turns: left, {both}}}", f"{{to: branch, turns: left, {both}}}")
    assert full(together, rule="shared-indication") == [
        "shared-indication at signals/HF3/routes/1/indicator/junction",
        "HF3 lights alphanumeric A and position-1 for the routes to main and branch, which are different lines",
        "tip give each line an indication of its own",
        "beside signals/HF3/routes/0/indicator/alphanumeric: the same",
    ]


def test_routes_that_look_the_same_are_those_of_one_class() -> None:
    """A shunting route is not among them; that one of them says its turn makes it an error."""
    plan = routes("{to: branch}", MAIN, "{to: loop}", YARD, form="three-aspect-with-position-light")
    alike = "those to branch, main and loop look the same"
    assert full(plan, rule="indistinct-routes") == [
        "indistinct-routes at signals/HF3/routes/2/to",
        f"HF3 has 3 main routes, and a driver cannot tell one from another: {alike}",
        "tip light an indicator for all of them but one, and say which way each turns",
        "beside signals/HF3/routes/0/to: looks the same",
        "beside signals/HF3/routes/1/to: looks the same",
        "beside indicators/junction/needed: when one is needed",
    ]


@pytest.mark.parametrize(
    ("number", "because"),
    [(1, []), (4, []), (5, ["because 1 more route besides"]), (6, ["because 2 more routes besides"])],
)
def test_many_routes_to_one_repeater_are_one_finding(number: int, because: list[str]) -> None:
    """The first is pointed at, three stand beside it, and the others are counted. The way goes to what it repeats."""
    starts = [f"HF{start}: {{form: three-aspect, routes: [{{to: HF20R}}]}}" for start in range(1, number + 1)]
    goals = [f"HF{goal}: {{form: three-aspect}}" for goal in (20, 22)]
    found = full(
        book(*starts, "HF20R: {form: banner-repeater, repeats: [HF20, HF22]}", *goals), rule="route-to-repeater"
    )
    assert found[0] == "route-to-repeater at signals/HF1/routes/0/to"
    assert found[2:] == [
        *because,
        "tip {to: HF20, passes: [HF20R]}",
        *(f"beside signals/HF{start}/routes/0/to: " for start in range(2, min(number, 4) + 1)),
        "beside signals/HF20R/form: as in use in 1978",
    ]


def test_years_of_signals_are_read_as_that_of_the_plan() -> None:
    """Each is told at its own line, and what another signal lent is told there alone."""
    turned = "1979..1974, which is no year, span of years or era"
    plan = book(
        "HF1: {form: three-aspect, year: 1979..1974}",
        "HF3: {form: three-aspect, installed: 1979..1974}",
        "HF5: {form: three-aspect, year: sectorization}",
        "HF7: {like: HF1}",
        "HF9: {like: HF3}",
        "HF11: {form: three-aspect, year: 1980}",
    )
    assert full(plan) == [
        "unknown-year at signals/HF1/year",
        f"HF1 is set in {turned}",
        "tip the earlier year comes first: 1974..1979",
        "unknown-year at signals/HF3/installed",
        f"HF3 was put up in {turned}",
        "tip the earlier year comes first: 1974..1979",
        "unknown-year at signals/HF5/year",
        "HF5 is set in sectorization, which is no year, span of years or era",
        "tip did you mean sectors?",
    ]


@pytest.mark.parametrize(("year", "level"), [("1800", ""), ("1850..1960", " (warning)"), ("1922..1923", " (warning)")])
def test_a_plan_before_its_rulebook_is_told_when_that_begins(year: str, level: str) -> None:
    """A plan that is partly within it is doubtful only."""
    assert full(book("HF1: {form: three-aspect}", year=year), rule="year-outside-rulebook") == [
        f"year-outside-rulebook{level} at year",
        f"gb-colour-light begins in 1923, and the plan is set in {year}",
        f"tip set the plan in 1923 or later, or follow a rulebook of {year}",
        "beside years: the rulebook's years",
    ]


@pytest.mark.parametrize(
    ("clear", "place"),
    [("[red, gren]", "/1"), ("{red: dark, gren: lit}", "/gren:"), ("{gren: lit}", "/gren:"), ("gren", "")],
)
def test_a_lamp_that_is_not_there_is_told_where_it_is_named(clear: str, place: str) -> None:
    """In a list by its number, in a map at its key, alone at the aspect."""
    assert full(signal("three-aspect", f"danger: red, caution: yellow, clear: {clear}"))[:3] == [
        f"unknown-lamp at signals/HF1/shows/clear{place}",
        "HF1 lights gren for clear, and a three-aspect signal has none of that name",
        "tip did you mean green?",
    ]


def test_a_state_is_told_at_its_value_and_those_of_the_part() -> None:
    """The lamps of a position light are in no column with the others, and can flash as they can."""
    plan = signal(
        "two-aspect-stop-with-position-light", "danger: red, clear: green, shunt-proceed: {upper: lit, lower: blink}"
    )
    assert full(plan) == [
        "unknown-state at signals/HF1/shows/shunt-proceed/lower",
        "HF1 has lower blink for shunt-proceed, and lower cannot be blink",
        "tip it can be dark, lit or flash",
        "beside signals/HF1/form: as in use in 1978",
    ]


@pytest.mark.parametrize(
    ("figure", "speed", "found"),
    [
        (7, "60 km/h", "figure-against-speed"),
        (6, "60 km/h", ""),
        (5, "60 km/h", "figure-against-speed (warning)"),
        (5, "59 km/h", ""),
    ],
)
def test_a_figure_too_high_is_an_error_and_one_a_whole_step_too_low_a_warning(
    figure: int, speed: str, found: str
) -> None:
    """In Switzerland a figure counts tens of km/h, and what lies between is rounded down."""
    lit = f"{{to: north, turns: left, speed: {speed}, indicator: {{number: {figure}}}}}"
    plan = (
        "plan: 1\nrulebook: ch-n\nyear: 2003\nends: {north: {kind: off-stage, assume: [halt, fahrt]}}\nsignals:\n"
        "  HF1: {form: main, carries: [number], gives: [halt, warnung, ausfuehrung], from: off-stage, "
        f"routes: [{lit}]}}\n"
    )
    told = f"HF1 shows {figure} to north, which is {figure}0 km/h, and the route is run at {speed}"
    assert full(plan)[:2] == ([f"{found} at signals/HF1/routes/0/indicator/number", told] if found else [])


def test_a_signal_without_a_form_is_asked_for_it_alone() -> None:
    """All that a form would be compared with stays unjudged."""
    plan = (
        f"{HEAD}{ENDS.replace(', loop: {kind: off-stage}, branch: {kind: off-stage}', '')}signals:\n"
        "  HF1:\n    carries: [fether]\n    gives: [danger]\n"
        "    plates: [semi]\n    mount: ground\n    blanked: [green]\n"
        "    shows: {danger: {red: lit, position-1: lit}}\n"
        "    routes: [{to: main, turns: left, indicator: position-4, speed: 40 mph}]\n"
    )
    assert full(plan, rule="unidentified-form") == full(plan)[:3]
    assert {line for line in full(plan) if " at signals/" in line} == {"unidentified-form (note) at signals/HF1/shows:"}


def test_all_that_no_route_lights_is_one_note() -> None:
    """At the first of them, with the others beside it."""
    plan = routes(MAIN, left("branch", "position-1"), carries="position-1, position-4, position-5, alphanumeric")
    assert full(plan, rule="unlit-indicator") == [
        "unlit-indicator (note) at signals/HF3/carries/1",
        "HF3 carries position-4, position-5 and alphanumeric, which no route lights",
        "tip say which route lights it, or leave it off",
        "beside signals/HF3/carries/2: ",
        "beside signals/HF3/carries/3: ",
    ]


def test_circles_are_told_in_their_order() -> None:
    """From the first in the plan, with each step beside it; alone there is no way."""
    repeaters = ("HF1R: HF2R", "HF2R: HF3R", "HF3R: HF1R", "HF4R: HF4R")
    plan = book(*(f"{one.partition(': ')[0]}: {{form: banner-repeater, repeats: {one[6:]}}}" for one in repeaters))
    assert full(plan, rule="repeats-itself") == [
        "repeats-itself at signals/HF1R/repeats",
        "HF1R repeats itself by way of HF2R and HF3R",
        "tip name the signal ahead that it tells of",
        "beside signals/HF2R/repeats: and on",
        "beside signals/HF3R/repeats: and on",
        "repeats-itself at signals/HF4R/repeats",
        "HF4R repeats itself",
        "tip name the signal ahead that it tells of",
    ]
    assert full(book("HF1: {like: HF2}", "HF2: {like: HF3}", "HF3: {like: HF1}"), rule="like-in-circle") == [
        "like-in-circle at signals/HF1/like",
        "HF1 is like HF2, which is like HF3, which is like HF1",
        "tip let one of them say its own",
        "beside signals/HF2/like: and on",
        "beside signals/HF3/like: and on",
    ]


def test_a_name_for_two_things_is_told_at_the_end() -> None:
    """The signal stands beside it."""
    plan = f"{HEAD}signals:\n  HF1: {{form: three-aspect}}\nends: {{HF1: {{kind: off-stage}}}}\n"
    assert full(plan, rule="name-used-twice") == [
        "name-used-twice at ends/HF1:",
        "HF1 is the name of an end and of a signal, so that a route to it could lead to either",
        "tip give the end another name",
        "beside signals/HF1:: the signal",
    ]


def test_a_route_between_signals_that_are_not_there_is_told_by_the_signal() -> None:
    """A conflict names it, and there are no routes at all to be meant instead."""
    plan = book("HF1: {form: three-aspect}") + "conflicts: {HF1 to HF9: [HF1 to main]}\n"
    plan += "ends: {main: {kind: off-stage}}\n"
    assert full(plan, rule="dead-reference") == [
        "dead-reference at conflicts/HF1 to HF9:",
        "a conflict names HF9, which is no signal or end of this plan",
        "tip did you mean HF1?",
        "dead-reference at conflicts/HF1 to HF9/0",
        "a conflict names HF1 to main, which is no route of this plan",
        "tip there are no routes",
    ]


def test_a_character_that_another_signal_lent_is_told_there() -> None:
    """Nor is an indicator beside a red told anywhere but at its display."""
    plan = book("HF1: {form: three-aspect, carries: {alphanumeric: {²: A.1}}}", "HF2: {like: HF1}")
    assert full(plan, rule="unshowable-character")[:2] == [
        "unshowable-character (note) at signals/HF1/carries/alphanumeric/²",
        "HF1 is to show ² in its alphanumeric indicator, which has no ²",
    ]
    lit = signal(
        "three-aspect", "danger: {red: lit, position-1: lit}, caution: {yellow: lit, position-1: lit}, clear: green"
    )
    assert full(lit, rule="indicator-with-wrong-aspect") == [
        "indicator-with-wrong-aspect at signals/HF1/shows/danger/position-1",
        "HF1 lights position-1 with danger, and must keep it dark then",
        "tip it may be lit with caution, clear and flashing-caution",
        "beside signals/HF1/shows/danger:: this aspect",
        "beside indicators/junction/stands-with: when it may be lit",
    ]


BOTH = "for a three-aspect signal: the first lamp is white, not green and the second lamp is white, not yellow"
COLUMN = "tip from the top: green, yellow, red"


@pytest.mark.parametrize(
    ("form", "lamps", "found"),
    [
        (
            "three-aspect",
            "[red]",
            ["missing-lamp at signals/HF1/lamps:", "HF1 is built without its green and its yellow", COLUMN],
        ),
        (
            "three-aspect",
            "[green, yellow, red, white, lunar]",
            [
                "surplus-lamp at signals/HF1/lamps/3",
                "HF1 is built with 2 lamps more than a three-aspect signal has: the fourth, white and the fifth, lunar",
                COLUMN,
            ],
        ),
        (
            "three-aspect",
            "[white, white, red]",
            [
                "wrong-lamp-colour at signals/HF1/lamps/0",
                f"HF1 has lamps of the wrong colour {BOTH}",
                COLUMN,
            ],
        ),
        (
            "two-aspect-stop-with-position-light",
            "{main.red: A.1, subsidiary.upper: A.2}",
            [
                "missing-lamp at signals/HF1/lamps:",
                "HF1 is built without its green and its lower",
                "tip its lamps are green, red, upper (white) and lower (white)",
            ],
        ),
        (
            "searchlight",
            "{lens: {red: A.1, green: A.2}}",
            [
                "missing-lamp at signals/HF1/lamps:",
                "HF1 is built without yellow in its lens",
                "tip its lamps are lens (red, yellow or green)",
            ],
        ),
    ],
)
def test_lamps_are_told_by_place_or_name_with_all_the_form_has(form: str, lamps: str, found: list[str]) -> None:
    """A column is told from the top, other lamps by name with their colours; the first that is wrong is pointed at."""
    first = {"[red]": "green", "[white, white, red]": "green"}.get(lamps)
    told = full(f"{HEAD}signals:\n  HF1: {{form: {form}, lamps: {lamps}}}\n", rule=found[0].partition(" ")[0])
    assert told[:3] == found
    assert not first or told[-1] == f"beside forms/three-aspect/lamps/{first}:: this lamp"


def test_lamps_of_no_form_are_told_the_nearest() -> None:
    """What differs is said, and the form is beside it."""
    assert full(book("HF3: {lamps: [green, white]}")) == [
        "unidentified-form at signals/HF3/lamps:",
        "HF3 has the lamps of no form of gb-colour-light; nearest is two-aspect-stop",
        "because it has green, red; built are green, white",
        "tip say `form: two-aspect-stop` to have the lamps compared with it",
        "beside forms/two-aspect-stop:: a two-aspect stop signal",
    ]


def test_lamps_that_nothing_lights_are_all_named() -> None:
    """Four lamps, of which a signal that gives two aspects needs two."""
    assert full(book("HF1: {form: four-aspect, gives: [danger, clear]}"), rule="unused-lamp") == [
        "unused-lamp (warning) at signals/HF1/gives:",
        "HF1 lights upper-yellow and lower-yellow for no aspect",
        "tip say `blanked: [upper-yellow, lower-yellow]` if the places are plated over, or use a form without them",
        "beside forms/four-aspect/lamps/upper-yellow:: never lit",
    ]


def test_a_mount_is_told_by_the_form_that_stands_so() -> None:
    """A form that says how it stands is contradicted; one that does not has a twin that does."""
    assert full(book("HF1: {form: three-aspect, mount: ground}")) == [
        "mount-against-form at signals/HF1/mount",
        "HF1 is mounted ground, and ground-mounted-three-aspect is the form for that",
        "tip write `form: ground-mounted-three-aspect`",
        "beside signals/HF1/form: as in use in 1978",
        "beside forms/ground-mounted-three-aspect/mount: how that form stands",
    ]
    assert full(book("HF3: {form: ground-mounted-three-aspect, mount: post}"))[2] == (
        "tip write `mount: ground`, or leave it out"
    )


def test_a_signal_put_up_in_the_year_of_the_plan_is_none_of_the_next() -> None:
    """The year itself is not too late."""
    plan = book("HF7: {form: three-aspect, installed: 1978}", "HF9: {form: three-aspect, installed: 1979}")
    assert full(plan) == [
        "fitted-after-plan-year at signals/HF9/installed",
        "HF9 was put up in 1979, and the plan is set in 1978",
        "tip give the year it was put up, 1978 at the latest",
        "beside year: the plan's year",
    ]


@pytest.mark.parametrize(
    ("form", "lamps", "tip"),
    [
        (
            "three-aspect",
            "[yellow, green, red]",
            "tip exchange the first (yellow) and the second (green); from the top: green, yellow, red",
        ),
        (
            "three-aspect",
            "[red, yellow, green]",
            "tip exchange the first (red) and the third (green); from the top: green, yellow, red",
        ),
        ("three-aspect", "[yellow, red, green]", COLUMN),
    ],
)
def test_lamps_in_a_wrong_order_are_told_what_to_exchange(form: str, lamps: str, tip: str) -> None:
    """Two that are exchanged are named by place and colour; of more than two only the right order is told."""
    assert tip in full(book(f"HF1: {{form: {form}, lamps: {lamps}}}"), rule="wrong-lamp-order")


def test_a_plate_is_told_where_it_stands() -> None:
    """In a list by its number; one the form does not have is told with those it has."""
    plan = book("HF5: {form: three-aspect, plates: [semi, br]}", "HF7: {form: three-aspect, plates: semii}")
    assert [line for line in full(plan, rule="unknown-plate") if not line.startswith("beside")] == [
        "unknown-plate at signals/HF5/plates/1",
        "HF5 has the plate br, which its form does not have",
        "tip the plates of a three-aspect signal are controlled, automatic, semi, intermediate-block and ca",
        "unknown-plate at signals/HF7/plates",
        "HF7 has the plate semii, which gb-colour-light does not have",
        "tip did you mean semi?",
    ]
