"""Checks of distances in the hard cases, and what they rest on against an independent reckoning."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

import fixture_books
from command_line import call
from lampwright.findings import Level
from lampwright.layout import Settings
from lampwright.project import Run
from lampwright_working.braking import Follow, measured_distance, spacing, stopping_distance
from lampwright_working.cautions import approaches
from lampwright_working.dating import Dating
from lampwright_working.lateness import too_late
from lampwright_working.printing.distance_tables import tables
from lampwright_working.stretches import gradient
from support import findings_of, library, line_of, new_library, result_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright.project import Result

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"
FULL_SIZE = f"{HEAD}scale: 1:1\ncompression: 1\nlines: {{main: {{speed: 100 km/h}}}}\n"
"""Lengths stand for themselves; from 100 km/h a train needs 771.6 m at 0.5 m/s2, and 482.3 m at 0.8 m/s2."""
POSITIVE = st.fractions(min_value=Fraction(1, 100), max_value=1000)


def of(rule: str, text: str) -> list[Finding]:
    """Return the findings of one rule."""
    return [finding for finding in findings_of(text) if finding.rule == rule]


def layout_of(text: str, beside: Mapping[str, str] | None = None) -> Layout:
    """Return the layout of a plan; no check runs."""
    run = Run(new_library() if beside else library(), [], Settings())
    sources = {"plan.yaml": text, **(beside or {})}.items()
    return run.over([(name, content.encode()) for name, content in sources]).layouts[0]


def skipped(result: Result, rule: str) -> list[str]:
    """Return why a check did not look at a plan at all."""
    return [skip.reason for skip in result.skips if skip.check == rule and not skip.path]


# ---- the arithmetic


@given(POSITIVE, POSITIVE, POSITIVE)
def test_stopping_takes_longer_from_a_higher_speed_and_at_a_lower_rate(
    speed: Fraction, more: Fraction, rate: Fraction
) -> None:
    """And twice the speed takes four times the distance."""
    once = stopping_distance(speed, rate)
    faster, softer = stopping_distance(speed + more, rate), stopping_distance(speed, rate / (1 + more))
    assert once is not None
    assert faster is not None
    assert softer is not None
    assert faster > once
    assert softer > once
    assert stopping_distance(2 * speed, rate) == 4 * once


@given(POSITIVE, st.fractions(min_value=Fraction(-1, 25), max_value=Fraction(1, 25)))
def test_a_falling_gradient_takes_longer(speed: Fraction, slope: Fraction) -> None:
    """A rising one less; the speed is lost to the brakes and to the slope together."""
    level, here = stopping_distance(speed, Fraction("0.5")), stopping_distance(speed, Fraction("0.5"), slope)
    assert level is not None
    assert here is not None
    assert (here > level) == (slope < 0)
    assert 2 * here * (Fraction("0.5") + Fraction("9.80665") * slope) == speed * speed


def test_brakes_that_a_slope_beats_stop_nobody() -> None:
    """One in ten pulls with more than 0.5 m/s2."""
    assert stopping_distance(Fraction(10), Fraction("0.5"), gradient("-1 in 10")) is None


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("1 in 100", Fraction(1, 100)),
        ("-1 in 200", Fraction(-1, 200)),
        ("8 per mille", Fraction(8, 1000)),
        ("-0.5 %", Fraction(-1, 200)),
        ("", 0),
        ("steep", 0),
        ("1 in 0", 0),
    ],
)
def test_gradients(written: str, expected: Fraction) -> None:
    """As they are written in plans; falling ones are negative."""
    assert gradient(written) == expected


@given(st.dictionaries(POSITIVE, POSITIVE, min_size=1, max_size=4), POSITIVE, POSITIVE)
def test_measured_distances_are_met_and_grow_between(
    measured: dict[Fraction, Fraction], speed: Fraction, more: Fraction
) -> None:
    """What was measured comes back; in between and beyond a higher speed never takes less, if it never was less."""
    rising = dict(zip(sorted(measured), sorted(measured.values()), strict=True))
    for known, metres in rising.items():
        assert measured_distance(rising, known) == metres
    assert measured_distance(rising, speed + more) >= measured_distance(rising, speed)
    fastest = max(rising)
    assert measured_distance(rising, 2 * fastest) == 4 * rising[fastest]


@given(POSITIVE, POSITIVE, POSITIVE, POSITIVE, POSITIVE)
def test_time_and_spacing_are_each_others_inverse(
    speed: Fraction, sighting: Fraction, overlap: Fraction, train: Fraction, time: Fraction
) -> None:
    """The room that a headway leaves takes exactly that headway."""
    between = Follow(speed, sighting, overlap, train)
    assert between.time(between.spacing(time)) == time


@given(POSITIVE, POSITIVE, POSITIVE, POSITIVE)
def test_allowed_spacing_keeps_both_ends(braking: Fraction, low: Fraction, more: Fraction, room: Fraction) -> None:
    """Enough to stop, not so much that nobody brakes, and close enough to follow."""
    span = spacing(braking, low, low + more, room, Fraction(3))
    for distance in (braking * low, braking * (low + more), room / 3):
        wanted = braking * low <= distance <= min(braking * (low + more), room / 3)
        assert span.holds(distance) is wanted
    assert span.possible == (braking * low <= room / 3)


# ---- the first caution, against the map of gb.md 5.1 written out again


SHOWS = {
    "three-aspect": {"R": "Y", "Y": "G", "YY": "G", "G": "G"},
    "four-aspect": {"R": "Y", "Y": "YY", "YY": "G", "G": "G"},
    "two-aspect-red-yellow": {"R": "Y", "Y": "Y", "YY": "Y", "G": "Y"},
    "two-aspect-stop": {"R": "G", "Y": "G", "YY": "G", "G": "G"},
}
"""This signal by the next. Sources: RS521/S7 cards (three aspects), SREMG (four aspects), the others memory."""
NEEDED = 500
"""Centimetres in which the one train of these plans stops."""
STOCK = st.lists(
    st.tuples(st.sampled_from(sorted(SHOWS)), st.integers(min_value=50, max_value=900)), min_size=2, max_size=6
)


def reckoned(stock: list[tuple[str, int]]) -> dict[tuple[str, str], bool]:
    """Return for each first caution and its red whether it comes too late, as far as a signal before is still clear.

    A two-aspect signal has a distant halfway beyond it.
    """
    found = {}
    for red in range(1, len(stock)):
        ahead, distance, first = "R", Fraction(0), ""
        for here in range(red - 1, -1, -1):
            form, length = stock[here]
            if ahead == "R" and form == "two-aspect-stop":
                found[f"D{here}", f"S{red}"] = distance + Fraction(length, 2) < NEEDED
                break
            ahead = SHOWS[form][ahead]
            if ahead == "G":
                found[first, f"S{red}"] = distance < NEEDED
                break
            first, distance = f"S{here}", distance + length
    return found


def written(stock: list[tuple[str, int]], names: list[int] | None = None) -> str:
    """Return a plan of one line of such signals, in any order."""
    signals, sections = {}, []
    for number, (form, length) in enumerate(stock):
        sections.append(f"  A{number}: {{line: main, length: {length} cm}}\n")
        passes = f", passes: [D{number}]" if form == "two-aspect-stop" else ""
        route = f"routes: [{{to: S{number + 1}, over: [A{number}]{passes}}}]" if number < len(stock) - 1 else ""
        signals[number] = f"  S{number}: {{{', '.join(filter(None, (f'form: {form}', route)))}}}\n"
        if passes and route:
            half = f"{Fraction(length * 10, 2).limit_denominator()}" if length % 2 == 0 else f"{length * 10 // 2}"
            signals[number] += (
                f"  D{number}: {{form: two-aspect-distant, repeats: S{number + 1}, distance: {half} mm}}\n"
            )
    order = names or list(signals)
    lines = "lines: {main: {speed: 60 mph}}\ntrains: {express: {stops: {60 mph: 5 m}}}\n"
    return f"{HEAD}{lines}sections:\n{''.join(sections)}signals:\n{''.join(signals[number] for number in order)}"


@given(STOCK, st.randoms(use_true_random=False))
def test_first_cautions_are_those_of_the_map(stock: list[tuple[str, int]], random: object) -> None:
    """On any line of any heads, in any order of the file: which signal warns first, and whether that is too late."""
    stock = [(form, length - length % 2) for form, length in stock]
    order = list(range(len(stock)))
    random.shuffle(order)  # type: ignore[attr-defined]  # what hypothesis gives
    layout = layout_of(written(stock, order))
    late = {(one.approach.first.signal.name, one.approach.red) for found in too_late(layout).values() for one in found}
    told = {
        (way.first.signal.name, way.red): (way.first.signal.name, way.red) in late
        for way in approaches(layout)
        if way.clear is not None
    }
    assert told == reckoned(stock)


# ---- late cautions in hard cases


def four_aspects(*lengths: int) -> str:
    """Return a four-aspect line at full size with stretches of these lengths in metres."""
    sections = "".join(f"  A{number}: {{line: main, length: {length} m}}\n" for number, length in enumerate(lengths))
    signals = "".join(
        f"  S{number}: {{form: four-aspect, routes: [{{to: S{number + 1}, over: [A{number}]}}]}}\n"
        for number in range(len(lengths))
    )
    return f"{FULL_SIZE}sections:\n{sections}signals:\n{signals}  S{len(lengths)}: {{form: four-aspect}}\n"


def test_one_short_stretch_is_one_finding_at_its_length() -> None:
    """It makes two cautions late; the one line to change is its own, and the rest is counted."""
    result = result_of(four_aspects(500, 500, 10, 440, 500))
    assert [(finding.rule, finding.level) for finding in result.findings] == [("late-caution", Level.ERROR)]
    found = result.findings[0]
    assert (
        line_of(result, found)
        == four_aspects(500, 500, 10, 440, 500).splitlines().index("  A2: {line: main, length: 10 m}") + 1
    )
    assert "1 other red seen too late over it" in found.because


def test_what_only_one_source_allows_is_a_note_that_names_both() -> None:
    """500 m are enough at 0.8 m/s2, not at 0.5."""
    found = of("late-caution", four_aspects(500, 250, 250, 500))
    assert {finding.level for finding in found} == {Level.NOTE}
    assert "0.5 m/s2" in found[0].because
    assert "0.8 m/s2" in found[0].because
    assert len({citation.text for citation in found[0].citations}) == 3


def test_the_edge_of_the_layout_is_not_guessed_at() -> None:
    """What the signal before the first one shows, the plan does not say."""
    assert of("late-caution", four_aspects(10)) == []
    assert of("late-caution", four_aspects(10, 10)) == []


JUNCTION = f"""{FULL_SIZE}sections:
  AA: {{line: main, length: 800 m}}
  AB: {{line: main, length: 60 m}}
