"""Which speed counts where a plan says several, and which way is told of several that are too short.

At a quarter of the length to scale, 1:76.2. A train needs (60 mph)^2 / 2 / 0.5 m/s2 = 719 m to stop; the sources of the
figures stand in the rulebook and in tests/standards/test_gb_distances.py.
"""

from __future__ import annotations

import pytest

from full_findings import full

GB = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nscale: OO\ncompression: 4\n"
SLOW = "lines: {main: {speed: 60 mph}, slow: {speed: 20 mph}}\nsections: {AA: {line: main}, AB: {line: slow}}\n"


@pytest.mark.parametrize(
    ("route", "signal", "speed", "far"),
    [
        ("over: AA", "sighting: 60 cm", "60 mph", "215 m (0.70 m"),
        ("over: AA, speed: 30 mph", "sighting: 30 cm", "30 mph", "107 m (0.35 m"),
        ("over: AA, speed: 70 mph", "sighting: 60 cm", "60 mph", "215 m (0.70 m"),
        ("over: [AA, AB]", "sighting: 20 cm", "20 mph", "72 m (0.23 m"),
        ("over: [AB, AA]", "sighting: 60 cm", "60 mph", "215 m (0.70 m"),
        ("over: [AA, AB]", "sighting: 60 cm, section: AA", "60 mph", "215 m (0.70 m"),
        ("over: AB", "sighting: 60 cm, line: main", "", ""),
        ("speed: 60 mph", "sighting: 60 cm", "60 mph", "215 m (0.70 m"),
        ("turns: straight", "sighting: 60 cm, line: main", "", ""),
    ],
)
def test_the_speed_at_a_signal(route: str, signal: str, speed: str, far: str) -> None:
    """That of the line it stands at, and of the route if less; the fastest way to it counts. Two are given here."""
    plan = (
        f"{GB}{SLOW}signals:\n  HF1: {{form: three-aspect, from: off-stage, routes: [{{to: HF3, {route}}}]}}\n"
        "  HF2: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: AB}]}\n"
        f"  HF3: {{form: three-aspect, {signal}}}\n"
    )
    found = [
        "short-sighting (warning) at signals/HF3/sighting",
        f"HF3 is in sight for 6.8 s at {speed}, and a driver needs 8 s to read it",
        f"tip {far} on the layout) would do; or a repeater before it",
        "beside parameters/reading-time: the rulebook's figure",
    ]
    assert full(plan, rule="short-sighting") == (found if speed else [])


@pytest.mark.parametrize(("over", "told"), [("", True), (", over: AB", False)])
def test_a_line_that_a_signal_names_counts_where_no_way_has_one(over: str, told: bool) -> None:  # noqa: FBT001
    """What is known of the way comes first."""
    signals = f"  HF1: {{form: three-aspect, from: off-stage, routes: [{{to: HF3{over}}}]}}\n"
    signals += "  HF3: {form: three-aspect, sighting: 60 cm, line: main}\n"
    found = full(f"{GB}{SLOW}signals:\n{signals}", rule="short-sighting")
    assert found[1:2] == (["HF3 is in sight for 6.8 s at 60 mph, and a driver needs 8 s to read it"] if told else [])


def measured(signals: str, more: str = "", **lengths: str) -> str:
    """Return a plan of sections of one line, each with its length."""
    sections = ", ".join(f"{name}: {{line: main, length: {length}}}" for name, length in lengths.items())
    return f"{GB}lines: {{main: {{speed: 60 mph{more}}}}}\nsections: {{{sections}}}\nsignals:\n{signals}"


def before(*signals: str) -> str:
    """Return signals of three aspects, each with its route; HF5 and HF7 have none."""
    told = [
        f"  {one.split(':')[0]}: {{form: three-aspect, from: off-stage, routes: [{{{one[4:]}}}]}}\n" for one in signals
    ]
    return "".join((*told, "  HF5: {form: three-aspect}\n"))


BRAKES = [
    "beside parameters/caution-to-stop: the rulebook's figure",
    "beside parameters/deceleration: the rulebook's figure",
]


NEEDS = "and a train needs 719 m (2.36 m on the layout) to stop from 60 mph (braking at 0.5 m/s2)"


