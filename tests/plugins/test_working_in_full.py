"""What findings on routes, track and lengths say in full, where a plan holds more than what is wrong.

Lengths are those of the rulebook; their sources stand beside its figures and in tests/standards/test_gb_distances.py.
"""

from __future__ import annotations

import pytest

from full_findings import full

GB = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"
LYING = "{101: {in: AB}, 102: {in: AB}, 103: {in: AB}, 104: {in: AB}, 105: {in: AC}, 106: {}}"


def over(sections: str, points: str) -> str:
    """Return a plan of one route, with points in two sections."""
    route = f"{{to: HF5, over: [{sections}], points: {{{points}}}}}"
    plan = f"plan: 1\nsections: {{AA: {{}}, AB: {{}}, AC: {{}}}}\npoints: {LYING}\n"
    return f"{plan}signals:\n  HF3: {{routes: [{route}]}}\n  HF5: {{}}\n"


def test_a_section_with_points_that_a_route_does_not_call() -> None:
    """Four lie in it and three are shown; one of them would do, and a route that calls none has not said any."""
    assert full(over("AA, AB, AC", "105: normal"), rule="points-off-section") == [
        "points-off-section (warning) at signals/HF3/routes/0/points",
        "route HF3 to HF5 runs over AB and says nothing of the points in it: 101, 102, 103 and 104",
        "tip say how they must lie for it",
        "beside points/101/in: here they lie",
        "beside points/102/in: here they lie",
        "beside points/103/in: here they lie",
    ]
    assert full(over("AA, AB, AC", "105: normal, 104: normal"), rule="points-off-section") == []
    assert full(over("AA, AB", ""), rule="points-off-section") == []


def test_points_whose_section_a_route_leaves_out() -> None:
    """The section is put behind the others, for where it lies is not known."""
    assert full(over("AA, AB", "105: normal, 101: normal"), rule="points-off-section") == [
        "points-off-section (warning) at signals/HF3/routes/0/over",
        "route HF3 to HF5 runs over points 105 and not over AC, in which they lie",
        "tip over: [AA, AB, AC], in running order",
        "beside points/105/in: here they lie",
    ]


def test_all_that_no_route_uses_is_one_finding_of_each_kind() -> None:
    """What releases or locks a signal is used; three are shown beside the first. No points are, where none are said."""
    plan = (
        "plan: 1\nends: {east: {kind: off-stage}}\npoints: {101: {}, 102: {}, 103: {}, 104: {}, 105: {}, 106: {}}\n"
        "sections: {AA: {}, AB: {}, AC: {}, AD: {}, AE: {}, AF: {}, AG: {}, AH: {}}\n"
        "signals:\n  HF1:\n    routes: [{to: HF3, over: AA, points: {101: normal}, "
        "release: {from: red, occupied: AB}, locks: {sections: AC}}]\n  HF3: {routes: [{to: east, over: [AA]}]}\n"
    )
    tip = "tip let the routes that run there name them, or take them out"
    sections = [
        "unused-track (warning) at sections/AD:",
        "no route runs over AD, AE, AF, AG and AH",
        tip,
        *(f"beside sections/{name}:: nor this" for name in ("AE", "AF", "AG")),
    ]
    points = [
        "unused-track (warning) at points/102:",
        "no route calls points 102, 103, 104, 105 and 106",
        tip,
        *(f"beside points/{name}:: nor this" for name in ("103", "104", "105")),
    ]
    assert full(plan) == [*sections, *points]
    assert full(plan.replace("points: {101: normal}, ", "")) == sections


def test_what_is_passed_tells_of_another_signal() -> None:
    """A distant gives no caution then, a repeater tells wrongly; both are told, and a right one between them is not."""
    plan = (
        f"{GB}ends: {{main: {{kind: off-stage}}}}\nsignals:\n"
        "  HF1: {form: three-aspect, from: off-stage, routes: [{to: HF5, passes: [HF5R, HF3R, HF7R]}]}\n"
        "  HF5R: {form: banner-repeater, repeats: HF5}\n"
        "  HF3R: {form: two-aspect-distant, repeats: HF3}\n  HF7R: {form: banner-repeater, repeats: HF7}\n"
        + "".join(f"  HF{number}: {{form: three-aspect, routes: [{{to: main}}]}}\n" for number in (3, 5, 7))
    )
    assert full(plan, rule="unwarned-stop") == [
        "unwarned-stop at signals/HF1/routes/0/passes/1",
        "HF5 is reached with no caution before it on route HF1 to HF5: HF3R on the way tells of HF3",
        "tip repeats: HF5",
        "beside signals/HF3R/repeats: tells of another",
        "beside signals/HF3R/form: this form",
        "unwarned-stop at signals/HF1/routes/0/passes/2",
        "HF5 is told of wrongly on route HF1 to HF5: HF7R on the way tells of HF7",
        "tip repeats: HF5",
        "beside signals/HF7R/repeats: tells of another",
        "beside signals/HF7R/form: this form",
    ]