ends: {{a: {{kind: off-stage}}}}
signals:
  S1: {{form: three-aspect, routes: [{{to: S2, over: [AA]}}]}}
  S2:
    form: three-aspect
    routes:
      - {{to: a, turns: straight, over: [AA]}}
      - {{to: S3, turns: left, over: [AB], indicator: position-1, speed: 25 mph, release: {{from: red, occupied: AA}}}}
  S3: {{form: three-aspect}}
"""


def test_a_train_that_was_all_but_stopped_is_not_late() -> None:
    """Released from red, it comes at a crawl; without that, at the speed of its route."""
    assert of("late-caution", JUNCTION) == []
    free = JUNCTION.replace(", release: {from: red, occupied: AA}", "")
    assert ["from 40.2 km/h" in finding.message for finding in of("late-caution", free)] == [True]
    assert of("late-caution", free.replace("length: 60 m", "length: 130 m")) == []


DISTANT = f"""{FULL_SIZE}sections:
  AA: {{line: main, length: 300 m}}
  AB: {{line: main, length: 700 m}}
signals:
  S1: {{form: two-aspect-stop, routes: [{{to: S2, passes: [D], over: [AA, AB]}}]}}
  D: {{form: two-aspect-distant, repeats: S2, section: AA}}
  S2: {{form: two-aspect-stop}}
