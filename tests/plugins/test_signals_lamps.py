"""Lamps as built: whatever the slip, one of four findings, with what mends it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lampwright.findings import Basis, Level
from support import findings_of, line_of, result_of, rules_of

if TYPE_CHECKING:
    from lampwright.findings import Finding

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n"
COLUMNS = {
    "two-aspect-stop": ["green", "red"],
    "three-aspect": ["green", "yellow", "red"],
    "four-aspect": ["yellow", "green", "yellow", "red"],
    "ground-mounted-three-aspect": ["red", "yellow", "green"],
}
"""Colours from the top, typed in from their descriptions.

Four aspects: "Jargon buster: Four aspect signal", Network Rail (verified). Three: "UK railway signalling" (secondary).
Two: colours secondary, red at the bottom from driver's revision cards on RS521. On the ground red is on top (rail
forum, secondary); the rest of that order is memory.
"""
COLOURS = ("red", "yellow", "green", "white")


def built(form: str, *lamps: str, more: str = "") -> str:
    """Return a plan of one signal with a list of lamps."""
    return f"{HEAD}  HF1: {{form: {form}, lamps: [{', '.join(lamps)}]{more}}}\n"


def only(text: str, **run: str) -> Finding:
    """Return the only finding of a plan."""
    (finding,) = findings_of(text, **run)  # type: ignore[arg-type]  # year and rulebook are all that is ever passed
    return finding


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(sorted(COLUMNS)), st.lists(st.sampled_from(COLOURS), min_size=1, max_size=6))
def test_any_list_of_lamps_has_the_one_finding_it_deserves(form: str, lamps: list[str]) -> None:
    """Number first, then colours, then order; nothing if all agree."""
    wanted = COLUMNS[form]
    if lamps == wanted:
        expected = []
    elif sorted(lamps) == sorted(wanted):
        expected = ["wrong-lamp-order"]
    elif len(lamps) == len(wanted):
        expected = ["wrong-lamp-colour"]
    else:
        expected = ["missing-lamp" if len(lamps) < len(wanted) else "surplus-lamp"]
    assert rules_of(built(form, *lamps)) == expected


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(sorted(COLUMNS)), st.data())
def test_two_lamps_exchanged_are_named_for_exchange(form: str, data: st.DataObject) -> None:
    """Wherever two colours are exchanged, the tip names these two places and the order that results."""
    wanted = COLUMNS[form]
    pairs = [(i, j) for i in range(len(wanted)) for j in range(i) if wanted[i] != wanted[j]]
    one, other = data.draw(st.sampled_from(pairs))
    lamps = list(wanted)
    lamps[one], lamps[other] = lamps[other], lamps[one]
    finding = only(built(form, *lamps))
    ordinals = ("first", "second", "third", "fourth")
    first, second = sorted((one, other))
    exchange = f"exchange the {ordinals[first]} ({lamps[first]}) and the {ordinals[second]} ({lamps[second]})"
    assert finding.tip == f"{exchange}; from the top: {', '.join(wanted)}"
    assert finding.spot.path == ("signals", "HF1", "lamps", first)


def test_the_order_of_a_four_aspect_head_is_known_for_certain() -> None:
    """Yellow, green, yellow, red: "Jargon buster: Four aspect signal", Network Rail (verified)."""
    finding = only(built("four-aspect", "green", "yellow", "yellow", "red"))
    assert (finding.level, finding.basis) == (Level.ERROR, Basis.VERIFIED)


def test_the_order_of_a_ground_mounted_head_rests_on_memory() -> None:
    """Red on top is secondary; how far the rest follows is memory, so that exchanging the rest is a note."""
    finding = only(built("ground-mounted-three-aspect", "red", "green", "yellow"))
    assert (finding.level, finding.basis) == (Level.NOTE, Basis.MEMORY)


def test_a_list_that_begins_at_the_bottom_is_to_be_turned_over() -> None:
    """Four lamps in reverse: two exchanges, one reason."""
    finding = only(built("four-aspect", "red", "yellow", "green", "yellow"))
    assert finding.tip.startswith("turn the list over")


@pytest.mark.parametrize(
    ("lamps", "said"),
    [
        (["green", "yellow", "red"], "HF1 is built without its upper-yellow"),
        (["yellow", "green", "red"], "HF1 is built without its lower-yellow"),
        (["yellow", "yellow", "red"], "HF1 is built without its green"),
        (["yellow", "green", "yellow"], "HF1 is built without its red"),
        (["yellow", "red"], "HF1 is built without its upper-yellow and its green"),
        (["red", "green"], "HF1 is built without its upper-yellow and its lower-yellow"),
        (["red", "green", "yellow"], "HF1 is built without a yellow"),
    ],
)
def test_a_missing_lamp_is_named_if_the_rest_tells_which(lamps: list[str], said: str) -> None:
    """If not, by its colour."""
    assert only(built("four-aspect", *lamps)).message == said


def test_a_surplus_lamp_is_pointed_at() -> None:
    """The lamp that is left over when the rest fits."""
    result = result_of(
        "plan: 1\nrulebook: gb-colour-light\nsignals:\n  HF1:\n    form: three-aspect\n    lamps:\n"
        "      - green: A.0\n      - white: A.1\n      - yellow: A.2\n      - red: A.3\nboards: {A: {kind: pwm-16}}\n"
    )
    (finding,) = result.findings
    assert finding.message == "HF1 is built with one lamp more than a three-aspect signal has: the second, white"
    assert line_of(result, finding) == 8


def test_a_wrong_colour_amid_a_wrong_order_is_one_finding() -> None:
    """Colours come before order."""
    finding = only(built("three-aspect", "yellow", "white", "red"))
    assert finding.rule == "wrong-lamp-colour"
    assert finding.message.endswith("the second lamp is white, not green")


def test_a_diamond_is_compared_by_colours_alone() -> None:
    """On which side of a cluster red and green stood is not established: no order can be wrong."""
    for lamps in (["yellow", "green", "yellow", "red"], ["yellow", "red", "yellow", "green"]):
        assert rules_of(built("cluster-four-aspect", *lamps)) == []
    assert rules_of(built("cluster-four-aspect", "yellow", "green", "red")) == ["missing-lamp"]


def test_apertures_shared_by_colours_are_compared_by_colours() -> None:
    """Two apertures, four colours (a history of colour light signals, secondary)."""
    text = built("led-four-aspect", "yellow", "green", "yellow", "red").replace("1978", "2010")
    assert rules_of(text) == []
    assert rules_of(text.replace("green, ", "")) == ["missing-lamp"]


def test_a_list_for_a_post_with_parts_needs_the_lamps_of_all() -> None:
    """The white lamps of the position light, named because both lack."""
    finding = only(built("four-aspect-with-position-light", "yellow", "green", "yellow", "red"))
    assert finding.message == "HF1 is built without its upper and its lower"


def test_a_blanked_lamp_may_be_listed_or_not() -> None:
    """And an unlisted one that is not blanked is missing."""
    assert rules_of(built("four-aspect", "green", "yellow", "red", more=", blanked: upper-yellow")) == []
    assert rules_of(built("four-aspect", *COLUMNS["four-aspect"], more=", blanked: upper-yellow")) == []
    assert rules_of(built("four-aspect", "green", "red", more=", blanked: upper-yellow")) == ["missing-lamp"]


def wired(form: str, lamps: str) -> str:
    """Return a plan of one signal with lamps by name."""
    return f"{HEAD.replace('1978', '1958')}  HF1: {{form: {form}, lamps: {lamps}}}\nboards: {{A: {{kind: pwm-16}}}}\n"


@pytest.mark.parametrize(
    ("form", "lamps", "rule", "said"),
    [
        ("three-aspect", "{gren: A.0, yellow: A.1, red: A.2}", "unknown-lamp", "HF1 has a lamp gren"),
        ("three-aspect", "{green: A.0, red: A.2}", "missing-lamp", "without its yellow"),
        ("searchlight", "{lens: {red: A.0, green: A.1}}", "missing-lamp", "without yellow in its lens"),
        ("searchlight", "{lens: {red: A.0, yellow: A.1, white: A.2}}", "wrong-lamp-colour", "lens is white"),
        ("splitting-distant", "{primary.green: A.0, yellow: A.1}", "unknown-lamp", "several parts have one"),
        (
            "four-aspect-with-position-light",
            "{upper-yellow: A.0, green: A.1, lower-yellow: A.2, main.red: A.3, upper: A.4}",
            "missing-lamp",
            "without its lower",
        ),
    ],
)
def test_lamps_by_name(form: str, lamps: str, rule: str, said: str) -> None:
    """A misspelt name is unknown and nothing else; colours of a lens are counted."""
    found = [finding for finding in findings_of(wired(form, lamps)) if finding.rule != "undated-survivor"]
    assert [finding.rule for finding in found] == [rule]
    assert said in found[0].message


def test_an_unknown_lamp_lists_those_there_are() -> None:
    """With the near miss first."""
    assert only(wired("three-aspect", "{gren: A.0, yellow: A.1, red: A.2}")).tip == "did you mean green?"
    assert (
        only(wired("three-aspect", "{violet: A.0, yellow: A.1, red: A.2}")).tip == "its lamps are green, yellow and red"
    )


def test_a_lamp_of_the_plans_own_form_that_nothing_lights_is_said_once() -> None:
    """Two signals have the form; the slip is in the form."""
    text = HEAD.replace(
        "signals:",
        "forms:\n  own:\n    like: two-aspect-stop\n    lamps:\n      white: {colour: white, at: [0, 2]}\n"
        "      green: {colour: green, at: [0, 1]}\n      red: {colour: red, at: [0, 0]}\nsignals:",
    )
    finding = only(f"{text}  HF1: {{form: own}}\n  HF3: {{form: own}}\n")
    assert (finding.rule, finding.message) == ("unused-lamp", "HF1 lights white for no aspect")


def test_lamps_another_signal_lent_are_reported_there_alone() -> None:
    """But compared anew with another form."""
    text = f"{HEAD}  HF1: {{form: three-aspect, lamps: [yellow, green, red]}}\n  HF3: {{like: HF1}}\n"
    assert rules_of(text) == ["wrong-lamp-order"]
    text += "  HF5: {like: HF1, form: four-aspect}\n"
    assert sorted(rules_of(text)) == ["missing-lamp", "wrong-lamp-order"]