def test_of_two_ways_to_a_caution_the_worse_is_told() -> None:
    """Once for the short stretch: trains come to HF3 at 60 mph from HF1, whatever they do from HF2."""
    found = [
        "late-caution at sections/AB/length",
        f"HF3 shows the first caution only 366 m (1.20 m on the layout) before the red of HF5, {NEEDS}",
        "because HF1 is still clear, then comes HF3 caution, then HF5 at stop",
        "tip 719 m (2.36 m on the layout) from HF3 to HF5, or a caution at HF1 already",
        "beside signals/HF3:: shows caution",
        "beside signals/HF5:: at stop",
        *BRAKES,
    ]
    fast, slow, last = "HF1:to: HF3, over: [AA]", "HF2:to: HF3, over: [AC]", "HF3:to: HF5, over: [AB]"
    for signals in (before(fast, slow, last), before(slow, fast, last)):
        plan = measured(signals, AA="3 m", AB="1.2 m", AC="3 m").replace("AC: {line: main", "AC: {line: slow")
        assert full(plan.replace("60 mph}", "60 mph}, slow: {speed: 50 mph}"), rule="late-caution") == found


def test_a_distant_too_near_is_told_to_stand_farther_back() -> None:
    """From where it stands on the way, at the end of AA."""
    signals = (
        "  HF1: {form: two-aspect-stop, from: off-stage, routes: [{to: HF3, passes: HF3R, over: [AA, AB]}]}\n"
        "  HF3R: {form: two-aspect-distant, repeats: HF3, section: AA}\n  HF3: {form: two-aspect-stop}\n"
    )
    assert full(measured(signals, AA="3 m", AB="1 m"), rule="late-caution") == [
        "late-caution at signals/HF1/routes/0/over",
        f"HF3R shows the first caution only 305 m (1.00 m on the layout) before the red of HF3, {NEEDS}",
        "because HF1 is still clear, then comes HF3R caution, then HF3 at stop",
        "tip set HF3R back to 719 m (2.36 m on the layout) from HF3",
        "beside signals/HF3R:: shows caution",
        "beside signals/HF3:: at stop",
        *BRAKES,
    ]
    headway = full(measured(signals, ", headway: 30 s", AA="3 m", AB="1 m"), rule="headway-not-kept")
    assert headway[1:3] == [
        "trains on main can follow each other after 60 s at the soonest: so long it takes from HF1 to HF3",
        "because HF1 is clear only once the train before is clear of HF3, 1,219 m (4.00 m on the layout) on",
    ]


FOUR = "".join(
    f"  HF{number}: {{form: four-aspect, from: off-stage, routes: [{{to: HF{number + 2}, over: [{over}]}}]}}\n"
    for number, over in ((1, "AA"), (3, "AB"), (5, "AC"), (7, "AD"))
)


def test_a_short_stretch_of_a_line_of_four_aspects() -> None:
    """The shortest is to blame, once for all reds; those beside it are not called too close as well."""
    plan = measured(f"{FOUR}  HF9: {{form: three-aspect}}\n", AA="1.5 m", AB="1.5 m", AC="0.7 m", AD="2 m")
    found = [line for line in full(plan) if line.startswith(("late-caution", "close-spacing", "wide-spacing"))]
    assert found == ["late-caution (note) at sections/AC/length", "wide-spacing (warning) at sections/AD/length"]
    late = full(plan, rule="late-caution")
    assert late[1].startswith("HF3 shows the first caution only 671 m (2.20 m on the layout) before the red of HF7")
    assert late[2].startswith("because HF1 is still clear, then comes HF3 preliminary-caution, HF5 caution, then HF7")
    assert full(plan, rule="wide-spacing")[1] == (
        "HF7 to HF9 is 610 m (2.00 m on the layout) long, more than the 540 m (1.77 m on the layout) that four-aspect "
        "working asks there (0.5..0.75 stopping distances from 60 mph, braking at 0.5 m/s2)"
    )
    close = measured(f"{FOUR}  HF9: {{form: three-aspect}}\n", AA="1 m", AB="1 m", AC="0.8 m", AD="1 m")
    assert "1 other red seen too late over it" in full(close, rule="late-caution")[2]
    assert [line for line in full(close) if line.startswith("close-spacing")] == [
        "close-spacing (note) at sections/AA/length"
    ]


POINTS = (
    "ends: {main: {kind: off-stage}, branch: {kind: off-stage}, loop: {kind: off-stage}}\npoints: {101: {in: AB}}\n"
    "signals:\n  HF3:\n    form: three-aspect\n    routes:\n"
    "      - {to: main, over: [AA, AB], points: {101: normal}, turns: straight}\n"
    "      - {to: branch, over: [AA, AB, AC], points: {101: reverse}, turns: left, indicator: position-1}\n"
    "      - {to: loop, over: [AA, AB], points: {101: reverse}, turns: right, indicator: position-4}\n"
)


