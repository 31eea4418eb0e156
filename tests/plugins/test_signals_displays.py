"""Displays the modeller has defined: each slip has one finding, of the right kind, at the line to be edited."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lampwright.findings import Basis, Level
from support import findings_of, line_of, result_of, rules_of

if TYPE_CHECKING:
    from lampwright.findings import Finding

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1990\nsignals:\n"
FOUR = {
    "danger": "red",
    "caution": "lower-yellow",
    "preliminary-caution": "[upper-yellow, lower-yellow]",
    "clear": "green",
}
POST = {**FOUR, "shunt-proceed": "[upper, lower]"}
LAMPS = ("upper-yellow", "green", "lower-yellow", "red")

READ: dict[frozenset[tuple[str, str]], str] = {
    frozenset({("red", "lit")}): "danger",
    frozenset({("lower-yellow", "lit")}): "caution",
    frozenset({("upper-yellow", "lit")}): "caution, a lamp lost",
    frozenset({("upper-yellow", "lit"), ("lower-yellow", "lit")}): "preliminary-caution",
    frozenset({("green", "lit")}): "clear",
    frozenset({("lower-yellow", "flash")}): "flashing-caution",
    frozenset({("upper-yellow", "flash")}): "flashing-caution, a lamp lost",
    frozenset({("upper-yellow", "flash"), ("lower-yellow", "flash")}): "flashing-preliminary-caution",
    frozenset({("green", "flash")}): "flashing-clear",
}
"""What a four-aspect head tells, typed in from its description and not asked of the program.

