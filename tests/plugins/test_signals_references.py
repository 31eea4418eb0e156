"""Names: that they lead somewhere, to the right kind of thing, and not in a circle."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support import findings_of, line_of, result_of, rules_of

if TYPE_CHECKING:
    from lampwright.findings import Finding

HEAD = "plan: 1\nrulebook: gb-colour-light\nsignals:\n"
WHOLE = """\
plan: 1
name: Tarn Halt
rulebook: gb-colour-light
year: 1978
lines: {main: {speed: 60 mph}}
sections:
  AA: {line: main, length: 1.2 m}
  AB: {line: main}
  AC: {line: main}
  EA: {}
points:
  101: {in: AB, works-with: 102}
  102: {in: EA}
  105: {in: EA}
track:
  AA: {next: [west, 101], signals: {TH1: 101}}
  101: {toe: AA, normal: AB, reverse: EA, in: AB}
  AB: {next: [101, AC], signals: {TH3R: AC, TH3: AC}}
  AC: {next: [AB, 102], signals: {TH5: 102}}
  102: {toe: off, normal: AC, reverse: 105}
  105: {toe: EA, normal: bay, reverse: 102}
  EA: {next: [101, 105]}
ends:
  off: {kind: off-stage, line: main}
  west: {kind: off-stage}
  bay: {kind: buffer-stop}
signals:
  TH1:
    form: three-aspect-with-position-light
    from: west
    line: main
    section: AA
    lamps:
      main.green: A.0
      main.yellow: {output: A.1, supply: usb}
      main.red: A.2
      upper: {outputs: [A.3, B.4]}
      lower: B.5
    carries: {position-1: {output: B.6, leds: 5 parallel}, alphanumeric-miniature: {S: B.7}}
    routes:
      - to: TH3
        passes: [TH3R]
        over: [AB]
        points: {101: normal}
        turns: straight
        release: {from: red, occupied: AA}
        overlap: [AC]
        flank: {points: {102: normal}}
        locks: {sections: AA}
      - to: off
        over: [AB, EA]
        turns: left
        indicator: position-1
        points: {101: reverse, 102: reverse, 105: reverse}
      - to: bay
        class: shunt
        over: [AB, EA]
        points: {101: reverse, 105: normal}
        indicator: {alphanumeric-miniature: S}
  TH3R: {form: banner-repeater, repeats: TH3, lamps: {horizontal: B.8, diagonal: B.9}}
  TH3:
    form: three-aspect
    blanked: [green]
    mode: controlled
    plates: [semi]
    lamps: [{green: dummy}, {yellow: B.10}, {red: B.11}]
    routes: [{to: TH5, over: [AC], overlap: {over: EA, points: {102: normal}}}]
  TH5:
    like: TH3
    routes: [{to: off, flank: {signals: TH1}}]
conflicts:
  TH1 to off: [TH5 to off, TH3 to TH5]
controllers: {east: {supply: usb}}
boards:
  A: {controller: east, supply: usb}
  B: {controller: east, after: A, led-supply: usb}
supplies:
  mains-adapter: {voltage: 12 V}
  usb: {voltage: 5 V, from: mains-adapter}
