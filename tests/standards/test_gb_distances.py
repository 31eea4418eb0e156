"""Distances and dates of British signals as they are published, each source named beside the figure.

"the encyclopaedia": Wikipedia, "Railway signalling", sections "Approach release" and "Signalling the layout"
(secondary); "the exam forum": the IRSE exam study forum, answers of signal engineers (verified there, a forum). Sources
round: what is printed is met within a metre, or as the source's own rounding allows.
"""

from __future__ import annotations

import json
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from command_line import call
from lampwright.findings import Level
from lampwright.quantities import quantity
from lampwright_working.braking import stopping_distance
from support import findings_of, result_of

if TYPE_CHECKING:
    from pathlib import Path

    from lampwright.findings import Finding

approx: Any = pytest.approx
ONE_TO_ONE = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nscale: 1:1\ncompression: 1\n"
"""A layout as big as the prototype: its lengths stand for themselves."""


def metres(text: str) -> Fraction:
    """Return a length in metres."""
    return quantity(text, "length").amount


def asked(text: str, folder: Path, *more: str) -> dict[str, Any]:
    """Return what ``lampwright distances`` says of a plan."""
    file = folder / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    done = call("distances", file, "--format", "json", *more)
    assert (done.code, done.err) == (0, "")
    plan: dict[str, Any] = json.loads(done.out)["plans"][0]
    return plan


def spacings(plan: dict[str, Any]) -> dict[str, tuple[float | None, float | None, str | None]]:
    """Return what each kind of working allows: the least and the most in metres, or why it will not do."""
    return {
        row["working"]: (
            row["least"] and row["least"]["model_m"],
            row["most"] and row["most"]["model_m"],
            row["why"],
        )
        for row in plan["headways"]
    }


def line(signals: int, form: str, length: str, speed: str = "100 km/h") -> str:
    """Return a plan of one line with signals of one form, all as far apart."""
    sections = "".join(f"  A{number}: {{line: main, length: {length}}}\n" for number in range(1, signals))
    routes = (
        f"  S{number}: {{form: {form}, routes: [{{to: S{number + 1}, over: [A{number}]}}]}}\n"
        for number in range(1, signals)
    )
    first = f"lines: {{main: {{speed: {speed}}}}}\nsections:\n{sections}signals:\n"
    return f"{ONE_TO_ONE}{first}{''.join(routes)}  S{signals}: {{form: {form}}}\n"


def of(rule: str, text: str) -> list[Finding]:
    """Return the findings of one rule."""
    return [finding for finding in findings_of(text) if finding.rule == rule]


def test_braking_distance_at_160_km_per_hour(tmp_path: Path) -> None:
    """The encyclopaedia: 1974.9 m at 0.5 m/s2, the speed rounded to 44.44 m/s."""
    assert stopping_distance(Fraction("44.44"), Fraction("0.5")) == Fraction("1974.9136")
    plan = asked(f"{ONE_TO_ONE}lines: {{main: {{speed: 160 km/h}}}}\n", tmp_path)
    assert plan["stopping"][0]["takes"]["stands_m"] == approx(1974.9, abs=1)


def test_braking_distance_at_200_km_per_hour(tmp_path: Path) -> None:
    """The encyclopaedia prints 3085 m; the exact figure is 3086.4 m."""
    plan = asked(f"{ONE_TO_ONE}lines: {{main: {{speed: 200 km/h}}}}\n", tmp_path)
    assert plan["stopping"][0]["takes"]["stands_m"] == approx(3085, abs=2)


def test_braking_distance_of_an_exam_answer(tmp_path: Path) -> None:
    """The exam forum: 1235 m at 160 km/h, which is 0.8 m/s2 (derived); it stands beside the first as disputed."""
    plan = asked(f"{ONE_TO_ONE}lines: {{main: {{speed: 160 km/h}}}}\n", tmp_path)
    assert plan["stopping"][1]["takes"]["stands_m"] == approx(1235, abs=1)
    assert "0.8 m/s2" in plan["stopping"][1]["how"]


