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
        "beside indicators/junction/needed: when one is needed",
    ]


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
