"""Heads that are one lens, rows of lights that are one lamp, and tables of a sequence: what each of them comes to."""

from __future__ import annotations

import pytest

from lampwright import documents
from lampwright.rulebooks import load
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.failing import failings
from lampwright.rulebooks.sequence import step
from support import rules_of

BOOK = """rulebook: 1
id: toy
title: A toy
source: memory
notation: {R: red, Y: yellow, G: green}
speeds: {normal: line, slow: 15 mph}
aspects:
  stop: {patterns: R/R, says: {authority: stop}}
  pass: {patterns: R/R+staggered, says: {authority: stop-then-sight}}
  approach: {patterns: Y/R, says: {authority: proceed, stop-at: next}}
  slow-clear: {patterns: R/G, says: {authority: proceed, speed-now: slow}}
  clear: {patterns: G/R, says: {authority: proceed}}
order: [[stop, pass, approach, clear], [pass, slow-clear, clear]]
forms:
  two:
    role: stop
    marks: {staggered: true}
    heads:
      upper: {letters: GYR, at: [0, 1], lens: true, unpowered: red}
      lower: {letters: GYR, at: [0, 0], lens: true, unpowered: red}
    in-doubt: stop
sequence:
  - table:
      down: route.speed
      across: next.speed-now
      cells: {normal: {normal: clear, stop: approach}, slow: {normal: slow-clear, stop: slow-clear}}
"""


def test_a_lens_without_power_falls_to_its_colour() -> None:
    """It is tried beside the lens that is dark."""
    document = documents.read(BOOK.encode(), "toy.yaml")
    signal = reader(load(document.values, document.name), "two")
    seen = {(item.elements, item.reading.aspect) for item in failings(signal) if item.meaning.aspect == "clear"}
    assert seen == {(("upper",), ""), (("upper",), "pass"), (("lower",), "")}


@pytest.mark.parametrize(
    ("head", "rules"),
    [
        ("letters: GYR, at: [0, 1], lens: true, unpowered: lunar", ["unknown-name"]),
        ("letters: GYR, at: [0, 1], unpowered: red", ["unknown-name"]),
    ],
)
def test_only_a_lens_falls_to_a_colour_and_to_one_it_has(head: str, rules: list[str]) -> None:
    """A head of several lamps is dark without power."""
    assert set(rules_of(BOOK.replace("letters: GYR, at: [0, 1], lens: true, unpowered: red", head))) == set(rules)


@pytest.mark.parametrize(("ahead", "shown"), [("stop", "approach"), ("pass", "approach"), ("clear", "clear")])
def test_a_permissive_stop_ahead_is_a_stop_in_a_table(ahead: str, shown: str) -> None:
    """Stop and Proceed says no speed: by its speed alone it would be taken for the line's."""
    document = documents.read(BOOK.encode(), "toy.yaml")
    book = load(document.values, document.name)
    situation = {"next": ahead, "route": {"speed": "line"}}
    assert step(book, "stop", reader(book, "two").gives, situation, None).must == shown


def test_a_row_of_lights_is_not_taken_for_one_light() -> None:
    """By sight all lights of a lamp count: a strip of four alone is no single green, and a lost row leaves one."""
    text = """rulebook: 1
id: strip
title: A strip
source: memory
aspects:
  clear: {shows: green, says: {authority: proceed}}
  slow: {shows: [green, strip], says: {authority: proceed, speed-now: 40 km/h}}
forms:
  head:
    read-by: sight
    lamps: {green: {colour: green, at: [0, 1]}, strip: {colour: green, at: [[0, 0], [1, 0], [2, 0], [3, 0]]}}
"""
    signal = reader(load(documents.read(text.encode(), "strip.yaml").values, "strip.yaml"), "head")
    read = {lamp: signal.read({lamp: "lit"}).aspect for lamp in ("green", "strip")}
    assert read == {"green": "clear", "strip": ""}