@pytest.mark.parametrize(
    ("section", "change", "route", "told"),
    [
        ("5 cm", "", "", ""),
        ("4 m", "", "0/over", "as far as 1,219 m (4.00 m on the layout) before the points to main, which is too far"),
        ("4 m", "class: shunt, ", "", ""),
        ("5 cm", "to-points: 6 cm, ", "0/to-points", "only 18 m (6.0 cm on the layout) before the points to main"),
    ],
)
def test_points_somewhere_in_a_section(section: str, change: str, route: str, told: str) -> None:
    """Between its two ends; several routes to the same points are one finding, and shunting is not asked."""
    head = f"{GB}sections: {{AA: {{length: {section}}}, AB: {{length: 1 m}}, AC: {{length: 1 m}}}}\n"
    plan = head + POINTS.replace("{to: ", f"{{{change}to: ")
    found = full(plan, rule="misplaced-junction-signal")
    assert found[:1] == ([f"misplaced-junction-signal (warning) at signals/HF3/routes/{route}"] if route else [])
    assert [line for line in found[1:2] if not line.startswith(f"HF3 stands {told}")] == []
    assert sum("misplaced" in line for line in found) == (0 if not route else 3 if "to-points" in change else 1)


def test_an_overlap_of_full_size_needs_no_scale() -> None:
    """It is told as it is written."""
    plan = GB.replace("scale: OO\ncompression: 4\n", "")
    plan += "signals:\n  HF1: {form: three-aspect, routes: [{to: HF3, overlap: {length: real 40 yd}}]}\n"
    assert full(f"{plan}  HF3: {{form: three-aspect}}\n", rule="short-overlap") == [
        "short-overlap (warning) at signals/HF1/routes/0/overlap",
        "the overlap beyond HF3 is 37 m, and a full one is 180 m",
        "tip 180 m; or say that it is shorter: `{length: real 37 m, kind: reduced}`",
        "beside parameters/overlap: the rulebook's figure",
    ]


@pytest.mark.parametrize(("line", "told"), [("main", True), ("slow", False)])
def test_a_headway_is_asked_of_ways_that_lie_on_the_line_whole(line: str, told: bool) -> None:  # noqa: FBT001
    """Three stretches of four aspects, of which one may be another line's."""
    plan = measured(f"{FOUR}  HF9: {{form: three-aspect}}\n", ", headway: 10 s", AA="3 m", AB="3 m", AC="3 m", AD="9 m")
    plan = plan.replace("10 s}}", "10 s}, slow: {speed: 60 mph}}").replace("AC: {line: main", f"AC: {{line: {line}")
    plan = plan.replace("AD: {line: main", "AD: {line: slow")
    found = full(plan, rule="headway-not-kept")
    assert found[1:3] == (
        [
            "trains on main can follow each other after 117 s at the soonest: so long it takes from HF1 to HF7",
            "because HF1 is clear only once the train before is clear of HF7, 2,743 m (9.00 m on the layout) on",
        ]
        if told
        else []
    )


TOE = (
    "track:\n  AZ: {next: [west, AA], signals: {HF3: AA}}\n  AA: {next: [AZ, 101]}\n"
    "  101: {toe: AA, normal: AB, reverse: AC}\n  AB: {next: [101, main]}\n  AC: {next: [101, branch]}\n"
    "ends: {west: {kind: off-stage}, main: {kind: off-stage}, branch: {kind: off-stage}}\npoints: {101: {}}\n"
    "signals:\n  HF3:\n    form: three-aspect\n    from: west\n    routes:\n"
    "      - {to: main, over: [AA, AB], points: {101: normal}, turns: straight}\n"
    "      - {to: branch, over: [AA, AC], points: {101: reverse}, turns: left, indicator: position-1}\n"
)


@pytest.mark.parametrize(
    ("length", "told"),
    [
        ("5 cm", "only 15 m (5.0 cm on the layout) before the points to main, which is too near"),
        ("1 m", ""),
        ("4 m", "as far as 1,219 m (4.00 m on the layout) before the points to main, which is too far"),
    ],
)
def test_points_at_the_end_of_a_section(length: str, told: str) -> None:
    """Where the track says so they are just as far as the section is long."""
    plan = f"{GB}sections: {{AZ: {{}}, AA: {{length: {length}}}, AB: {{length: 1 m}}, AC: {{length: 1 m}}}}\n{TOE}"
    assert full(plan)[1:2] == ([f"HF3 stands {told}"] if told else [])