"""


def test_a_distant_stands_at_the_end_of_its_section_or_as_far_off_as_it_says() -> None:
    """700 m are too few; what is said counts; and where nothing is said nothing is compared."""
    assert "D shows the first caution only 700 m" in of("late-caution", DISTANT)[0].message
    assert of("late-caution", DISTANT.replace("section: AA", "distance: 780 m")) == []
    assert of("late-caution", DISTANT.replace(", section: AA", "")) == []


def test_a_distant_that_follows_all_signals_of_a_box_is_measured_to_the_last() -> None:
    """It stands at caution for the starting signal too, which is farther on: one finding, for the home signal."""
    plan = (
        DISTANT.replace("repeats: S2", "repeats: [S2, S3]")
        .replace(
            "S2: {form: two-aspect-stop}",
            "S2: {form: two-aspect-stop, routes: [{to: S3, over: [AC]}]}\n  S3: {form: two-aspect-stop}",
        )
        .replace("signals:", "  AC: {line: main, length: 200 m}\nsignals:")
    )
    found = {way.red: way.first.distance.stands for way in approaches(layout_of(plan))}
    assert found == {"S2": 700, "S3": 900}
    assert [finding.message.split(" before ")[1].split(",")[0] for finding in of("late-caution", plan)] == [
        "the red of S2"
    ]


def test_heads_with_a_position_light_warn_as_those_without() -> None:
    """The main part speaks."""
    plan = four_aspects(500, 500, 10, 440, 500)
    both = plan.replace("form: four-aspect", "form: four-aspect-with-position-light")
    assert [finding.message for finding in of("late-caution", both)] == [
        finding.message for finding in of("late-caution", plan)
    ]


def test_a_great_western_distant_below_a_stop_signal_warns() -> None:
    """The stop signal above it is green meanwhile."""
    plan = four_aspects(900, 300, 900).replace("four-aspect", "stop-over-distant")
    late = {(way.first.signal.name, way.red) for way in approaches(layout_of(plan))}
    assert late == {("S0", "S1"), ("S1", "S2"), ("S2", "S3")}
    assert ["S1 shows" in finding.message for finding in of("late-caution", plan)] == [True]


def test_a_red_in_another_file_is_a_red() -> None:
    """The stretch to it is this plan's to lengthen."""
    here = four_aspects(500, 500, 200).replace("to: S3", "to: north/S3").replace("  S3: {form: four-aspect}\n", "")
    north = f"{HEAD}signals:\n  S3: {{form: four-aspect}}\n"
    result = result_of(here, beside={"north.yaml": north})
    assert [finding.message.split(" only ")[0] for finding in result.findings if finding.rule == "late-caution"] == [
        "S1 shows the first caution"
    ]


