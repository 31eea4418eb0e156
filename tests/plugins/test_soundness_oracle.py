"""Soundness against brute force: every situation of random sequences, every fault of every bundled rulebook."""

from __future__ import annotations

import re
from itertools import product
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixture_books import FOLDER, NAMES
from lampwright import documents
from lampwright.rulebooks import load
from lampwright.rulebooks.displays import Kind, reader
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import END, step
from support import findings_of, library

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks import Rulebook

HEAD = """\
rulebook: 1
id: toy
title: A toy
source: memory
aspects:
  danger: {says: {authority: stop}}
  caution: {says: {authority: proceed, stop-at: next}}
  clear: {says: {authority: proceed}}
order: [[danger, caution, clear]]
forms:
  three-aspect:
    role: stop
    lamps: {green: green, yellow: yellow, red: red}
    shows: {danger: red, caution: yellow, clear: green}
sequence:
  stop:
"""
ASPECTS = ("danger", "caution", "clear")
NEXT = (
    "danger",
    "caution",
    "clear",
    "[danger, caution]",
    "{authority: stop}",
    "{authority: proceed}",
    "{authority: [stop, proceed]}",
    "{at-least: caution}",
    "{at-most: caution}",
)
CLASSES = ("main", "shunt", "[main, shunt]", "[main, shunt, call-on]")
SPEEDS = ("{below: line}", "{at-most: 40 km/h}", "{above: 40 km/h}", "{below: 80 km/h}", "line")
RULES = st.fixed_dictionaries(
    {},
    optional={
        "next": st.sampled_from(NEXT),
        "class": st.sampled_from(CLASSES),
        "speed": st.sampled_from(SPEEDS),
        "approached": st.sampled_from(("true", "false")),
    },
).filter(bool)


def written(rules: list[dict[str, str]]) -> str:
    """Return a rulebook with these conditions."""
    lines = []
    for number, rule in enumerate(rules):
        route = ", ".join(f"{key}: {rule[key]}" for key in ("class", "speed") if key in rule)
        facts = [f"{key}: {rule[key]}" for key in ("next", "approached") if key in rule]
        when = ", ".join([*facts, *([f"route: {{{route}}}"] if route else [])])
        lines.append(f"    - {{when: {{{when}}}, show: {ASPECTS[number % len(ASPECTS)]}}}\n")
    return HEAD + "".join(lines)


def every_situation(text: str) -> Iterator[dict[str, Any]]:
    """Yield situations, more finely cut than any rule cuts them; classes are those that rules name, and main."""
    classes = {"main", *re.findall(r"shunt|call-on", text.partition("sequence:")[2])}
    speeds = ("line", *(f"{speed} km/h" for speed in range(10, 130, 10)))
    for ahead, kind, speed, near in product((END, *ASPECTS), sorted(classes), speeds, (True, False)):
        yield {"next": ahead, "route": {"class": kind, "speed": speed}, "approached": near}


@settings(max_examples=80)
@given(st.lists(RULES, min_size=1, max_size=5))
def test_gaps_and_idle_rules_are_those_that_trying_everything_finds(rules: list[dict[str, str]]) -> None:
    """A gap is told if and only if a situation fits no rule, and exactly the rules that never come first are idle."""
    text = written(rules)
    book = load(documents.read(text.encode(), "toy.yaml").values, "toy.yaml")
    paths = [step(book, "stop", ASPECTS, situation, None).path for situation in every_situation(text)]
    found = findings_of(text)
    assert any(one.rule == "sequence-gap" for one in found) == (() in paths)
    told = {int(match[1]) for one in found if (match := re.match(r"rule (\d+) of stop never applies", one.message))}
    assert told == set(range(1, len(rules) + 1)) - {int(path[-1]) + 1 for path in paths if path}


@settings(max_examples=40)
@given(st.lists(RULES, min_size=1, max_size=4))
def test_the_counter_example_of_a_gap_is_one(rules: list[dict[str, str]]) -> None:
    """What the finding says fits none of the rules, fits none of the rules."""
    text = written(rules)
    book = load(documents.read(text.encode(), "toy.yaml").values, "toy.yaml")
    for one in findings_of(text):
        if one.rule == "sequence-gap":
            facts = dict(re.findall(r"([a-z.-]+): ([^,]+)", one.message.partition(" fits ")[2]))
            situation = {
                "next": facts.get("next", "clear"),
                "route": {"class": facts.get("route.class", "main"), "speed": facts.get("route.speed", "line")},
                "approached": facts.get("approached", "true") == "true",
            }
            assert step(book, "stop", ASPECTS, situation, None).path == ()


BOOKS = [*library().ids, *(f"tests/{name}" for name in NAMES)]


def text_of(name: str) -> str:
    """Return the file of a bundled rulebook, or of a fixture."""
    if name.startswith("tests/"):
        return (FOLDER / f"{name.removeprefix('tests/')}.yaml").read_text(encoding="utf-8")
    return (library().folder(name) / "rulebook.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", BOOKS)
def test_no_lost_lamp_frees_but_what_is_told_or_answered(name: str) -> None:
    """Every lamp of every display of every form put out, one at a time, and read."""
    text = text_of(name)
    values = documents.read(text.encode(), f"{name}.yaml").values
    book = load(values, f"{name}.yaml", library().get(values["like"]) if "like" in values else None)
    told = [one.message.partition(" at ") for one in findings_of(text) if one.rule == "freer-when-failed"]
    named = {(form, after) for forms, _, after in told for form in re.split(r", | and ", forms)}
    for form, aspect, lamp, read in freed(book):
        answered = any(
            fault.lost in (lamp, "any") and (not fault.within or aspect in fault.within)
            for fault in book.forms[form].faults
        )
        assert answered or any(
            where == form and after.startswith(f"{aspect} with {lamp} lost reads as {read}") for where, after in named
        )


def freed(book: Rulebook) -> Iterator[tuple[str, str, str, str]]:
    """Yield each form and aspect, the lamp put out, and the freer aspect that is read then."""
    for name, form in book.forms.items():
        made = reader(book, name)
        for aspect in () if form.parts else made.gives:
            for display in made.displays(aspect):
                for lamp in (one for one in display if one in made.lamps):
                    reading = made.read({one: state for one, state in display.items() if one != lamp})
                    read = reading.aspect or (reading.in_doubt if reading.kind is Kind.NONE else "")
                    if read and book.order.less_restrictive(read, aspect) is Verdict.YES:
                        yield name, aspect, lamp, read
