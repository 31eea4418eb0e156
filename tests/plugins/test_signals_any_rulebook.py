"""What a rulebook says itself gets no finding, whatever the rulebook: displays, lamps by name, lamps from the top."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

import fixture_books
from lampwright.identify import column
from lampwright.rulebooks.displays import reader
from support import findings_of, library

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader

GREAT_BRITAIN = "gb-colour-light"
BOOKS = [GREAT_BRITAIN, *fixture_books.NAMES]


def book(name: str) -> tuple[Rulebook, dict[str, str]]:
    """Return a rulebook, and its file if the program does not bring it."""
    if name == GREAT_BRITAIN:
        found = library().get(name)
        assert found is not None
        return found, {}
    file = f"{name}.yaml"
    return fixture_books.rulebook(name), {file: (fixture_books.FOLDER / file).read_text(encoding="utf-8")}


def flow(entries: dict[str, str]) -> str:
    """Return a map in braces."""
    return "{" + ", ".join(f"{key}: {value}" for key, value in entries.items()) + "}"


def displays(form: FormReader) -> dict[str, str]:
    """Return the form's displays as a plan would write them."""
    return {aspect: flow(form.displays(aspect)[0]) if form.displays(aspect)[0] else "dark" for aspect in form.gives}


def lamps(form: FormReader) -> str:
    """Return the form's lamps by name, each with an output of its own."""
    return flow({lamp: f"A.{number}" for number, lamp in enumerate(form.lamps)})


def plan(name: str, signals: list[str]) -> str:
    """Return a plan of signals."""
    lines = [f"  S{number}: {signal}" for number, signal in enumerate(signals)]
    return "\n".join(["plan: 1", f"rulebook: {name}", "signals:", *lines, ""])


@pytest.mark.parametrize("name", BOOKS)
def test_a_signal_that_shows_what_its_rulebook_shows_is_right(name: str) -> None:
    """Every form, every aspect it can give; posts with parts by full names."""
    rulebook, beside = book(name)
    forms = {form: reader(rulebook, form) for form in rulebook.forms}
    signals = [flow({"form": form, "shows": flow(displays(one))}) for form, one in forms.items() if one.gives]
    assert findings_of(plan(rulebook.id, signals), beside=beside) == []


@pytest.mark.parametrize("name", BOOKS)
def test_a_signal_built_with_the_lamps_of_its_form_is_right(name: str) -> None:
    """Every form, lamps by name, and from the top down where they are one column."""
    rulebook, beside = book(name)
    forms = {form: reader(rulebook, form) for form in rulebook.forms}
    signals = [flow({"form": form, "lamps": lamps(one)}) for form, one in forms.items() if one.lamps]
    down = {form: [colour for _, colour in column(one) or ()] for form, one in forms.items()}
    signals += [flow({"form": form, "lamps": f"[{', '.join(colours)}]"}) for form, colours in down.items() if colours]
    boards = "boards: {A: {kind: pwm-16}}\n"
    found = findings_of(plan(rulebook.id, signals) + boards, beside=beside)
    assert [(finding.rule, finding.message) for finding in found] == []


@pytest.mark.parametrize("name", BOOKS)
def test_a_dark_signal_is_right_only_where_the_rulebook_has_it_dark(name: str) -> None:
    """Each aspect of each form, shown by nothing at all."""
    rulebook, beside = book(name)
    for form_name in rulebook.forms:
        form = reader(rulebook, form_name)
        if form.parts or not form.gives or form.form.plates:
            continue
        dark = form.read({}).aspect
        for aspect in form.gives:
            rules = {
                finding.rule
                for finding in findings_of(
                    plan(rulebook.id, [flow({"form": form_name, "shows": flow({aspect: "dark"})})]), beside=beside
                )
            }
            assert ("nothing-lit" in rules) == (aspect != dark), (form_name, aspect, rules)