# ---- the plan's own trains


OWN = f"""{HEAD}lines: {{main: {{speed: 60 mph, trains: {{freight: 30 mph}}}}}}
sections:
  AA: {{line: main, length: 3 m}}
  AB: {{line: main, length: 1.5 m}}
signals:
  S1: {{form: three-aspect, routes: [{{to: S2, over: [AA]}}]}}
  S2: {{form: three-aspect, routes: [{{to: S3, over: [AB]}}]}}
  S3: {{form: three-aspect}}
"""


@pytest.mark.parametrize(
    ("trains", "late"),
    [
        ("express: {stops: {60 mph: 1.4 m}}", ""),
        ("express: {stops: {60 mph: 1.6 m}}", "1.60 m to stop from 60 mph (express, measured)"),
        ("express: {stops: {30 mph: 50 cm}}", "2.00 m to stop from 60 mph (express, worked out from 30 mph)"),
        ("express: {stops: {30 mph: 30 cm}}", ""),
        ("express: {speed: 30 mph, stops: {30 mph: 50 cm, 60 mph: 9 m}}", ""),
        ("coal: {kind: freight, stops: {60 mph: 2 m}}", ""),
        ("coal: {kind: freight, stops: {30 mph: 1.7 m}}", "1.70 m to stop from 30 mph (coal, measured)"),
        ("express: {stops: {60 mph: 1.4 m}}, coal: {kind: freight, stops: {30 mph: 1.7 m}}", "coal, measured"),
    ],
)
def test_the_train_that_runs_farthest_counts(trains: str, late: str) -> None:
    """Each at the speed it may run; no scale is needed for that."""
    found = of("late-caution", f"{OWN}trains: {{{trains}}}\n")
    assert [late in finding.message for finding in found] == ([True] if late else [])