@pytest.mark.parametrize(
    ("routes", "ways"),
    [
        ("{to: HF3, turns: left}", "straight"),
        ("{to: HF3, turns: straight}", "left or right"),
        ("{to: HF3}", ""),
        ("{to: HF3, turns: straight}, {to: HF5, turns: left, indicator: position-1}", ""),
        ("{to: HF3, turns: straight}, {to: HF5}", ""),
    ],
)
def test_a_splitting_distant_is_told_the_way_that_is_missing(routes: str, ways: str) -> None:
    """Only where every route says how it turns, and all turn alike."""
    plan = (
        f"{GB}signals:\n  HF1D: {{form: splitting-distant, from: off-stage, repeats: HF1}}\n"
        f"  HF1: {{form: three-aspect, from: off-stage, routes: [{routes}]}}\n"
        "  HF3: {form: three-aspect}\n  HF5: {form: three-aspect}\n"
    )
    found = [
        "splitting-without-junction (warning) at signals/HF1D/form",
        f"HF1D splits, and no route of HF1 goes {ways}",
        "tip a distant with one head, or the route that is missing",
        "beside signals/HF1:: the signal ahead",
    ]
    assert full(plan, rule="splitting-without-junction") == (found if ways else [])


@pytest.mark.parametrize(
    ("kind", "because"),
    [("buffer-stop", "the line ends at west"), ("unsignalled", "signalling ends at west")],
)
def test_aspects_that_can_never_be_are_told_with_what_lies_ahead(kind: str, because: str) -> None:
    """Where the plan shows them itself, those lines stand beside it; lamps for nothing else are named."""
    shows = "danger: red, caution: lower-yellow, preliminary-caution: [upper-yellow, lower-yellow], clear: green"
    plan = f"{GB}ends: {{west: {{kind: {kind}}}}}\nsignals:\n"
    plan += f"  HF1: {{form: four-aspect, from: off-stage, shows: {{{shows}}}, routes: [{{to: west}}]}}\n"
    assert full(plan, rule="idle-aspect") == [
        "idle-aspect (note) at signals/HF1/form",
        "HF1 never shows preliminary-caution and clear, so its upper-yellow and green are never lit",
        f"because ahead of HF1, {because}",
        "tip two-aspect-red-yellow is the smallest form that can say all HF1 is asked: danger, caution",
        "beside signals/HF1/shows/preliminary-caution:: never shown",
        "beside signals/HF1/shows/clear:: never shown",
    ]


def test_a_signal_ahead_is_told_by_what_it_can_show() -> None:
    """It stands before the buffers, and so never clears; of four lamps one is for nothing."""
    plan = f"{GB}ends: {{west: {{kind: buffer-stop}}}}\nsignals:\n"
    plan += "  HF1: {form: four-aspect, from: off-stage, routes: [{to: HF3}]}\n"
    plan += "  HF3: {form: three-aspect, routes: [{to: west}]}\n"
    assert full(plan, rule="idle-aspect")[:4] == [
        "idle-aspect (note) at signals/HF1/form",
        "HF1 never shows clear, so its green is never lit",
        "because ahead of HF1, HF3 shows danger or caution",
        "tip `blanked: [green]` leaves this place empty",
    ]


@pytest.mark.parametrize(
    ("distance", "found"),
    [
        ("5 cm", ["only 15 m (5.0 cm on the layout)", "too near", "at least 180 m (59.1 cm on the layout)"]),
        ("70 cm", []),
        ("5 m", ["as far as 1,524 m (5.00 m on the layout)", "too far", "at most 800 m (2.62 m on the layout)"]),
    ],
)
def test_a_junction_signal_is_told_how_far_its_points_may_be(distance: str, found: list[str]) -> None:
    """At a quarter of the length to scale, 1:76.2."""
    routes = (
        "{to: main, points: {101: normal}, turns: straight, speed: 60 mph}",
        f"{{to: branch, points: {{101: reverse}}, turns: left, speed: 55 mph, to-points: {distance}}}",
    )
    plan = f"{GB}scale: OO\ncompression: 4\nends: {{main: {{kind: off-stage}}, branch: {{kind: off-stage}}}}\n"
    plan += f"signals:\n  HF3: {{form: three-aspect, routes: [{', '.join(routes)}]}}\n"
    told = full(plan, rule="misplaced-junction-signal")
    if found:
        assert told == [
            "misplaced-junction-signal (warning) at signals/HF3/routes/1/to-points",
            f"HF3 stands {found[0]} before the points to branch, which is {found[1]}",
            f"tip {found[2]}",
            "beside signals/HF3:: the junction signal",
            "beside parameters/junction-signal-to-points: the rulebook's figure",
        ]
    else:
        assert told == []


