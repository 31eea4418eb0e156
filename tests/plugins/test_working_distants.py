"""What tells of other signals, in full: distants, repeaters, splitting heads, and flashing before a junction.

That a distant tells of the stop signal ahead, and that one which never clears need not, is common practice.
"""

from __future__ import annotations

import pytest

from full_findings import full

GB = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"


def flashing(second: str, year: str) -> list[str]:
    """Return what is said of a release with flashing aspects behind a searchlight and another signal."""
    branch = "{to: branch, turns: left, indicator: position-1, release: {from: yellow, flashing: true}}"
    plan = (
        GB.replace("1978", year)
        + "ends: {north: {kind: off-stage, assume: clear}, branch: {kind: off-stage, assume: clear}}\n"
    )
    plan += "signals:\n  HF1: {form: searchlight, installed: 1950, from: off-stage, routes: [{to: HF3}]}\n"
    plan += f"  HF2: {{form: {second}, from: off-stage, routes: [{{to: HF3}}]}}\n"
    plan += f"  HF3: {{form: three-aspect, routes: [{{to: north, turns: straight}}, {branch}]}}\n"
    return [line for line in full(plan, rule="unannounced-flashing-release") if not line.startswith("because")]


def test_signals_that_cannot_flash_are_named_together() -> None:
    """The tip is for the first of them; a form that can flash is not among them."""
    found = [
        "unannounced-flashing-release at signals/HF3/routes/1/release",
        "route HF3 to branch is released with flashing aspects, and HF1 and HF2 before it cannot show flashing-caution",
        "tip three-aspect, four-aspect or led-three-aspect can show flashing-caution; or release it from red",
        "beside signals/HF1/form: a searchlight",
        "beside signals/HF2/form: a two-aspect stop signal",
    ]
    assert flashing("led-two-aspect-stop", "1985") == found
    alone = [line.replace("HF1 and HF2", "HF1") for line in found[:-1]]
    assert flashing("three-aspect", "1985") == alone
    assert flashing("four-aspect", "1985") == alone


def test_before_signals_flashed_a_junction_is_released_from_red() -> None:
    """Flashing yellows are of 1975 in the rulebook, which remembers it: so it is a note."""
    assert flashing("three-aspect", "1960") == [
        "unannounced-flashing-release (note) at signals/HF3/routes/1/release",
        "route HF3 to branch is released with flashing aspects, and HF1 and HF2 before it cannot show flashing-caution",
        "tip flashing-caution was in use 1975..: release it from red",
        "beside signals/HF1/form: a searchlight",
        "beside signals/HF2/form: a three-aspect signal",
    ]


@pytest.mark.parametrize(
    ("form", "says", "more", "told"),
    [
        ("two-aspect-distant", "", "", "a two-aspect distant"),
        ("splitting-distant", "", "", "a splitting distant"),
        ("fixed-distant", "", "", ""),
        ("two-aspect-distant", ", repeats: HF1", "", ""),
        ("two-aspect-distant", "", ", routes: [{to: HF1, passes: HF1D}]", ""),
        ("two-aspect-distant", "", ", routes: [{to: HF1D}]", ""),
        ("three-aspect", "", "", ""),
    ],
)
def test_what_tells_of_nothing(form: str, says: str, more: str, told: str) -> None:
    """One that cannot clear need not; nor one that says it, that a route passes, or that is told of otherwise."""
    plan = f"{GB}signals:\n  HF1D: {{form: {form}, from: off-stage{says}}}\n"
    plan += "  HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3}]}\n"
    found = [
        "nothing-to-repeat (warning) at signals/HF1D:",
        f"HF1D is {told}, and nothing says which signal it tells of",
        "tip say `repeats:`, or let the route that runs past it have it in `passes:`",
        "beside signals/HF1D/form: this form",
    ]
    assert full(f"{plan}  HF3: {{form: three-aspect{more}}}\n", rule="nothing-to-repeat") == (found if told else [])


@pytest.mark.parametrize(("back", "rule"), [("HF3", "unclear-repeat"), ("HF1R", "repeats-itself")])
def test_several_in_a_circle_are_one_finding(back: str, rule: str) -> None:
    """Which of them counts is not asked then."""
    plan = (
        f"{GB}signals:\n  HF1R: {{form: banner-repeater, from: off-stage, repeats: [HF3R, HF1]}}\n"
        f"  HF3R: {{form: banner-repeater, repeats: {back}}}\n"
        "  HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3}]}\n  HF3: {form: three-aspect}\n"
    )
    told = {
        "unclear-repeat": [
            "unclear-repeat (warning) at signals/HF1R/repeats",
            "HF1R tells of HF3R and HF1, and a banner repeater can tell of one",
            "tip repeats: HF3R, the next on the way",
            "beside signals/HF1R/form: this form",
        ],
        "repeats-itself": [
            "repeats-itself at signals/HF1R/repeats",
            "HF1R repeats itself by way of HF3R",
            "tip name the signal ahead that it tells of",
            "beside signals/HF3R/repeats: and on",
        ],
    }
    assert full(plan) == told[rule]


