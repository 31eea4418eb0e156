"""The aspect sequence chart, compared with what the sequence itself works out and with what is published."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from drawn import lenses, parsed, with_class
from lampwright.documents import read
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.working.reach import reach
from lampwright_drawing.sequences import sequence
from lampwright_drawing.svg import picture
from support import library

if TYPE_CHECKING:
    from xml.etree import ElementTree as ET

EXAMPLES = sorted((Path(__file__).parents[2] / "rulesets").glob("*/examples/*.yaml"))


def layout(path: Path) -> Layout:
    """Return an example plan, bound."""
    return Layout(load(read(path, path.name).values, path.name), library())


def letters(row: ET.Element) -> list[tuple[str, str]]:
    """Return the signals of a row, each with the letters of what is lit, from the top down."""
    found = []
    for group in with_class(row, "signal"):
        lit = sorted((one.y, one.letter) for one in lenses(group) if "lit" in one.classes)
        found.append((str(group.get("data-signal")), "".join(letter for _, letter in lit)))
    return found


def test_four_aspects_count_down_to_danger() -> None:
    """Green, double yellow, yellow, red: Network Rail, "Jargon buster: Four aspect signal" (verified)."""
    (path,) = [one for one in EXAMPLES if one.stem == "merrowdale-junction"]
    rows = with_class(parsed(picture(sequence(layout(path), "MJ9"))), "row")
    assert [letters(row) for row in rows] == [
        [("MJ9", "R")],
        [("MJ9", "Y"), ("MJ11", "R")],
        [("MJ9", "YY"), ("MJ11", "Y"), ("MJ13", "R")],
        [("MJ9", "G"), ("MJ11", "YY"), ("MJ13", "Y")],
    ]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_aspect_that_can_be_asked_for_has_its_row(path: Path) -> None:
    """Of each signal of each example: its aspects in the chart are those that the sequence reaches."""
    bound = layout(path)
    found = reach(bound)
    for name, signal in bound.signals.items():
        if signal.reader is None:
            continue
        root = parsed(picture(sequence(bound, name)))
        first = [with_class(row, "signal")[0].get("data-shows") for row in with_class(root, "row")]
        asked = {aspect for _, aspect in found.first(name)} - {"dark", "unlit"}
        for aspect in asked:
            assert any(aspect in str(shown) for shown in first), (name, aspect, first)