"""
"""A plan in which everything that can be named is named."""


def only(text: str) -> Finding:
    """Return the one finding of a plan."""
    (finding,) = findings_of(text)
    return finding


def test_every_name_leads_somewhere() -> None:
    """Nothing of the whole plan is found wrong."""
    assert findings_of(WHOLE) == []


SLIPS = [
    ("AA: {line: main,", "AA: {line: mian,", "section AA names mian", "main"),
    ("in: AB, works-with: 102", "in: ABB, works-with: 102", "points 101 names ABB", "AB"),
    ("works-with: 102", "works-with: 1022", "points 101 names 1022", "102"),
    ("next: [west, 101]", "next: [wset, 101]", "the track of AA names wset", "west"),
    ("signals: {TH1: 101}", "signals: {TH11: 101}", "the track of AA names TH11", "TH1"),
    ("toe: AA,", "toe: AAA,", "the track of 101 names AAA", "AA"),
    ("kind: off-stage, line: main", "kind: off-stage, line: mane", "end off names mane", "main"),
    ("from: west", "from: wets", "TH1 names wets", "west"),
    ("    line: main\n    section", "    line: mein\n    section", "TH1 names mein", "main"),
    ("section: AA", "section: AAA", "TH1 names AAA", "AA"),
    ("main.green: A.0", "main.green: AA.0", "TH1 names AA", "A"),
    ("output: A.1, supply: usb", "output: A.1, supply: sub", "TH1 names sub", "usb"),
    ("[A.3, B.4]", "[A.3, BB.4]", "TH1 names BB", "B"),
    ("output: B.6", "output: BB.6", "TH1 names BB", "B"),
    ("{S: B.7}", "{S: BB.7}", "TH1 names BB", "B"),
    ("yellow: B.10", "yellow: BB.10", "TH3 names BB", "B"),
    ("to: TH3\n", "to: TH33\n", "TH1 names TH33", "TH3"),
    ("passes: [TH3R]", "passes: [TH3RR]", "TH1 names TH3RR", "TH3R"),
    ("        over: [AB]", "        over: [ABB]", "TH1 names ABB", "AB"),
    ("occupied: AA", "occupied: AAA", "TH1 names AAA", "AA"),
    ("overlap: [AC]", "overlap: [AAC]", "TH1 names AAC", "AC"),
    ("locks: {sections: AA}", "locks: {sections: AAA}", "TH1 names AAA", "AA"),
    ("points: {101: normal}", "points: {1011: normal}", "TH1 names 1011", "101"),
    ("flank: {points: {102", "flank: {points: {1022", "TH1 names 1022", "102"),
    ("to: off\n        over: [AB", "to: offf\n        over: [AB", "TH1 names offf", "off"),
    ("repeats: TH3,", "repeats: TH33,", "TH3R names TH33", "TH3"),
    ("over: EA, points", "over: EEA, points", "TH3 names EEA", "EA"),
    ("EA, points: {102: normal}}", "EA, points: {1022: normal}}", "TH3 names 1022", "102"),
    ("signals: TH1}", "signals: TH11}", "TH5 names TH11", "TH1"),
    ("like: TH3", "like: TH33", "TH5 names TH33", "TH3"),
    ("TH1 to off:", "TH11 to off:", "a conflict names TH11", "TH1"),
    ("TH3 to TH5]", "TH3 to bay]", "a conflict names TH3 to bay", "TH1 to bay"),
    ("east: {supply: usb}", "east: {supply: ubs}", "controller east names ubs", "usb"),
    ("A: {controller: east", "A: {controller: eats", "board A names eats", "east"),
    ("after: A,", "after: AA,", "board B names AA", "A"),
    ("led-supply: usb", "led-supply: ubs", "board B names ubs", "usb"),
    ("from: mains-adapter", "from: main-adapter", "supply usb names main-adapter", "mains-adapter"),
]


@pytest.mark.parametrize(("right", "wrong", "message", "meant"), SLIPS, ids=[slip[1].strip() for slip in SLIPS])
def test_one_wrong_name_is_one_finding(right: str, wrong: str, message: str, meant: str) -> None:
    """At its line, with the name that was meant; nothing else is said of it."""
    assert WHOLE.count(right) == 1
    result = result_of(WHOLE.replace(right, wrong))
    (finding,) = (item for item in result.findings if item.rule == "dead-reference")
    assert finding.message.startswith(message)
    assert finding.tip == f"did you mean {meant}?" or len(meant) == 1  # too short to be a near miss
    before = WHOLE[: WHOLE.index(right)].count("\n") + right[: len(right) - len(right.lstrip("\n"))].count("\n")
    assert line_of(result, finding) in {before + 1, before + 2}
    others = {item.rule for item in result.findings} - {"dead-reference"}
    assert not others, others


@pytest.mark.parametrize(
    ("old", "new", "because"),
    [
        ("  TH3:\n", "  TH9:\n", "it is named in 1 more place"),
        ("  TH1:\n", "  TH8:\n", ""),
        ("  off: {", "  of: {", ""),
        ("  A: {c", "  C: {c", "it is named in 1 more place"),
        ("  usb: {v", "  sub: {v", ""),
        ("lines: {main:", "lines: {mane:", "it is named in 1 more place"),
    ],
)
def test_a_renamed_thing_is_one_finding(old: str, new: str, because: str) -> None:
    """However many places name it: one and three more are shown, the rest is counted."""
    (finding,) = findings_of(WHOLE.replace(old, new))
    assert finding.rule == "dead-reference"
    assert len(finding.related) <= 3
    assert finding.because == because


def test_what_is_not_said_is_not_looked_for() -> None:
    """Sections, points, boards and lines may be named without being described."""
    text = """\
plan: 1
rulebook: gb-colour-light
ends: {off: {kind: off-stage, line: main}}
signals:
  TH1:
    form: three-aspect
    from: off-stage
    lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]
    section: AA
    routes: [{to: off, over: [AA], points: {101: normal}, release: {occupied: AA}}]