@pytest.mark.parametrize(
    ("rate", "late"), [("0.5 m/s2", True), ("4 m/s2", False), ("model 0.1 m/s2", False), ("model 0.01 m/s2", True)]
)
def test_a_rate_of_braking_serves_where_nothing_was_measured(rate: str, late: bool) -> None:  # noqa: FBT001
    """60 mph are 0.352 m/s in OO: 0.1 m/s2 stop that in 0.62 m, 0.5 m/s2 of the prototype in 9.44 m."""
    assert bool(of("late-caution", f"{OWN}scale: OO\ntrains: {{express: {{braking: {rate}}}}}\n")) is late


def test_a_falling_gradient_makes_a_caution_late() -> None:
    """One in fifty takes 40 percent of 0.5 m/s2 away."""
    plan = four_aspects(400, 400, 400, 400)
    assert findings_of(plan) == []
    steep = plan.replace("A1: {line: main,", "A1: {line: main, gradient: -1 in 50,")
    assert {finding.rule for finding in findings_of(steep)} == {"late-caution"}
    assert "on a gradient of -1.0 %" in of("late-caution", steep)[0].message


# ---- what is not said


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        (f"{HEAD}signals: {{S1: {{form: three-aspect}}}}\n", "no lengths given"),
        (OWN, "no scale given"),
        (f"{OWN}scale: OO\n", "neither compression nor stopping distances of trains given"),
        (
            f"{OWN.replace('rulebook: gb-colour-light', 'name: x')}scale: OO\n",
            "no rate of braking and no measured trains given",
        ),
    ],
)
def test_nothing_is_compared_with_what_is_not_said(text: str, reason: str) -> None:
    """And the summary says why."""
    result = result_of(text)
    assert result.findings == []
    assert skipped(result, "late-caution") == [reason]


def test_real_lengths_need_neither_scale_nor_compression() -> None:
    """The prototype's track, written down."""
    real = (
        four_aspects(500, 500, 10, 440, 500)
        .replace("length: ", "length: real ")
        .replace("scale: 1:1\ncompression: 1\n", "")
    )
    assert [finding.rule for finding in findings_of(real)] == ["late-caution"]


def test_an_ambiguous_scale_is_told_only_where_it_is_needed() -> None:
    """N is one thing in Britain; without a rulebook it is three, and no length can be compared."""
    alone = "plan: 1\nscale: N\nsections: {AA: {length: 1 m}}\n"
    assert [(finding.rule, finding.level) for finding in findings_of(alone)] == [("unknown-scale", Level.WARNING)]
    assert findings_of("plan: 1\nscale: N\n") == []
    assert findings_of(f"{HEAD}scale: N\nsections: {{AA: {{length: 1 m}}}}\n") == []


# ---- overlaps and junctions


def overlapping(said: str) -> str:
    """Return a plan with one overlap."""
    sections = "sections: {AA: {length: 900 m}, AB: {length: 100 m}, AC: {length: 90 m}, AD: {}}\n"
    route = f"{{to: S2, over: [AA], overlap: {said}}}"
    signals = f"signals:\n  S1: {{form: three-aspect, routes: [{route}]}}\n  S2: {{form: three-aspect}}\n"
    return f"{FULL_SIZE}{sections}{signals}"


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("AB", 1),
        ("[AB, AC]", 0),
        ("[AB, AD]", 0),
        ("{over: AB}", 1),
        ("{over: AB, length: 180 m}", 0),
        ("{over: AB, kind: full}", 1),
        ("{over: AB, kind: restricted}", 0),
        ("[{over: AB}, {over: AC}]", 2),
        ("{points: {1: normal}}", 0),
    ],
)
def test_overlaps_however_they_are_written(said: str, found: int) -> None:
    """Sections, a map, several maps; a length that is said counts, and one that is not known is not judged."""
    assert len(of("short-overlap", overlapping(said))) == found


