"""What findings on the years and the sequence of a rulebook say in full. The rulebook is invented."""

from __future__ import annotations

import pytest

from full_findings import full


def book(*, clear: str = "", form: str = "", green: str = "green", more: str = "") -> str:
    """Return a rulebook of three aspects and one form, with something said besides."""
    return (
        "rulebook: 1\nid: toy\ntitle: A toy\nyears: 1920..1980\nsource: memory\n"
        "aspects:\n  danger: {says: {authority: stop}}\n  caution: {says: {authority: proceed, stop-at: next}}\n"
        f"  clear: {{{clear}says: {{authority: proceed}}}}\n"
        f"order: [[danger, caution, clear]]\nforms:\n  three-aspect:\n    role: stop\n    {form}\n"
        f"    lamps: {{green: {green}, yellow: yellow, red: red}}\n"
        f"    shows: {{danger: red, caution: yellow, clear: green}}\n{more}"
    )


FORM = "years: 1953..1970"
TOY, THEIRS = "the rulebook toy is of 1920..1980", "three-aspect is of 1953..1970"
OF_BOOK, OF_FORM = "beside years: the rulebook toy", "beside forms/three-aspect/years: three-aspect"


@pytest.mark.parametrize(
    ("rulebook", "found"),
    [
        (book(clear="years: 1920..1980, "), []),
        (
            book(clear="years: 1910.., "),
            [" (warning) at aspects/clear/years", f"clear begins in 1910, and {TOY}", OF_BOOK],
        ),
        (
            book(clear="years: ..1990, "),
            [" (warning) at aspects/clear/years", f"clear ends in 1990, and {TOY}", OF_BOOK],
        ),
        (book(clear="years: 1990..1999, "), [" at aspects/clear/years", f"clear is of 1990..1999, and {TOY}", OF_BOOK]),
        (book(clear="years: 1953..1970, ", form=FORM), []),
        (
            book(clear="years: 1930.., ", form=FORM),
            [
                " (warning) at aspects/clear/years",
                "clear is in use from 1930, and the first form that shows it, three-aspect, came in 1953",
                OF_FORM,
            ],
        ),
        (
            book(clear="years: 1953..1975, ", form=FORM),
            [
                " (warning) at aspects/clear/years",
                "clear is in use until 1975, and the last form that shows it, three-aspect, went in 1970",
                OF_FORM,
            ],
        ),
        (
            book(form=f"{FORM}\n    fitted: 1940..1960"),
            [
                " (warning) at forms/three-aspect/fitted",
                f"the fitting of three-aspect begins in 1940, and {THEIRS}",
                OF_FORM,
            ],
        ),
        (
            book(form=f"{FORM}\n    fitted: 1975..1978"),
            [" at forms/three-aspect/fitted", f"the fitting of three-aspect is of 1975..1978, and {THEIRS}", OF_FORM],
        ),
        (
            book(form=FORM, green="{colour: green, years: 1950..1960}"),
            [
                " (warning) at forms/three-aspect/lamps/green/years",
                f"green of three-aspect begins in 1950, and {THEIRS}",
                OF_FORM,
            ],
        ),
        (
            book(clear="years: 1971.., ", form=FORM),
            [
                " at forms/three-aspect/years",
                "three-aspect is of 1953..1970, and clear is of 1971..",
                "beside aspects/clear/years: clear",
            ],
        ),
        (
            book(more="eras: {old: 1890..1910}\n"),
            [" at eras/old", f"the era old is of 1890..1910, and {TOY}", OF_BOOK],
        ),
    ],
)
def test_years_are_compared_with_those_they_belong_to(rulebook: str, found: list[str]) -> None:
    """Years that never meet are an error, those that stick out a warning, and the very same years are neither."""
    told = full(rulebook, rule="contradicting-years")
    assert told == ([f"contradicting-years{found[0]}", *found[1:]] if found else [])


def sequence(*rules: str, role: str = "") -> str:
    """Return a rulebook with rules, of all roles or of one."""
    rows = "".join(f"  - {rule}\n" for rule in rules)
    return book(more=f"sequence:\n  {role}:\n{rows}" if role else f"sequence:\n{rows}")


STOP, CAUTION = "{when: {next: {authority: stop}}, show: caution}", "{when: {next: caution}, show: clear}"


def test_a_gap_is_told_by_its_plainest_situation() -> None:
    """And how many there are, if there are more."""
    assert full(sequence(STOP, CAUTION), rule="sequence-gap") == [
        "sequence-gap at sequence/1",
        "none of the rules of the sequence fits next: clear",
    ]
    assert full(sequence(STOP), rule="sequence-gap") == [
        "sequence-gap at sequence/0",
        "none of the rules of the sequence fits next: caution",
        "because 2 situations fit none, with next: caution and clear",
    ]


def test_a_rule_that_never_applies_is_told_with_those_before_it() -> None:
    """By number, role and title; one whose condition nothing meets has none before it."""
    late = "{title: too late, when: {next: {at-least: caution}}, show: clear}"
    clear = "{when: {next: clear}, show: clear}"
    assert full(sequence(STOP, CAUTION, clear, late)) == [
        "idle-rule (warning) at sequence/3",
        "rule 4 (too late) never applies",
        "because rules 2 and 3 before it fit wherever it does",
        "beside sequence/1: fits first",
        "beside sequence/2: fits first",
    ]
    first, nowhere = (
        "{when: {next: {at-least: danger}}, show: caution}",
        "{when: {next: {authority: none}}, show: clear}",
    )
    assert full(sequence(first, late, nowhere, role="stop"), rule="idle-rule") == [
        "idle-rule (warning) at sequence/stop/1",
        "rule 2 of stop (too late) never applies",
        "because rule 1 before it fits wherever it does",
        "beside sequence/stop/0: fits first",
        "idle-rule (warning) at sequence/stop/2",
        "rule 3 of stop never applies",
        "because no situation meets its condition",
    ]