@pytest.mark.parametrize(
    ("overlap", "place", "real", "model"),
    [
        ("{length: 10 cm}", "", "30 m", "0.10 m"),
        ("{length: real 40 yd}", "", "37 m", "0.12 m"),
        ("{length: 10 cm, kind: reduced}", "", "", ""),
        ("[{length: 10 cm, kind: reduced}, {length: 10 cm}]", "/1", "30 m", "0.10 m"),
    ],
)
def test_a_short_overlap_is_told_what_is_full_and_how_to_say_it(
    overlap: str, place: str, real: str, model: str
) -> None:
    """Of several each is compared, and one that says it is reduced is none of them."""
    plan = f"{GB}scale: OO\ncompression: 4\nsections: {{AA: {{length: 2.5 m}}}}\nsignals:\n"
    plan += f"  HF1: {{form: three-aspect, routes: [{{to: HF3, over: AA, overlap: {overlap}}}]}}\n"
    asked = "180 m (0.59 m on the layout)"
    found = [
        f"short-overlap (warning) at signals/HF1/routes/0/overlap{place}",
        f"the overlap beyond HF3 is {real} ({model} on the layout), and a full one is {asked}",
        f"tip {asked}; or say that it is shorter: `{{length: {model}, kind: reduced}}`",
        "beside parameters/overlap: the rulebook's figure",
    ]
    assert full(f"{plan}  HF3: {{form: three-aspect}}\n", rule="short-overlap") == (found if real else [])


def turning(before: str, straight: str, turn: str, more: str = "") -> str:
    """Return a plan of a junction: what is before its signal, beside the turn, and the turn itself."""
    sections = "AA: {line: main}, AB: {line: main}, AC: {line: main}, AD: {}, AE: {line: slow}"
    return (
        f"{GB}lines: {{main: {{speed: 75 mph}}, slow: {{speed: 35 mph}}}}\nsections: {{{sections}}}\nsignals:\n"
        f"  HF1: {{form: three-aspect, from: off-stage, routes: [{{to: HF3, over: [{before}], turns: straight}}]}}\n"
        f"  HF3:\n    form: three-aspect\n    routes:\n      - {{to: HF5, over: [{straight}], turns: straight}}\n"
        f"      - {{to: HF7, over: [AD], turns: left, indicator: position-1, speed: {turn}}}\n"
        f"  HF5: {{form: three-aspect}}\n  HF7: {{form: three-aspect}}\n{more}"
    )


SPLITTING = "  HF3D: {form: splitting-distant, from: off-stage, repeats: HF3}\n"


@pytest.mark.parametrize(
    ("plan", "speed", "section"),
    [
        (turning("AA, AB", "AC", "25 mph"), "75 mph", "AB"),
        (turning("AE", "AC", "25 mph"), "", ""),
        (turning("AD", "AC", "25 mph"), "75 mph", "AD"),
        (turning("AD", "AD", "25 mph"), "", ""),
        (turning("AE", "AC", "25 mph", "  HF9: {form: three-aspect, routes: [{to: HF3, over: AB}]}\n"), "75 mph", "AE"),
        (turning("AA, AB", "AC", "25 mph", "parameters: {release-speed-drop: 50 mph}\n"), "", ""),
        (turning("AA, AB", "AC", "25 mph", SPLITTING), "", ""),
    ],
)
def test_a_turn_is_sudden_by_the_fastest_way_to_it(plan: str, speed: str, section: str) -> None:
    """Lines before it count; where none is known, that of the straight route; a drop of just the figure will do.

    What a splitting distant tells in advance is not sudden.
    """
    told = full(plan, rule="sudden-turn")
    assert told[1:] == (
        [
            f"HF3 clears at once for route HF3 to HF7 at 25 mph, where trains come at {speed}",
            "because a drop of more than 10 mph is not left to the last moment",
            f"tip release: {{from: red, occupied: {section}}}",
            "beside parameters/release-speed-drop: the rulebook's figure",
        ]
        if speed
        else []
    )