@pytest.mark.parametrize(
    ("yards", "printed"),
    [
        ("1750 yd", "1600.2"),  # a high-speed train from 125 mph: railforums.co.uk, citing RSSB T060 (secondary)
        ("650 yd", "594.4"),  # the same from 70 mph
        ("1208 yd", "1104.6"),  # flashing yellow to junction at Didcot: railforums.co.uk (secondary)
        ("1343 yd", "1228.0"),  # and on to the next
        ("200 yd", "182.88"),  # a full overlap before it was rounded: the exam forum (verified)
    ],
)
def test_yards_are_metres(yards: str, printed: str) -> None:
    """As printed, to the last digit printed."""
    digits = len(printed.partition(".")[2])
    assert round(metres(yards), digits) == Fraction(printed)


CASE_A = """plan: 1
rulebook: gb-colour-light
scale: 1:1
compression: 1
lines: {{main: {{speed: {speed}, headway: 3600 s}}}}
sections: {{AA: {{line: main}}}}
signals:
  S1: {{form: three-aspect, sighting: 300 m, routes: [{{to: S2, over: [AA]}}]}}
  S2: {{form: three-aspect}}
trains: {{express: {{length: 200 m, stops: {{{speed}: 2000 m}}}}}}
"""


def test_case_a_of_the_encyclopaedia(tmp_path: Path) -> None:
    """V 160 km/h, SBD 2000, S 300, O 180, L 200, HT 3600 s: P is 159 304 m, so two aspects do, at 156 304 m at most.

    The source rounds the speed to 44.44 m/s; exactly it is 16 m more in an hour.
    """
    rounded = spacings(asked(CASE_A.format(speed="44.44 m/s"), tmp_path))
    assert rounded["two-aspect"] == (None, approx(156_304, abs=1), None)
    exact = spacings(asked(CASE_A.format(speed="160 km/h"), tmp_path))
    assert exact["two-aspect"] == (None, approx(156_304 + 3600 * (160 / 3.6 - 44.44), abs=1), None)


CASE_B = """plan: 1
rulebook: gb-colour-light
scale: 1:1
compression: 1
lines: {main: {speed: 200 km/h, headway: 120 s}}
sections: {AA: {line: main}}
signals:
  S1: {form: three-aspect, sighting: 400 m, routes: [{to: S2, over: [AA]}]}
  S2: {form: three-aspect}
trains: {express: {length: 300 m, stops: {200 km/h: 3085 m}}}
"""


def test_case_b_of_the_encyclopaedia(tmp_path: Path) -> None:
    """V 200 km/h, SBD 3085 (as printed), S 400, O 180, L 300, HT 120 s: P is 5787.2 m.

    Two aspects would need 12 340 m; three aspects 3085 at least and 2893.6 at most; four aspects do with 1542.5 to
    1929.1 m.
    """
    found = spacings(asked(CASE_B, tmp_path))
    assert found["two-aspect"][:2] == (None, None)
    assert "12,340.00 m" in str(found["two-aspect"][2])
    assert found["three-aspect"][:2] == (None, None)
    least, most = (float(part.split(" m")[0].replace(",", "")) for part in _amounts(found["three-aspect"][2]))
    assert (least, most) == (3085, approx(2893.6, abs=1))
    assert found["four-aspect"] == (approx(1542.5, abs=1), approx(1929.1, abs=1), None)


def _amounts(why: str | None) -> list[str]:
    """Return the amounts in ``will not do: 3,085 m at least to stop, 2,893 m at most to follow``."""
    return [part.removeprefix("will not do: ") for part in str(why).split("stop, ")]


def test_the_headway_may_be_asked_in_the_call(tmp_path: Path) -> None:
    """It takes the place of what the line says."""
    found = spacings(asked(CASE_B, tmp_path, "--headway", "5 min"))
    assert found["two-aspect"] == (None, approx(5 * 60 * 200 / 3.6 - 880 - 1.5 * 3085, abs=1), None)


def test_three_aspects_by_both_sources() -> None:
    """The exam forum has signals up to 1.33 braking distances apart (verified); the encyclopaedia 1.5 (secondary).

    Between the two it is a note that names both; the plan may choose. A blog on GK/RT0034 knows of 2 when stretched.
    """
    braking = Fraction(100_000, 3600) ** 2  # at 100 km/h and 0.5 m/s2
    apart = {
        share: line(4, "three-aspect", f"{float(braking * Fraction(share)):.1f} m") for share in ("1.3", "1.4", "2.1")
    }
    assert findings_of(apart["1.3"]) == []
    note = of("wide-spacing", apart["1.4"])[0]
    assert note.level is Level.NOTE
    assert "IRSE exam study forum" in note.because
    assert "Railway signalling" in note.because
    assert findings_of(f"{apart['1.4']}parameters: {{spacing-three-aspect: 1..1.5}}\n") == []
    assert {finding.level for finding in of("wide-spacing", apart["2.1"])} == {Level.WARNING}
    assert {
        finding.level for finding in of("wide-spacing", apart["2.1"] + "parameters: {spacing-three-aspect: 1..2}\n")
    } == {Level.WARNING}