@pytest.mark.parametrize(
    ("turns", "ways"),
    [("straight straight", "left or right"), ("left left left left left", "straight"), ("straight left", "")],
)
def test_a_splitting_distant_of_several_signals(turns: str, ways: str) -> None:
    """All of them together must have the ways; three are shown."""
    ahead = {f"HF{number}": turn for number, turn in zip((1, 3, 5, 7, 8), turns.split(), strict=False)}
    names = list(ahead)
    plan = f"{GB}signals:\n  HF1D: {{form: splitting-distant, from: off-stage, repeats: [{', '.join(names)}]}}\n"
    plan += "".join(
        f"  {name}: {{form: three-aspect, from: off-stage, routes: [{{to: HF9, turns: {turn}}}]}}\n"
        for name, turn in ahead.items()
    )
    found = [
        "splitting-without-junction (warning) at signals/HF1D/form",
        f"HF1D splits, and no route of {', '.join(names[:-1])} and {names[-1]} goes {ways}",
        "tip a distant with one head, or the route that is missing",
        *(f"beside signals/{name}:: the signal ahead" for name in names[:3]),
    ]
    told = full(f"{plan}  HF9: {{form: three-aspect}}\n", rule="splitting-without-junction")
    assert told == (found if ways else [])


@pytest.mark.parametrize(
    ("distant", "repeater", "first"),
    [("HF3R", "HF3", ""), ("HF3R", "HF5", "HF3R"), ("[HF5, HF1]", "HF3", "HF5"), ("[HF5, HF3]", "HF3", "")],
)
def test_a_distant_may_tell_by_way_of_a_repeater(distant: str, repeater: str, first: str) -> None:
    """Or of a group that the signal belongs to; the first of what it says is told."""
    plan = (
        f"{GB}signals:\n  HF1: {{form: two-aspect-stop, from: off-stage, routes: [{{to: HF3, passes: [HF3D]}}]}}\n"
        f"  HF3D: {{form: two-aspect-distant, repeats: {distant}}}\n"
        f"  HF3R: {{form: banner-repeater, repeats: {repeater}}}\n"
        "  HF3: {form: three-aspect}\n  HF5: {form: three-aspect}\n"
    )
    found = [
        "unwarned-stop at signals/HF1/routes/0/passes/0",
        f"HF3 is reached with no caution before it on route HF1 to HF3: HF3D on the way tells of {first}",
    ]
    assert full(plan, rule="unwarned-stop")[:2] == (found if first else [])


@pytest.mark.parametrize(
    ("before", "ahead", "form", "tells", "tip"),
    [
        ("two-aspect-distant", "HF2D", "two-aspect-distant", "HF2", "repeat HF2, the signal that HF2D tells of"),
        ("two-aspect-distant", "HF2D", "two-aspect-distant", "[HF2, HF3]", "let it repeat the stop signal"),
        ("two-aspect-distant", "HF2D", "fixed-distant", "HF2", "repeat HF2, the signal that HF2D tells of"),
        ("two-aspect-distant", "[HF2D, HF2]", "two-aspect-distant", "HF2", ""),
        ("two-aspect-distant", "HF2D", "banner-repeater", "HF2", ""),
        ("two-aspect-distant", "HF2", "two-aspect-distant", "HF2", ""),
        ("fixed-distant", "HF2D", "two-aspect-distant", "HF2", ""),
        ("banner-repeater", "HF2D", "two-aspect-distant", "HF2", ""),
    ],
)
def test_a_distant_of_a_distant(before: str, ahead: str, form: str, tells: str, tip: str) -> None:
    """Only of that one alone; a fixed one shows the same whatever it repeats, and a repeater is no distant."""
    plan = (
        f"{GB}signals:\n  HF1D: {{form: {before}, from: off-stage, repeats: {ahead}}}\n"
        f"  HF2D: {{form: {form}, repeats: {tells}}}\n"
        "  HF2: {form: three-aspect, from: off-stage, routes: [{to: HF3}]}\n  HF3: {form: three-aspect}\n"
    )
    found = [
        "distant-of-distant (warning) at signals/HF1D/repeats",
        "HF1D is a two-aspect distant and repeats HF2D, another distant: it never shows anything but clear",
        f"tip {tip}",
        "beside signals/HF1D/form: this form",
        "beside signals/HF2D:: never at stop",
    ]
    assert full(plan, rule="distant-of-distant") == (found if tip else [])


@pytest.mark.parametrize(
    ("said", "proposed"),
    [
        ("stage: planned", True),
        ("form: three-aspect", False),
        ("like: HF3", False),
        ("lamps: [green, yellow, red]", False),
        ("shows: {danger: red}", False),
        ("stage: dummy", False),
    ],
)
def test_a_form_is_proposed_only_where_none_is_told(said: str, proposed: bool) -> None:  # noqa: FBT001
    """Neither named, nor like another's, nor to be told from lamps or displays; and a dummy shows nothing."""
    signals = f"  HF1: {{{said}, from: off-stage, routes: [{{to: HF3}}]}}\n  HF3: {{form: three-aspect}}\n"
    assert (full(f"{GB}signals:\n{signals}", rule="form-not-said") != []) == proposed


