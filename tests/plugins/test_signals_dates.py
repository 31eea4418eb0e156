"""Years: one finding for each thing the year rules out, at the year; survivors are no mistakes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lampwright.findings import Basis, Level
from support import findings_of, line_of, result_of, rules_of

if TYPE_CHECKING:
    from lampwright.findings import Finding

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n"


def only(text: str, year: str = "") -> Finding:
    """Return the only finding of a plan."""
    (finding,) = findings_of(text, year=year)
    return finding


def test_a_year_has_one_finding_for_each_form_it_rules_out() -> None:
    """Ten signals of two forms, moved to 1924: four-aspect signals came in 1926 (secondary)."""
    signals = "".join(f"  HF{n}: {{form: {'four-aspect' if n % 2 else 'three-lamp-distant'}}}\n" for n in range(10))
    result = result_of(HEAD.replace("1978", "1924") + signals)
    assert [(finding.rule, line_of(result, finding)) for finding in result.findings] == [("form-not-in-use", 3)] * 2
    (four,) = (finding for finding in result.findings if "four-aspect" in finding.message)
    assert four.message == "the form four-aspect was not in use in 1924: it came in 1926"
    assert [spot.label for spot in four.related] == ["used here"] * 3 + ["the rulebook's years"]
    assert four.because == "2 more signals use it too"
    assert four.basis is Basis.SECONDARY
    assert "two-aspect-stop" in four.tip


def test_a_year_set_for_the_run_is_reported_at_the_first_use() -> None:
    """There is no line in the plan to change."""
    text = f"{HEAD}  HF1: {{form: three-aspect}}\n  HF3: {{form: four-aspect}}\n  HF5: {{form: four-aspect}}\n"
    result = result_of(text, year="1924")
    assert [(finding.rule, line_of(result, finding)) for finding in result.findings] == [("form-not-in-use", 6)]


def test_a_signal_of_another_year_is_compared_with_its_own() -> None:
    """Its year is where the finding stands."""
    result = result_of(f"{HEAD}  HF1: {{form: four-aspect}}\n  HF3: {{form: four-aspect, year: 1924}}\n")
    assert [(finding.rule, line_of(result, finding)) for finding in result.findings] == [("form-not-in-use", 6)]


def test_parts_of_a_post_have_years_too() -> None:
    """Position lights in colour-light areas: June 1934 (railsigns 4.4); the form of the post itself has no years."""
    finding = only(f"{HEAD.replace('1978', '1930')}  HF1: {{form: three-aspect-with-position-light}}\n")
    assert finding.message == "the form position-light was not in use in 1930: it came in 1934"


@pytest.mark.parametrize(("year", "first"), [("1926", ""), ("1920..1930", "1923"), ("grouping", "")])
def test_a_form_is_in_use_in_a_span_if_it_was_in_any_of_it(year: str, first: str) -> None:
    """A span that begins before the rulebook is only a warning about that."""
    found = findings_of(f"{HEAD.replace('1978', year)}  HF1: {{form: four-aspect}}\n")
    assert [finding.level for finding in found] == ([Level.WARNING] if first else [])


def test_a_year_outside_the_rulebook_is_all_that_is_said_of_dates() -> None:
    """First main-line colour lights: Marylebone 1923 (railsigns 7.2, verified)."""
    result = result_of(f"{HEAD.replace('1978', '1911')}  HF1: {{form: four-aspect}}\n")
    assert [(finding.rule, line_of(result, finding)) for finding in result.findings] == [("year-outside-rulebook", 3)]
    assert result.findings[0].tip == "set the plan in 1923 or later, or follow a rulebook of 1911"


def test_a_year_set_for_the_run_outside_the_rulebook_is_reported_at_the_rulebook() -> None:
    """Once, however many signals there are."""
    result = result_of(f"{HEAD}  HF1: {{form: four-aspect}}\n  HF3: {{form: three-aspect}}\n", year="1911")
    assert [(finding.rule, line_of(result, finding)) for finding in result.findings] == [("year-outside-rulebook", 2)]


@pytest.mark.parametrize(
    ("year", "tip"),
    [
        ("british-rial", "did you mean british-rail?"),
        ("1979..1974", "the earlier year comes first: 1974..1979"),
    ],
)
def test_a_year_that_is_none_is_the_only_finding(year: str, tip: str) -> None:
    """Whatever else depends on years is skipped."""
    finding = only(f"{HEAD.replace('1978', year)}  HF1: {{form: led-four-aspect}}\n")
    assert (finding.rule, finding.tip) == ("unknown-year", tip)


SHOWS = "shows: {danger: red, caution: yellow, clear: green, flashing-caution: {yellow: flash}}"


@pytest.mark.parametrize(
    ("year", "said"),
    [
        ("1970", "the aspect flashing-caution was not in use in 1970: it came in 1975"),
        ("1978", "sources differ on whether the aspect flashing-caution was in use in 1978: from 1975"),
        ("1982", ""),
    ],
)
def test_years_on_which_sources_disagree_are_a_note_that_names_both(year: str, said: str) -> None:
    """Flashing yellows: mid 1970s by one source, early 1980s by another (both secondary or less)."""
    found = findings_of(f"{HEAD.replace('1978', year)}  HF1: {{form: three-aspect, {SHOWS}}}\n")
    assert [finding.level for finding in found] == ([Level.NOTE] if said else [])
    assert all(finding.message.startswith(said) for finding in found)
    if year == "1978":
        assert len(found[0].citations) == 2


def test_an_aspect_must_be_in_use_in_all_of_a_span() -> None:
    """A driver of its first year must know it."""
    given = "gives: [danger, caution, clear, preliminary-caution, flashing-clear]"
    finding = only(f"{HEAD.replace('1978', '1984..1990')}  HF1: {{form: four-aspect, {given}}}\n")
    assert finding.message == "the aspect flashing-clear was not in use in all of 1984..1990: it came in 1988"


def test_survivors_are_asked_how_old_they_are_once_for_each_form() -> None:
    """Searchlights dropped for new work about 1960, or by 1991: sources differ (secondary)."""
    undated = "".join(f"  HF{number}: {{form: searchlight}}\n" for number in (1, 3))
    text = f"{HEAD}{undated}  HF5: {{form: searchlight, installed: 1938}}\n"
    result = result_of(text)
    (finding,) = result.findings
    assert (finding.rule, finding.level, line_of(result, finding)) == ("undated-survivor", Level.NOTE, 3)
    assert finding.message == (
        "no new one of the form searchlight was put up after 1960, and HF1 and HF3 do not say how old they are"
    )
    assert rules_of(text.replace("1978", "1958")) == []


@pytest.mark.parametrize(
    ("installed", "level", "said"),
    [
        ("1938", None, ""),
        ("1929", Level.NOTE, "from 1930 on"),
        ("1975", Level.NOTE, "until 1960 only"),
        ("1993", Level.WARNING, "until 1960 only"),
    ],
)
def test_a_signal_is_compared_with_the_years_in_which_new_ones_were_put_up(
    installed: str, level: Level | None, said: str
) -> None:
    """A year that one of two sources allows is a note; so is one before the first, which rests on memory."""
    text = f"{HEAD.replace('1978', '1995')}  HF1: {{form: searchlight, installed: {installed}}}\n"
    found = findings_of(text)
    assert [finding.level for finding in found] == ([level] if level else [])
    assert all(finding.message.endswith(said) for finding in found)


def test_a_signal_put_up_after_the_plans_year_is_one_finding() -> None:
    """It would not stand there yet."""
    assert rules_of(f"{HEAD}  HF1: {{form: three-aspect, installed: 1987}}\n") == ["fitted-after-plan-year"]


def test_a_plan_without_a_year_is_not_compared_with_years() -> None:
    """And says why."""
    result = result_of("plan: 1\nrulebook: gb-colour-light\nsignals:\n  HF1: {form: led-four-aspect}\n")
    assert result.findings == []
    assert ("form-not-in-use", "no year given") in {(skip.check, skip.reason) for skip in result.skips}