@pytest.mark.parametrize(
    ("year", "routes", "more"),
    [
        ("1978", "{to: HF3}", "searchlight, four-aspect and three-aspect-with-position-light"),
        (
            "1978",
            "{to: HF3, turns: straight}, {to: HF5, turns: left}",
            "searchlight, four-aspect and three-aspect-with-position-light; with junction for the route to HF5",
        ),
        ("1924", "{to: HF3}", "three-aspect-splitting"),
    ],
)
def test_a_form_is_proposed_with_others_of_its_year_and_what_it_must_carry(year: str, routes: str, more: str) -> None:
    """Once: not for one that is like it, nor for a dummy."""
    plan = f"{GB.replace('1978', year)}signals:\n  HF1: {{from: off-stage, routes: [{routes}]}}\n"
    plan += "  HF3: {form: three-aspect}\n  HF5: {form: three-aspect}\n"
    plan += "  HF7: {like: HF1}\n  HF9: {stage: dummy, routes: [{to: HF3}]}\n"
    assert full(plan, rule="form-not-said") == [
        "form-not-said (note) at signals/HF1:",
        "HF1 says no form; three-aspect can say all it is asked: danger, caution, clear",
        "because route HF1 to HF3 may be set while HF3 stands at danger",
        f"tip also {more}",
    ]


def test_a_conflict_that_is_left_out_or_stands_in_one_row() -> None:
    """The row that is there is pointed at, and the other route is told to be put into it."""
    plan = "plan: 1\nsignals:\n" + "".join(
        f"  {begin}: {{routes: [{{to: {end}, over: [{over}]}}]}}\n  {end}: {{}}\n"
        for begin, end, over in (("HF2", "HF4", "AA, AB"), ("HF3", "HF5", "AB, AC"), ("HF7", "HF9", "AC, AD"))
    )
    assert full(f"{plan}conflicts:\n  HF3 to HF5: [HF7 to HF9]\n  HF7 to HF9: [HF3 to HF5]\n") == [
        "missing-conflict at conflicts/HF3 to HF5:",
        "route HF2 to HF4 and route HF3 to HF5 exclude each other, and the table of conflicts does not say so",
        "because both run over AB",
        "tip HF3 to HF5: [..., HF2 to HF4]",
        "beside signals/HF3/routes/0/to: this route",
        "beside signals/HF2/routes/0/to: and this one",
    ]
    assert full(f"{plan}conflicts:\n  HF2 to HF4: [HF3 to HF5]\n  HF3 to HF5: [HF2 to HF4, HF7 to HF9]\n") == [
        "one-sided-conflict at conflicts/HF3 to HF5/1",
        "the row of HF3 to HF5 has HF7 to HF9, and not the other way about",
        "because both run over AC",
        "tip HF7 to HF9: [..., HF3 to HF5]",
        "beside signals/HF7/routes/0/to: ",
    ]


def test_ends_that_nothing_leads_to_are_one_note() -> None:
    """Five of six, three beside the first."""
    ends = ", ".join(f"e{number}: {{kind: off-stage}}" for number in range(1, 7))
    assert full(f"{GB}ends: {{{ends}}}\nsignals:\n  HF1: {{form: three-aspect, routes: [{{to: e1}}]}}\n") == [
        "unused-end (note) at ends/e2:",
        "no route leads to e2, e3, e4, e5 and e6, and no train comes from there",
        "tip a route that leads there, `from` of the signal that trains come to, or take it out",
        *(f"beside ends/e{number}:: nor this" for number in (3, 4, 5)),
    ]


def test_a_headway_is_that_of_the_worst_place_of_its_line() -> None:
    """The second stretch is the longer; the other line asks for less than it has."""
    lines = "{main: {speed: 60 mph, headway: 80 s}, slow: {speed: 60 mph, headway: 20 min}}"
    lengths = {"AA": "3 m", "AB": "3.1 m", "AD": "6 m"}
    sections = ", ".join(f"{name}: {{line: main, length: {length}}}" for name, length in lengths.items())
    plan = (
        f"{GB}scale: OO\ncompression: 4\nlines: {lines}\nsections: {{{sections}}}\nsignals:\n"
        "  HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}\n"
        "  HF3: {form: three-aspect, routes: [{to: HF5, over: [AB]}]}\n"
        "  HF5: {form: three-aspect, routes: [{to: HF7, over: [AD]}]}\n  HF7: {form: three-aspect}\n"
    )
    assert full(plan, rule="headway-not-kept") == [
        "headway-not-kept (warning) at lines/main/headway",
        "trains on main can follow each other after 118 s at the soonest: so long it takes from HF3 to HF7",
        "because HF3 is clear only once the train before is clear of HF7, 2,774 m (9.10 m on the layout) on",
        "tip more signals on that way, heads with more aspects, or a longer headway",
        "beside sections/AB/length: ",
        "beside sections/AD/length: ",
    ]