def test_no_form_of_its_year_suffices() -> None:
    """In 1924 the rulebook has no main signal with a subsidiary one."""
    signals = "  HF1: {from: off-stage, routes: [{to: HF3, class: shunt}, {to: HF3}]}\n  HF3: {form: two-aspect-stop}\n"
    assert full(f"{GB.replace('1978', '1924')}signals:\n{signals}", rule="form-not-said") == [
        "form-not-said (warning) at signals/HF1:",
        "HF1 says no form, and no form of gb-colour-light in 1924 can say all it is asked",
        "because shunt route HF1 to HF3 may be set while HF3 stands at danger",
    ]


def test_of_several_situations_without_a_rule_the_first_is_told() -> None:
    """And everything that the next signal shows in them."""
    plan = (
        f"{GB}ends: {{north: {{kind: off-stage, assume: [banner-off, banner-on]}}, "
        "south: {kind: off-stage, assume: banner-on}}\n"
        "signals:\n  HF1: {form: three-aspect, from: off-stage, routes: [{to: north}, {to: south, turns: left}]}\n"
    )
    assert full(plan, rule="no-rule-fits")[:3] == [
        "no-rule-fits (warning) at signals/HF1/routes/0/to",
        "no rule of gb-colour-light says what HF1 shows while the next signal shows banner-off or banner-on",
        "because route HF1 to north may be set while north is taken to show banner-off",
    ]


FAST = (
    "lines: {main: {speed: 60 mph}, slow: {speed: 15 mph}}\n"
    "sections: {AA: {line: main}, AB: {line: main}, AC: {line: slow}}\n"
)


@pytest.mark.parametrize(
    ("kind", "over", "said", "key"),
    [
        ("off-stage", "AA", "form: fixed-distant", "form"),
        ("off-stage", "AA", "form: two-aspect-distant, gives: caution", "gives"),
        ("off-stage", "AA", "form: two-aspect-distant", ""),
        ("off-stage", "AC", "form: fixed-distant", ""),
        ("buffer-stop", "AA", "form: fixed-distant", ""),
    ],
)
def test_a_distant_that_never_clears(kind: str, over: str, said: str, key: str) -> None:
    """Told where some train runs on, at more than the figure."""
    plan = (
        f"{GB}{FAST}ends: {{down: {{kind: {kind}}}, bay: {{kind: buffer-stop}}}}\nsignals:\n"
        f"  HF1: {{form: two-aspect-stop, routes: [{{to: HF3, passes: [HF3R], over: [{over}]}}]}}\n"
        f"  HF3R: {{{said}, repeats: HF3}}\n"
        "  HF3: {form: two-aspect-stop, routes: [{to: down, over: [AB]}, {to: bay}]}\n"
    )
    found = [
        f"fixed-distant-on-fast-line (warning) at signals/HF3R/{key}",
        "HF3R never shows anything but caution, and trains pass it at 60 mph",
        "tip let it clear, unless all trains stop or run at 20 mph at most",
        "beside parameters/fixed-distant-speed: the rulebook's figure",
    ]
    assert full(plan, rule="fixed-distant-on-fast-line") == (found if key else [])


SMALLEST = {
    "main": "three-aspect is the smallest form that can say all HF1 is asked: danger, caution, clear",
    "shunt": "shunt-red-white is the smallest form that can say all HF1 is asked: shunt-stop, shunt-proceed",
}


@pytest.mark.parametrize(
    ("form", "kind", "lacks"),
    [
        ("shunt-red-white", "", ""),
        ("shunt-red-white", "shunt", ""),
        ("shunt-red-white", "main", "caution and clear, and a shunting signal has no yellow"),
        ("position-light", "main", "caution and clear, and a position light has no yellow"),
        ("two-aspect-stop, gives: danger", "main", "caution and clear, and a two-aspect stop signal has no yellow"),
        ("two-aspect-stop", "shunt", "shunt-proceed, and a two-aspect stop signal has no white"),
        ("two-aspect-red-yellow", "shunt", "shunt-proceed, and a two-aspect signal has no white"),
        ("two-aspect-red-yellow", "main", ""),
    ],
)
def test_a_signal_that_never_clears_for_its_route(form: str, kind: str, lacks: str) -> None:
    """A shunting signal shunts where no class is said; a yellow clears, if only with a warning."""
    route = f"class: {kind}, to: west" if kind else "to: west"
    plan = f"{GB}ends: {{west: {{kind: off-stage, assume: [danger, clear]}}}}\nsignals:\n"
    told = full(f"{plan}  HF1: {{form: {form}, from: off-stage, routes: [{{{route}}}]}}\n", rule="missing-indication")
    found = [
        "missing-indication at signals/HF1/form",
        f"HF1 must be able to show {lacks}",
        f"because {kind} route HF1 to west may be set while west is taken to show danger",
        f"tip {SMALLEST.get(kind, '')}",
        "beside signals/HF1/routes/0/to: asked on this route",
    ]
    assert told[:5] == (found if lacks else [])