def test_three_aspects_are_at_least_a_braking_distance_apart() -> None:
    """The exam forum (verified) and RSSB's synopsis of GKRT0075 (verified): from the first caution to its red."""
    assert findings_of(line(4, "three-aspect", "771.7 m")) == []
    short = of("late-caution", line(4, "three-aspect", "480 m"))
    assert [finding.level for finding in short] == [Level.ERROR, Level.ERROR]


def test_four_aspects_are_half_to_three_quarters_apart() -> None:
    """The encyclopaedia (secondary): 0.5 to 0.75 braking distances, so 385.8 to 578.7 m at 100 km/h."""
    for length, expected in (
        ("390 m", []),
        ("575 m", []),
        ("585 m", ["wide-spacing"]),
        ("380 m", ["late-caution", "close-spacing"]),
    ):
        found = findings_of(line(5, "four-aspect", length))
        assert {finding.rule for finding in found} == set(expected), length


@pytest.mark.parametrize(
    ("length", "level"),
    [
        ("180 m", None),  # full, the exam forum (verified)
        ("225 m", None),  # on some faster lines, the same
        ("200 yd", None),  # before rounding
        ("170 m", Level.NOTE),  # IRSE News knows 50 to 200 m (verified)
        ("40 m", Level.WARNING),  # by nobody
    ],
)
def test_overlaps(length: str, level: Level | None) -> None:
    """Shorter than full is reduced, and then says so."""
    plan = f"{ONE_TO_ONE}signals:\n  S1: {{form: three-aspect, routes: [{{to: S2, overlap: {{length: {length}}}}}]}}\n"
    plan += "  S2: {form: three-aspect}\n"
    assert [finding.level for finding in of("short-overlap", plan)] == ([level] if level else [])
    assert of("short-overlap", plan.replace(f"length: {length}", f"length: {length}, kind: reduced")) == []


@pytest.mark.parametrize(("length", "found"), [("179 m", True), ("180 m", False), ("800 m", False), ("801 m", True)])
def test_junction_signals_stand_180_to_800_metres_before_the_points(length: str, found: bool) -> None:  # noqa: FBT001
    """The encyclopaedia (secondary)."""
    plan = (
        f"{ONE_TO_ONE}ends: {{a: {{kind: off-stage}}, b: {{kind: off-stage}}}}\nsignals:\n  S1:\n"
        "    form: three-aspect\n    routes:\n"
        "      - {to: a, turns: straight, points: {1: normal}, speed: 60 mph}\n"
        "      - {to: b, turns: left, points: {1: reverse}, speed: 55 mph, indicator: position-1, "
        f"to-points: {length}}}\n"
    )
    assert bool(of("misplaced-junction-signal", plan)) is found


@pytest.mark.parametrize(("length", "found"), [("222 m", True), ("223 m", False)])
def test_eight_seconds_to_read_a_signal(length: str, found: bool) -> None:  # noqa: FBT001
    """The exam forum in passing (secondary): 8 s, so 222.2 m at 100 km/h."""
    plan = line(2, "three-aspect", "800 m").replace(
        "S2: {form: three-aspect}", f"S2: {{form: three-aspect, sighting: {length}}}"
    )
    assert bool(of("short-sighting", plan)) is found


@pytest.mark.parametrize(("speed", "found"), [("20 mph", False), ("21 mph", True)])
def test_a_fixed_distant_where_trains_creep(speed: str, found: bool) -> None:  # noqa: FBT001
    """The exam forum on GK/RT0032 B8.5.4 (verified): only where all trains stop or run at 20 mph at most."""
    plan = (
        f"plan: 1\nrulebook: gb-colour-light\nlines: {{main: {{speed: {speed}}}}}\nsections: {{AA: {{line: main}}}}\n"
        "ends: {a: {kind: off-stage}}\nsignals:\n"
        "  S1: {form: two-aspect-stop, routes: [{to: S2, passes: [D], over: [AA]}]}\n"
        "  D: {form: fixed-distant, repeats: S2}\n  S2: {form: two-aspect-stop, routes: [{to: a}]}\n"
    )
    assert bool(of("fixed-distant-on-fast-line", plan)) is found
    terminus = plan.replace("kind: off-stage", "kind: buffer-stop").replace(
        "S2: {form: two-aspect-stop", "S2: {form: three-aspect"
    )
    assert of("fixed-distant-on-fast-line", terminus) == []