@pytest.mark.parametrize(
    ("before", "within", "found"), [(900, 50, True), (300, 50, False), (10, 100, True), (10, 900, False)]
)
def test_points_in_a_section_are_somewhere_in_it(before: int, within: int, found: bool) -> None:  # noqa: FBT001
    """Only what is wrong wherever they lie is reported."""
    plan = (
        f"{FULL_SIZE}sections: {{AA: {{length: {before} m}}, AB: {{length: {within} m}}}}\npoints: {{1: {{in: AB}}}}\n"
        "ends: {a: {kind: off-stage}, b: {kind: off-stage}}\nsignals:\n  S1:\n    form: three-aspect\n    routes:\n"
        "      - {to: a, over: [AA, AB], turns: straight, points: {1: normal}, speed: 60 mph}\n"
        "      - {to: b, over: [AA, AB], turns: left, points: {1: reverse}, speed: 55 mph, indicator: position-1}\n"
    )
    assert bool(of("misplaced-junction-signal", plan)) is found


@pytest.mark.parametrize(("length", "found"), [(170, True), (190, False)])
def test_points_between_sections_are_at_the_end_of_the_one_before(length: int, found: bool) -> None:  # noqa: FBT001
    """The track tells it, and the sections and points of the routes too."""
    plan = (
        f"{FULL_SIZE}sections: {{AA: {{length: {length} m}}, AB: {{}}, AC: {{}}}}\n"
        "ends: {a: {kind: off-stage}, b: {kind: off-stage}, c: {kind: off-stage}}\ntrack:\n"
        "  A0: {next: [c, AA], signals: {S1: AA}}\n  AA: {next: [A0, 1]}\n  1: {toe: AA, normal: AB, reverse: AC}\n"
        "  AB: {next: [1, a]}\n  AC: {next: [1, b]}\nsignals:\n  S1:\n    form: three-aspect\n    routes:\n"
        "      - {to: a, turns: straight, speed: 60 mph}\n"
        "      - {to: b, turns: left, speed: 55 mph, indicator: position-1}\n"
    )
    assert len(of("misplaced-junction-signal", plan)) == int(found)


def test_trailing_points_are_not_asked_about() -> None:
    """No other route of the signal takes them the other way."""
    plan = (
        f"{FULL_SIZE}sections: {{AA: {{length: 10 m}}}}\npoints: {{1: {{in: AA}}}}\nends: {{a: {{kind: off-stage}}}}\n"
        "signals:\n  S1: {form: three-aspect, routes: [{to: a, over: [AA], points: {1: normal}}]}\n"
    )
    assert of("misplaced-junction-signal", plan) == []


# ---- whatever the plan


ODD = f"""{HEAD}scale: OO
compression: 4
lines: {{main: {{}}, other: {{speed: 0 mph}}}}
sections: {{AA: {{line: nowhere}}, AB: {{length: 0 m, line: main}}, AC: {{length: 1 m, line: [main, other]}}}}
ends: {{a: {{kind: off-stage}}}}
signals:
  S1: {{routes: [{{to: S1, over: [AB]}}, {{to: S2, over: [XX]}}, {{to: nothing}}]}}
  S2:
    form: four-aspect
    sighting: 0 m
    routes: [{{to: S3, over: [AC, AC], passes: [S9, D]}}, {{to: S2, over: [AC]}}]
  S3: {{form: nothing-like-it, routes: [{{to: S2, over: [AC], overlap: []}}]}}
  D: {{form: two-aspect-distant, section: AC}}
trains: {{none: {{}}, zero: {{stops: {{0 mph: 0 m}}}}, still: {{braking: 0 m/s2}}}}
parameters: {{overlap: soon, deceleration: 0 m/s2}}
"""


def test_odd_plans_do_not_stop_the_checks() -> None:
    """A check that raised would end this run."""
    assert findings_of(ODD)
    assert findings_of(ODD.replace("rulebook: gb-colour-light\n", "").replace("year: 1978\n", ""))