"""
    assert findings_of(text) == []


def test_a_route_to_an_end_that_is_written_nowhere() -> None:
    """A route must lead somewhere, even in the smallest plan."""
    finding = only("plan: 1\nsignals:\n  TH1: {routes: [{to: yard}]}\n")
    assert finding.rule == "dead-reference"
    assert finding.message == "TH1 names yard, which is no signal or end of this plan"


NORTH = "plan: 1\nrulebook: gb-colour-light\nsignals:\n  TB9: {form: three-aspect}\n"
SOUTH = "plan: 1\nrulebook: gb-colour-light\nsignals:\n  TB7: {form: three-aspect, routes: [{to: north/TB9}]}\n"


def test_a_signal_of_another_file() -> None:
    """Looked for only if that file is checked in the same run."""
    assert findings_of(SOUTH) == []
    assert findings_of(SOUTH, beside={"layout/north.yaml": NORTH}) == []
    (finding,) = findings_of(SOUTH, beside={"layout/north.yaml": NORTH.replace("TB9", "TB99")})
    assert finding.rule == "dead-reference"
    assert finding.tip == "did you mean north/TB99?"
    assert findings_of(SOUTH, beside={"layout/east.yaml": NORTH}) == []


# ---------------------------------------------------------------- Circles


def chain(key: str, steps: dict[int, int]) -> str:
    """Return a plan in which signals name one another under a key."""
    lines = [f"  S{one}: {{form: three-aspect, {key}: S{other}}}" for one, other in sorted(steps.items())]
    loose = sorted(set(steps.values()) - set(steps))
    lines += [f"  S{one}: {{form: three-aspect}}" for one in loose]
    return "\n".join(["plan: 1", "rulebook: gb-colour-light", "signals:", *lines, ""])


def circles(steps: dict[int, int]) -> int:
    """Count the circles by walking from every signal, as far as there are signals."""
    found = set()
    for start in steps:
        here, seen = start, []
        while here in steps and here not in seen:
            seen.append(here)
            here = steps[here]
        if here in seen:
            found.add(frozenset(seen[seen.index(here) :]))
    return len(found)


@given(st.sampled_from([("like", "like-in-circle"), ("repeats", "repeats-itself")]), st.data())
def test_every_circle_is_found_once(what: tuple[str, str], data: st.DataObject) -> None:
    """Against a walk from every signal."""
    steps = data.draw(st.dictionaries(st.integers(1, 6), st.integers(1, 6), min_size=1, max_size=6))
    key, rule = what
    assert rules_of(chain(key, steps)).count(rule) == circles(steps)


def test_a_circle_begins_at_its_first_signal() -> None:
    """In the order of the running, not against it."""
    finding = only(chain("like", {1: 2, 2: 3, 3: 1}))
    assert finding.message == "S1 is like S2, which is like S3, which is like S1"
    assert finding.spot.path == ("signals", "S1", "like")


def test_a_circle_off_the_first_name() -> None:
    """A signal that repeats several: the circle goes by way of the second."""
    text = """\
plan: 1
rulebook: gb-colour-light
signals:
  S1R: {form: banner-repeater, repeats: [S1, S1RR]}
  S1RR: {form: banner-repeater, repeats: S1R}
  S1: {form: three-aspect}
"""
    assert only(text).message == "S1R repeats itself by way of S1RR"


def test_a_long_chain_is_no_circle() -> None:
    """Two thousand signals, each repeating the one before: no recursion, and soon done."""
    lines = [f"  S{number}: {{repeats: S{number - 1}}}" for number in range(1, 2000)]
    text = "\n".join(["plan: 1", "rulebook: gb-colour-light", "signals:", "  S0: {form: three-aspect}", *lines, ""])
    assert rules_of(text) == []


# ---------------------------------------------------------------- What routes lead to


def test_routes_to_a_distant_are_one_finding() -> None:
    """Two routes end at it; a distant cannot stop a train (cards on RS521: it cannot show red)."""
    text = """\
plan: 1
rulebook: gb-colour-light
signals:
  S1: {form: three-aspect, routes: [{to: S5D}]}
  S3: {form: three-aspect, routes: [{to: S5D}]}
  S5D: {form: two-aspect-distant, repeats: S5}
  S5: {form: three-aspect}
"""
    finding = only(text)
    assert finding.rule == "route-to-repeater"
    assert "a route from S1 and S3 ends at S5D, a two-aspect distant" in finding.message
    assert finding.tip == "{to: S5, passes: [S5D]}"
    assert findings_of(text.replace("to: S5D", "to: S5, passes: S5D")) == []


@pytest.mark.parametrize(
    ("form", "rules"),
    [
        ("splitting-distant", ["route-to-repeater"]),
        ("three-aspect-splitting", []),
        ("stop-over-distant", []),
        ("shunt-red-white", ["idle-aspect"]),  # before a shunting signal no main signal is ever clear
        ("banner-repeater", ["route-to-repeater"]),
    ],
)
def test_what_a_post_with_several_heads_is_for(form: str, rules: list[str]) -> None:
    """One head that can stop trains is enough."""
    text = HEAD + f"  S1: {{form: three-aspect, routes: [{{to: S3}}]}}\n  S3: {{form: {form}}}\n"
    assert rules_of(text) == rules


def test_a_form_in_doubt_is_not_asked_what_it_is_for() -> None:
    """A stop signal's lamps under a distant's name: one finding, of the lamps."""
    text = """\
