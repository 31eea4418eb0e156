"""Forms: known, left out, told from lamps; and the plan's own, with red nearest the eye."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lampwright.findings import Level
from support import findings_of, line_of, result_of, rules_of

if TYPE_CHECKING:
    from lampwright.findings import Finding

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n"


def only(text: str) -> Finding:
    """Return the only finding of a plan."""
    (finding,) = findings_of(text)
    return finding


def test_an_unknown_form_is_all_that_is_said_of_a_signal() -> None:
    """Nothing can be compared with it, neither lamps nor displays nor indicators."""
    finding = only(
        f"{HEAD}  HF1: {{form: for-aspect, lamps: [blue], shows: {{purple: mauve}}, carries: [position-9]}}\n"
    )
    assert (finding.rule, finding.tip) == ("unknown-form", "did you mean four-aspect?")


def test_a_form_the_plan_defines_with_a_fault_is_not_called_unknown() -> None:
    """The fault is the one finding."""
    text = HEAD.replace("signals:", "forms: {own: {like: three-aspekt}}\nsignals:")
    assert rules_of(f"{text}  HF1: {{form: own}}\n") == ["unknown-name"]


@pytest.mark.parametrize(
    "lamps",
    [
        "[green, red]",
        "[yellow, red]",
        "[green, yellow]",
        "[green, yellow, red]",
        "[yellow, green, yellow, red]",
        "[yellow, green, yellow]",
        "[red, yellow, green]",
        "{upper-yellow: A.0, lens: {red: A.1, yellow: A.2, green: A.3}}",
    ],
)
def test_a_form_left_out_is_told_from_the_lamps(lamps: str) -> None:
    """Lists from the top, and lenses by name."""
    text = f"{HEAD.replace('1978', '1958')}  HF1: {{lamps: {lamps}}}\nboards: {{A: {{kind: pwm-16}}}}\n"
    assert rules_of(text) == []


def test_a_form_told_from_the_lamps_is_used_for_what_the_signal_shows() -> None:
    """Two lamps, green over red: a two-aspect stop signal, which cannot show caution."""
    finding = only(f"{HEAD}  HF1: {{lamps: [green, red], shows: {{danger: red, caution: green}}}}\n")
    assert finding.rule == "aspect-beyond-form"


@pytest.mark.parametrize(
    ("lamps", "nearest"),
    [
        ("[green, red, yellow]", "three-aspect"),
        ("[green, yellow, yellow, red]", "four-aspect"),
        ("[white, green, yellow, red]", "four-aspect"),
        ("{green: A.0, yelow: A.1, red: A.2}", "three-aspect"),
    ],
)
def test_lamps_of_no_form_name_the_nearest_and_the_difference(lamps: str, nearest: str) -> None:
    """Lamps of another kind count most, then their number, then their places."""
    finding = only(f"{HEAD}  HF1: {{lamps: {lamps}}}\nboards: {{A: {{kind: pwm-16}}}}\n")
    assert finding.rule == "unidentified-form"
    assert finding.message.endswith(f"nearest is {nearest}")
    assert finding.because.startswith("it has ")


def test_lamps_of_several_forms_are_a_note_that_lists_them() -> None:
    """Three names fit a signal on a post and one on the ground; its mount decides."""
    lamps = "lamps: {green: A.0, yellow: A.1, red: A.2}"
    boards = "boards: {A: {kind: pwm-16}}\n"
    finding = only(f"{HEAD}  HF1: {{{lamps}}}\n{boards}")
    assert (finding.rule, finding.level) == ("ambiguous-form", Level.NOTE)
    assert finding.message == "HF1 has the lamps of several forms: three-aspect and ground-mounted-three-aspect"
    assert rules_of(f"{HEAD}  HF1: {{mount: ground, {lamps}}}\n{boards}") == []


def test_a_form_is_told_among_those_of_the_year() -> None:
    """Before 1926 there was no signal with these four lamps (a history of colour light signals, secondary)."""
    text = f"{HEAD}  HF1: {{lamps: [yellow, green, yellow, red]}}\n"
    assert rules_of(text) == []
    assert rules_of(text.replace("1978", "1925")) == ["unidentified-form"]


def test_displays_without_form_or_lamps_are_a_note() -> None:
    """They could be compared with nothing, and silence would look like praise."""
    finding = only(f"{HEAD}  HF1: {{shows: {{danger: red}}}}\n")
    assert (finding.rule, finding.level) == ("unidentified-form", Level.NOTE)


def own(mount: str, *lamps: str, eye: str = "") -> str:
    """Return a plan with a stop signal of its own: lamps from the top, by colour."""
    places = "".join(
        f"      {colour}: {{colour: {colour}, at: [0, {len(lamps) - row}]}}\n" for row, colour in enumerate(lamps)
    )
    head = "    role: stop\n    in-doubt: danger\n"
    head += f"    mount: {mount}\n" if mount else ""
    head += f"    eye-level: {eye}\n" if eye else ""
    shows = "    shows: {danger: red, caution: yellow, clear: green}\n"
    form = f"forms:\n  own:\n{head}{shows}    lamps:\n{places}"
    return f"plan: 1\nrulebook: gb-colour-light\n{form}signals:\n  HF1: {{form: own}}\n"


@pytest.mark.parametrize("mount", ["", "high"])
def test_red_is_lowest_on_a_post(mount: str) -> None:
    """Derived from red nearest the driver's eye line (rail forum, secondary)."""
    assert rules_of(own(mount, "green", "yellow", "red")) == []
    finding = only(own(mount, "yellow", "red", "green"))
    assert finding.message == "the form own has green nearest the driver's eye: red is not the lowest lamp"


def test_red_is_highest_on_the_ground() -> None:
    """The same rule, the eye above the signal."""
    assert rules_of(own("ground", "red", "yellow", "green")) == []
    result = result_of(own("ground", "green", "yellow", "red"))
    (finding,) = result.findings
    assert finding.message == "the form own has green nearest the driver's eye: red is not the highest lamp"
    assert line_of(result, finding) == 12


def test_the_lamp_a_form_says_is_at_eye_level_counts() -> None:
    """Another lamp may be meant."""
    assert rules_of(own("", "red", "green", "yellow", eye="yellow")) == []
    assert rules_of(own("", "green", "yellow", "red", eye="yellow")) == ["red-far-from-eye"]


def test_a_form_taken_to_the_ground_unchanged_is_pointed_at_where_it_says_so() -> None:
    """Its lamps are the rulebook's; the slip is the mount."""
    result = result_of(
        "plan: 1\nrulebook: gb-colour-light\nforms:\n  own:\n    like: four-aspect\n    mount: ground\nsignals:\n"
        "  HF1: {form: own}\n"
    )
    assert [(finding.rule, line_of(result, finding)) for finding in result.findings] == [("red-far-from-eye", 6)]


def test_a_signal_that_follows_another_rulebook_is_bound_to_it() -> None:
    """An unknown one is one finding; the plan's is not asked instead."""
    text = f"{HEAD}  HF1: {{form: three-aspect, rulebook: gb-color-light}}\n  HF3: {{form: three-aspect}}\n"
    finding = only(text)
    assert (finding.rule, finding.tip) == ("unknown-rulebook", "did you mean gb-colour-light?")


def test_a_plan_without_a_rulebook_is_not_compared() -> None:
    """And says why."""
    result = result_of("plan: 1\nsignals:\n  HF1: {form: three-aspect}\n")
    assert result.findings == []
    assert ("unknown-form", "no rulebook given") in {(skip.check, skip.reason) for skip in result.skips}