Order and yellows: "Jargon buster: Four aspect signal", Network Rail (verified). Flashing aspects: driver's revision
cards on handbook RS521, section 2.5 (secondary). One yellow of two lost reads as one yellow: memory.
"""


def shows(entries: dict[str, str]) -> str:
    """Return displays as lines of a plan."""
    return "".join(f"      {aspect}: {display}\n" for aspect, display in entries.items())


def signal(form: str, entries: dict[str, str], name: str = "HF1") -> str:
    """Return a signal as lines of a plan; its displays begin on the line after ``shows``."""
    return f"  {name}:\n    form: {form}\n    shows:\n{shows(entries)}"


def only(text: str) -> Finding:
    """Return the only finding of a plan."""
    (finding,) = findings_of(text)
    return finding


@settings(max_examples=100, deadline=None)
@given(st.lists(st.sampled_from(("dark", "lit", "flash")), min_size=4, max_size=4))
def test_every_combination_shown_for_clear_has_the_one_finding_it_deserves(states: list[str]) -> None:
    """The expected rule follows from the table above alone."""
    display = {lamp: state for lamp, state in zip(LAMPS, states, strict=True) if state != "dark"}
    said = "{" + ", ".join(f"{lamp}: {state}" for lamp, state in display.items()) + "}" if display else "dark"
    read = READ.get(frozenset(display.items()), "")
    if not display:
        expected = ["nothing-lit"]
    elif read == "clear":
        expected = []
    elif read in FOUR:
        expected = ["same-display-twice"]
    elif read:
        expected = ["display-of-another-aspect"]
    else:
        expected = ["impossible-combination"]
    assert rules_of(HEAD.replace("1990", "2001") + signal("four-aspect", {**FOUR, "clear": said})) == expected


def test_an_impossible_combination_says_what_a_driver_would_take_it_for() -> None:
    """The sample of the handbook: place, both files, source, tip."""
    result = result_of(HEAD + signal("four-aspect", {**FOUR, "clear": "[green, red]"}))
    (finding,) = result.findings
    assert finding.message == ("HF1 shows green and red together for clear, which is no aspect of a four-aspect signal")
    assert finding.level is Level.ERROR
    assert finding.basis is Basis.VERIFIED  # which lamp shows what on a four-aspect head: Network Rail's own page
    assert line_of(result, finding) == 11
    assert finding.spot.label == "a driver would take this for danger"
    assert [spot.label for spot in finding.related] == ["as in use in 1990", "the rulebook's clear"]
    assert [spot.file for spot in finding.related] == ["plan.yaml", "gb-colour-light/rulebook.yaml"]
    assert finding.tip == "light green alone"


def test_a_display_list_over_several_lines_is_pointed_at_where_it_begins() -> None:
    """A block list is one display."""
    text = HEAD + signal("two-aspect-stop", {"danger": "red", "clear": "\n        - green\n        - red"})
    result = result_of(text)
    assert [(finding.rule, line_of(result, finding)) for finding in result.findings] == [("impossible-combination", 10)]


def test_two_aspects_with_each_others_display_are_one_finding() -> None:
    """Two keys exchanged are one slip."""
    finding = only(HEAD + signal("three-aspect", {"danger": "red", "caution": "green", "clear": "yellow"}))
    assert finding.rule == "display-of-another-aspect"
    assert finding.tip == "exchange the two"


def test_what_would_be_right_says_steady_where_flashing_is_the_slip() -> None:
    """Else the tip would read like what is there already."""
    finding = only(HEAD + signal("three-aspect", {"danger": "red", "caution": "{yellow: flash}", "clear": "green"}))
    assert finding.message == "HF1 shows yellow flashing for caution, and that is flashing-caution"
    assert finding.tip == "light yellow steady alone"


def test_three_aspects_in_a_ring_are_three_findings() -> None:
    """No two of them are exchanged."""
    rules = rules_of(HEAD + signal("three-aspect", {"danger": "green", "caution": "red", "clear": "yellow"}))
    assert rules == ["display-of-another-aspect"] * 3


def test_a_wrong_key_is_one_finding_though_an_aspect_is_now_missing() -> None:
    """``danger`` was renamed to an aspect the form can give too."""
    entries = {"flashing-caution": "red", "caution": "yellow", "clear": "green"}
    assert rules_of(HEAD + signal("three-aspect", entries)) == ["display-of-another-aspect"]


def test_a_steady_yellow_for_flashing_is_caution_twice() -> None:
    """A flasher that fails goes steady, which is the more restrictive (rail forum, secondary): it is another aspect."""
    entries = {"danger": "red", "caution": "yellow", "clear": "green", "flashing-caution": "yellow"}
    finding = only(HEAD + signal("three-aspect", entries))
    assert finding.rule == "same-display-twice"
    assert finding.message == "HF1 shows flashing-caution and caution alike: yellow"


def test_a_steady_display_where_only_a_flashing_one_exists() -> None:
    """All three lamps of the indicator of a signal passed at danger steady: the outer two flash (secondary)."""
    entries = {"unlit": "dark", "spad-stop": "[upper-red, red, lower-red]"}
    finding = only(HEAD.replace("1990", "2001") + signal("spad-indicator", entries))
    assert finding.rule == "flashing-steady-aspect"
    assert finding.message.endswith("shows only as upper-red flashing, red steady and lower-red flashing")


def test_nothing_lit_is_an_aspect_only_by_rule() -> None:
    """A position light beside a main signal is normally dark (driver's revision cards on RS521, secondary)."""
    assert rules_of(HEAD + signal("four-aspect-with-position-light", {**POST, "unlit": "dark"})) == []
    dark = {**POST, "shunt-proceed": "dark"}
    assert rules_of(HEAD + signal("four-aspect-with-position-light", dark)) == ["nothing-lit"]


def test_the_upper_yellow_alone_is_what_a_failed_lamp_leaves() -> None:
    """Single yellow is the lower one: "Jargon buster: Four aspect signal", Network Rail (verified)."""
    finding = only(HEAD + signal("four-aspect", {**FOUR, "caution": "upper-yellow"}))
    assert (finding.rule, finding.level) == ("display-of-a-fault", Level.ERROR)


@pytest.mark.parametrize(
    "entries",
    [
        POST,
        {f"{'subsidiary' if aspect == 'shunt-proceed' else 'main'}.{aspect}": said for aspect, said in POST.items()},
        {**POST, "clear": "main.green", "shunt-proceed": "{subsidiary.upper: lit, subsidiary.lower: lit}"},
        {**POST, "shunt-proceed": "[upper, lower, red]"},
    ],
)
def test_a_post_with_parts_is_read_part_by_part(entries: dict[str, str]) -> None:
    """Aspects and lamps may go with or without the name of their part; parts not named are not judged."""
    assert rules_of(HEAD + signal("four-aspect-with-position-light", entries)) == []


@pytest.mark.parametrize(
    ("entries", "rule", "part"),
    [
        ({**POST, "shunt-proceed": "[upper, lower, green]"}, "contradicting-parts", "main must show danger"),
        ({**POST, "clear": "[green, upper, lower]"}, "contradicting-parts", "main must show danger"),
        ({**POST, "shunt-proceed": "[upper, lower, red, green]"}, "impossible-combination", "red and green together"),
        ({**POST, "shunt-proceed": "upper"}, "impossible-combination", "a position light"),
        ({**POST, "main.caution": "upper-yellow"}, "display-of-a-fault", "upper-yellow"),
    ],
)
def test_parts_may_not_contradict_each_other(entries: dict[str, str], rule: str, part: str) -> None:
    """A position light shows proceed only with the main signal at red (RS521 cards and SREMG, secondary)."""
    entries = dict(entries)
    if "main.caution" in entries:
        del entries["caution"]
    finding = only(HEAD + signal("four-aspect-with-position-light", entries))
    assert finding.rule == rule
    assert part in finding.message


def test_one_name_for_two_heads_is_read_as_whichever_fits() -> None:
    """Both heads of a splitting distant give caution and clear."""
    entries = {
        "primary.caution": "yellow",
        "primary.clear": "{primary.green: lit, off-set.yellow: lit}",
        "off-set.caution": "off-set.yellow",
        "off-set.clear": "{primary.yellow: lit, off-set.green: lit}",
    }
    assert rules_of(HEAD + signal("splitting-distant", entries)) == []


def test_a_lens_is_shown_by_its_colour() -> None:
    """A searchlight has one lens and filters (rail forum, secondary)."""
    right = {"danger": "{lens: red}", "caution": "{lens: yellow}", "clear": "{lens: green}"}
    text = HEAD + "  HF3: {form: searchlight, installed: 1938, shows: {%s}}\n"
    assert rules_of(text % ", ".join(f"{aspect}: {said}" for aspect, said in right.items())) == []
    wrong = {**right, "clear": "[lens]"}
    finding = only(text % ", ".join(f"{aspect}: {said}" for aspect, said in wrong.items()))
    assert finding.message == "HF3 lights lens for clear and does not say in which colour"
    assert finding.tip == "it can be dark, red, flash red, yellow, flash yellow, green or flash green"


def test_an_aspect_of_another_year_is_reported_at_the_year_alone() -> None:
    """Its display is not judged, though the rulebook of the year has no such aspect."""
    text = HEAD.replace("1990", "1961") + signal("four-aspect", {**FOUR, "flashing-caution": "{lower-yellow: flash}"})
    result = result_of(text)
    (finding,) = result.findings
    assert (finding.rule, line_of(result, finding)) == ("aspect-not-in-use", 3)
    assert finding.level is Level.NOTE  # the first year of flashing yellows is memory


def test_what_another_signal_lent_is_reported_there_alone() -> None:
    """Three signals like one with a slip have no finding of their own; one with displays of its own has."""
    lender = signal("two-aspect-stop", {"danger": "red", "clear": "[green, red]"})
    alike = "".join(f"  HF{number}: {{like: HF1}}\n" for number in (3, 5))
    own = "  HF7: {like: HF1, shows: {danger: [green, red], clear: green}}\n"
    result = result_of(HEAD + lender + alike + own)
    assert [line_of(result, finding) for finding in result.findings] == [9, 12]


def test_a_signal_that_takes_over_displays_but_not_the_form_is_judged_by_its_own() -> None:
    """Red and yellow of a three-aspect signal are fine there, and beyond a two-aspect stop signal."""
    lender = signal("three-aspect", {"danger": "red", "caution": "yellow", "clear": "green"})
    finding = only(HEAD + lender + "  HF3: {like: HF1, form: two-aspect-stop}\n")
    assert finding.rule == "aspect-beyond-form"
    assert finding.message.startswith("HF3 shows caution")


def test_displays_under_a_regime_follow_it() -> None:
    """Counter-flow in Belgium: every display flashes (format requirements, secondary)."""
    import fixture_books

    books = {"be.yaml": (fixture_books.FOLDER / "be.yaml").read_text(encoding="utf-8")}
    rulebook = fixture_books.rulebook("be")
    regime = next(name for name, record in rulebook.regimes.items() if record.every_lamp == "flash")
    form = next(name for name, record in rulebook.forms.items() if not record.parts)
    turned = fixture_books.form("be", form, regime)
    aspect = turned.gives[0]
    flashing = ", ".join(f"{name}: {state}" for name, state in turned.displays(aspect)[0].items())
    entry = f"  B1: {{form: {form}, regime: {regime}, gives: {aspect}, shows: {{{aspect}: {{{flashing}}}}}}}\n"
    text = f"plan: 1\nrulebook: {rulebook.id}\nsignals:\n"
    rules = rules_of(text + entry, beside=books)
    assert "impossible-combination" not in rules
    steady = entry.replace("flash", "lit")
    assert "flashing-steady-aspect" in rules_of(text + steady, beside=books)


@pytest.mark.parametrize("name", ["main.red", "subsidiary.upper", "red", "upper"])
def test_a_state_that_no_lamp_is_in_is_told_with_those_it_can_be_in(name: str) -> None:
    """Of whichever part the lamp is, and by its full name or its short one."""
    (finding,) = findings_of(f"""
plan: 1
rulebook: gb-colour-light
signals:
  HF1:
    form: three-aspect-with-position-light
    gives: [danger]
    shows: {{danger: {{{name}: block}}}}
""")
    assert (finding.rule, finding.tip) == ("unknown-state", "it can be dark, lit or flash")