def dates(text: str, folder: Path) -> dict[str, Any]:
    """Return what ``lampwright date`` says of a plan."""
    file = folder / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    done = call("date", file, "--format", "json")
    assert (done.code, done.err) == (0, "")
    plan: dict[str, Any] = json.loads(done.out)["plans"][0]
    return plan


def first_and_last(plan: dict[str, Any]) -> list[tuple[int | None, int | None]]:
    """Return the spans of years."""
    return [(span["first"], span["last"]) for span in plan["years"]]


HEAD = "plan: 1\nrulebook: gb-colour-light\n"


def test_four_aspects_since_1926(tmp_path: Path) -> None:
    """A history of colour-light signals (secondary)."""
    found = dates(f"{HEAD}signals: {{S1: {{form: four-aspect}}}}\n", tmp_path)
    assert first_and_last(found) == [(1926, None)]
    assert found["years"][0]["lower"][0]["basis"] == "secondary"


def test_main_line_colour_lights_since_1923(tmp_path: Path) -> None:
    """railsigns.uk, 7.2 (verified): Marylebone."""
    assert first_and_last(dates(f"{HEAD}signals: {{S1: {{form: three-aspect}}}}\n", tmp_path)) == [(1923, None)]


def test_green_to_the_buffers_until_moorgate(tmp_path: Path) -> None:
    """lner.info (secondary) has the change; that it was in 1975 is memory. A head without yellow cannot stand later."""
    bay = "ends: {bay: {kind: buffer-stop}}\nsignals:\n  S1: {form: two-aspect-stop, routes: [{to: bay}]}\n"
    plan = f"{HEAD}{bay}"
    found = dates(plan, tmp_path)
    assert first_and_last(found) == [(1923, 1975)]
    assert found["years"][0]["upper"][0]["missing"] == "caution"
    assert found["years"][0]["upper"][0]["basis"] == "memory"
    assert first_and_last(dates(plan.replace("two-aspect-stop", "three-aspect"), tmp_path)) == [(1923, None)]


FLASHING = f"""{HEAD}ends: {{a: {{kind: off-stage, assume: [danger, clear]}}, b: {{kind: off-stage, assume: danger}}}}
signals:
  S1: {{form: three-aspect, from: off-stage, routes: [{{to: S2}}]}}
  S2:
    form: three-aspect
    routes:
      - {{to: a, turns: straight, speed: 100 mph}}
      - {{to: b, turns: left, speed: 70 mph, indicator: position-1, release: {{from: yellow, flashing: true}}}}
"""


def test_flashing_yellows_are_disputed(tmp_path: Path) -> None:
    """From memory since 1975; by the encyclopaedia (secondary) since the early 1980s."""
    found = dates(FLASHING, tmp_path)
    assert first_and_last(found) == [(1975, None)]
    assert [(other["in_use"]["first"], other["basis"]) for other in found["disputed"]] == [(1982, "secondary")]
    assert found["disputed"][0]["years"] == [{"first": 1982, "last": None}]


def test_three_lamp_indicators_are_not_newly_fitted_after_1966(tmp_path: Path) -> None:
    """railsigns.uk, 6.5 (verified): so no signal of 1970 has one, while one of 1960 may still stand."""
    plan = FLASHING.replace(
        "    form: three-aspect\n", "    form: three-aspect\n    carries: [junction-three-lamp]\n    installed: 1970\n"
    )
    assert first_and_last(dates(plan, tmp_path)) == []
    assert "until 1966" in dates(plan, tmp_path)["never"]["because"][0] or "to 1966" in str(
        dates(plan, tmp_path)["never"]
    )
    assert first_and_last(dates(plan.replace("1970", "1960"), tmp_path)) == [(1975, None)]


def test_every_plan_here_is_sound() -> None:
    """What is judged above is distance and date alone."""
    for plan in (CASE_B, FLASHING):
        assert [finding for finding in result_of(plan).findings if finding.level is Level.ERROR] == []