@pytest.mark.parametrize("name", fixture_books.NAMES)
def test_other_rulebooks_are_asked_what_they_know(name: str) -> None:
    """Their aspects warn by what they say; nothing of it is British, and nothing raises."""
    book = fixture_books.rulebook(name)
    forms = [form for form, record in book.forms.items() if "stop" in record.roles] or list(book.forms)
    sections = "".join(f"  A{number}: {{line: main, length: 1 m}}\n" for number in range(len(forms)))
    signals = "".join(
        f"  S{number}: {{form: {form}, routes: [{{to: S{number + 1}, over: [A{number}]}}]}}\n"
        for number, form in enumerate(forms)
    )
    plan = (
        f"plan: 1\nrulebook: {book.id}\nlines: {{main: {{speed: 100 km/h}}}}\nsections:\n{sections}signals:\n{signals}"
        f"  S{len(forms)}: {{form: {forms[0]}}}\ntrains: {{express: {{stops: {{100 km/h: 3 m}}}}}}\n"
    )
    text = (fixture_books.FOLDER / f"{name}.yaml").read_text(encoding="utf-8")
    layout = layout_of(plan, {"rulebook.yaml": text})
    assert layout.rulebook is not None
    for way in approaches(layout):
        assert way.warnings
    assert all(table.rows for table in tables(layout))
    assert Dating(layout).used


# ---- headways, and the command that shows it all


def test_the_worst_place_of_a_line_sets_its_headway() -> None:
    """Three stretches with four aspects: 1,500 m and 222 m of sighting and 180 m of overlap at 100 km/h are 68.5 s."""
    plan = four_aspects(500, 500, 500, 500)
    assert findings_of(plan.replace("speed: 100 km/h", "speed: 100 km/h, headway: 69 s")) == []
    slow = findings_of(plan.replace("speed: 100 km/h", "speed: 100 km/h, headway: 68 s"))
    assert [(finding.rule, finding.level) for finding in slow] == [("headway-not-kept", Level.WARNING)]
    longer = plan.replace("100 km/h", "100 km/h, headway: 69 s") + "trains: {long: {length: 400 m}}\n"
    assert "83 s" in findings_of(longer)[0].message


def shown(folder: Path, text: str, *more: str) -> str:
    """Return what ``lampwright distances`` prints."""
    file = folder / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    done = call("distances", file, *more)
    assert (done.code, done.err) == (0, "")
    return done.out


def test_distances_are_shown_in_both_measures(tmp_path: Path) -> None:
    """And how they come about; the units are the plan's."""
    out = shown(tmp_path, f"{OWN}scale: OO\ncompression: 4\n")
    assert "OO (1:76.2), compressed 1:4: 1 m of track is 76 m to scale, and stands for 305 m.\n" in out
    rows = [line.split() for line in out.splitlines()]
    assert ["main", "60", "2.36", "719", "9.44", "braking", "at", "0.5", "m/s2,"] in [row[:9] for row in rows]
    assert ["S2", "to", "S3", "1.50", "457", "60", "0.64", "three-aspect"] in rows
    assert ["S3", "S2", "caution", "S1", "1.50", "457", "0.64", "disputed", "65.8"] in rows
    assert out.endswith("nothing here is fit for a real one.\n")


def test_distances_without_compression_are_shown_and_not_judged(tmp_path: Path) -> None:
    """To scale, and with it said that this is all that is known."""
    out = shown(tmp_path, f"{OWN}scale: OO\n")
    assert "1 m of track is 76 m to scale. The plan does not say how much it is compressed.\n" in out
    assert ["S2", "to", "S3", "1.50", "114", "60", "three-aspect"] in [line.split() for line in out.splitlines()]
    assert "late" not in out


def test_nothing_to_show_is_said(tmp_path: Path) -> None:
    """Not an empty page."""
    out = shown(tmp_path, "plan: 1\nname: Nowhere\nsignals: {S1: {form: x}}\n")
    assert out.startswith("Nowhere\nNo scale given, so nothing is known at full size.\n")
    assert "no lengths, speeds or trains to tell of" in out


def test_a_headway_that_is_no_time_is_a_wrong_call(tmp_path: Path) -> None:
    """With a hint of what would have been right."""
    file = tmp_path / "plan.yaml"
    file.write_text(OWN, encoding="utf-8")
    done = call("distances", file, "--headway", "3")
    assert (done.code, done.out) == (2, "")
    assert "expected something like 120 s" in done.err