plan: 1
rulebook: gb-colour-light
signals:
  S1: {form: three-aspect, routes: [{to: S3}]}
  S3: {form: two-aspect-distant, lamps: [green, yellow, red]}
"""
    assert "route-to-repeater" not in rules_of(text)
    assert len(rules_of(text)) == 1


def test_a_shunting_signal_may_be_passed() -> None:
    """By trains, which have it cleared before them; a stop signal may be passed by shunting movements only."""
    text = """\
plan: 1
rulebook: gb-colour-light
ends: {off: {kind: off-stage}}
signals:
  S1: {form: three-aspect-with-position-light, routes: [{to: off, passes: [S3]}]}
  S3: {form: shunt-red-white, routes: [{to: off}]}
"""
    assert findings_of(text) == []
    stop = text.replace("shunt-red-white", "three-aspect")
    assert rules_of(stop) == ["stop-signal-passed"]
    assert findings_of(stop.replace("passes: [S3]", "passes: [S3], class: shunt")) == []


# ---------------------------------------------------------------- What a signal has


@pytest.mark.parametrize(
    ("said", "rule", "part"),
    [
        ("plates: [semi, r]", "unknown-plate", "which its form does not have"),
        ("plates: {smei: 1}", "unknown-plate", "which gb-colour-light does not have"),
        ("plates: r", "unknown-plate", "has the plate r"),
        ("blanked: [green, blue]", "unknown-blanked-lamp", "blue"),
        ("regime: counter-flow", "unknown-regime", "counter-flow"),
        ("mount: ground", "mount-against-form", "ground-mounted-three-aspect is the form for that"),
    ],
)
def test_what_a_signal_has_must_be_in_the_rulebook(said: str, rule: str, part: str) -> None:
    """One finding for each slip."""
    finding = only(HEAD + f"  S1: {{form: three-aspect, {said}}}\n")
    assert finding.rule == rule
    assert part in finding.message


def test_what_is_taken_over_is_found_once() -> None:
    """A signal like another has the same wrong plate, and the other one has the finding."""
    text = HEAD + "  S1: {form: three-aspect, plates: [r]}\n  S3: {like: S1}\n"
    assert rules_of(text) == ["unknown-plate"]


def test_a_lamp_of_a_part_may_be_blanked() -> None:
    """By its full name, or alone if one part has it."""
    for lamp in ("main.green", "green", "subsidiary.upper"):
        text = HEAD + f"  S1: {{form: three-aspect-with-position-light, blanked: {lamp}}}\n"
        assert "unknown-blanked-lamp" not in rules_of(text)


@pytest.mark.parametrize(
    ("form", "mount", "rules"),
    [
        ("ground-mounted-three-aspect", "ground", []),
        ("ground-mounted-three-aspect", "high", ["mount-against-form"]),
        ("two-aspect-stop", "ground", []),
    ],
)
def test_how_a_signal_stands(form: str, mount: str, rules: list[str]) -> None:
    """Red is on top on the ground (rail forum, secondary), so that head is a form of its own."""
    text = HEAD + f"  S1: {{form: {form}, mount: {mount}}}\n"
    assert rules_of(text) == rules


def test_a_class_of_a_rulebook_is_a_class() -> None:
    """Those the format knows, and those that rules of the sequence ask for."""
    book = """\
rulebook: 1
id: own
title: own
source: derived
aspects: {stop: {says: {authority: stop}}, go: {says: {authority: proceed}}}
order: [[stop, go]]
forms: {two: {role: stop, lamps: {green: green, red: red}, shows: {stop: red, go: green}, in-doubt: stop}}
sequence: [{when: {route: {class: relief}}, show: go}]
"""
    text = "plan: 1\nrulebook: own\nends: {off: {kind: off-stage}}\nsignals:\n"
    text += "  S1: {form: two, routes: [{to: off, class: relief}]}\n"
    assert "unknown-class" not in [item.rule for item in findings_of(text, beside={"own.yaml": book})]
    finding = only(text.replace("own\n", "gb-colour-light\n").replace("form: two", "form: three-aspect"))
    assert finding.rule == "unknown-class"


def test_names_of_two_things() -> None:
    """A section may be called what a signal is called, an end may not."""
    text = "plan: 1\nends: {S1: {kind: buffer-stop}}\nsections: {S1: {}}\nsignals:\n  S1: {}\n"
    finding = only(text)
    assert (finding.rule, finding.spot.path, finding.spot.on_key) == ("name-used-twice", ("ends", "S1"), True)
