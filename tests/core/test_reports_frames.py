"""Frames: which lines are shown, where the marks stand, and what long or strange lines look like."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright import documents
from lampwright.findings import Finding, Level, Spot
from lampwright.reports.cut import cut
from lampwright.reports.frames import Frames
from lampwright.reports.printable import columns, printable, wrapped
from lampwright.reports.style import Style

PLAN = """\
plan: 1
rulebook: gb-colour-light
year: 1978
signals:
  HF1: {form: two-aspect-stop}
  HF3:
    form: four-aspect
    shows: {clear: [green, red]}
"""
RULEBOOK = "rulebook: 1\nforms:\n  four-aspect:\n    shows:\n      clear: green\n"


def frames(text: str, spot: Spot, *related: Spot, beside: str = RULEBOOK, width: int = 100) -> str:
    """Return the frames of a finding in ``plan.yaml``, which holds the text."""
    files = {"plan.yaml": documents.read(text.encode(), "plan.yaml"), "book.yaml": documents.read(beside.encode(), "")}
    finding = Finding("some-rule", Level.ERROR, "something is wrong", spot, related)
    return "\n".join(Frames(finding, files, Style(colour=False), width)) + "\n"


def in_plan(*path: str | int, label: str = "", on_key: bool = False) -> Spot:
    """Return a place in the plan."""
    return Spot("plan.yaml", path, label, on_key)


def span(line: int, column: int, end_line: int, end_column: int, label: str = "") -> Spot:
    """Return a place in the plan by its numbers."""
    return Spot("plan.yaml", (), label, span=(line, column, end_line, end_column))


def test_one_span() -> None:
    """The line, and the span below it."""
    assert frames(PLAN, in_plan("signals", "HF1", "form")) == (
        " --> plan.yaml:5:15\n"
        "  |\n"
        "5 |   HF1: {form: two-aspect-stop}\n"
        "  |               ^^^^^^^^^^^^^^^\n"
    )  # fmt: skip


def test_a_finding_across_two_files() -> None:
    """What the finding is about has carets, what it contradicts has dashes; each file has its place."""
    spot = in_plan("signals", "HF3", "shows", "clear", label="a driver would take this for danger")
    form = in_plan("signals", "HF3", "form", label="as in use in 1978")
    rule = Spot("book.yaml", ("forms", "four-aspect", "shows", "clear"), "the rulebook's clear")
    assert frames(PLAN, spot, form, rule) == (
        " --> plan.yaml:8:20\n"
        "  |\n"
        "7 |     form: four-aspect\n"
        "  |           ----------- as in use in 1978\n"
        "8 |     shows: {clear: [green, red]}\n"
        "  |                    ^^^^^^^^^^^^ a driver would take this for danger\n"
        "  |\n"
        " ::: book.yaml:5:14\n"
        "  |\n"
        "5 |       clear: green\n"
        "  |              ----- the rulebook's clear\n"
    )


def test_lines_far_apart_are_left_out_and_a_single_one_between_is_shown() -> None:
    """Dots stand for more than one line."""
    assert frames(
        PLAN, in_plan("signals", "HF1", on_key=True), in_plan("year"), in_plan("signals", "HF3", "shows")
    ) == (
        " --> plan.yaml:5:3\n"
        "  |\n"
        "3 | year: 1978\n"
        "  |       ----\n"
        "4 | signals:\n"
        "5 |   HF1: {form: two-aspect-stop}\n"
        "  |   ^^^\n"
        "...\n"
        "8 |     shows: {clear: [green, red]}\n"
        "  |            ---------------------\n"
    )


def test_two_spans_in_one_line() -> None:
    """Each has a row of its own, from left to right."""
    clear, shown = (
        in_plan("signals", "HF3", "shows", "clear", 1),
        in_plan("signals", "HF3", "shows", label="as written"),
    )
    assert frames(PLAN, clear, shown).splitlines()[2:] == [
        "8 |     shows: {clear: [green, red]}",
        "  |            --------------------- as written",
        "  |                            ^^^",
    ]


def test_the_column_of_numbers_is_as_wide_as_the_widest() -> None:
    """Whichever file it stands in."""
    beside = "rulebook: 1\n" + "# \n" * 120 + "forms: {}\n"
    assert frames(PLAN, in_plan("year"), Spot("book.yaml", ("forms",)), beside=beside) == (
        "   --> plan.yaml:3:7\n"
        "    |\n"
        "  3 | year: 1978\n"
        "    |       ^^^^\n"
        "    |\n"
        "   ::: book.yaml:122:8\n"
        "    |\n"
        "122 | forms: {}\n"
        "    |        --\n"
    )


def test_a_span_of_several_lines_is_shown_by_its_first() -> None:
    """To the end of what is written there."""
    assert frames(PLAN, in_plan("signals", "HF3")).splitlines()[2:] == [
        "7 |     form: four-aspect",
        "  |     ^^^^^^^^^^^^^^^^^",
    ]


def test_tabs_are_opened_and_wide_characters_are_underlined_whole() -> None:
    """A tab ends at every fourth column; an ideograph takes two, an accent set over a letter none."""
    text = "plan: 1\nname: [\t信号,\te\u0301h]\n"
    assert frames(text, in_plan("name", 0), in_plan("name", 1)).splitlines()[2:] == [
        "2 | name: [ 信号,   e\u0301h]",
        "  |         ^^^^",
        "  |                 --",
    ]


def test_what_acts_on_a_terminal_is_shown_as_an_escape() -> None:
    """In the line, in a label, in the name of the file."""
    text = 'plan: 1\nname: "\u202egreen\u2066"\n'
    file = "a\x1b[2Jb.yaml"
    finding = Finding("some-rule", Level.ERROR, "", Spot(file, ("name",), "turned\x07\u202e"))
    shown = "\n".join(Frames(finding, {file: documents.read(text.encode(), file)}, Style(colour=False), 100))
    assert shown == (
        " --> a\\x1b[2Jb.yaml:2:7\n"
        "  |\n"
        '2 | name: "\\u202egreen\\u2066"\n'
        "  |       ^^^^^^^^^^^^^^^^^^^ turned\\x07\\u202e"
    )


def test_a_long_line_is_cut_around_the_span() -> None:
    """Both sides say that there is more; nothing is wider than it may be."""
    text = "plan: 1\nsignals: {" + ", ".join(f"HF{number}: {{form: three-aspect}}" for number in range(50)) + "}\n"
    first, middle, last = (frames(text, in_plan("signals", f"HF{number}", "form"), width=60) for number in (0, 25, 49))
    assert first.splitlines()[2:] == [
        "2 | signals: {HF0: {form: three-aspect}, HF1: {form: thre...",
        "  |                       ^^^^^^^^^^^^",
    ]
    assert middle.splitlines()[2:] == [
        "2 | ... HF25: {form: three-aspect}, HF26: {form: three-as...",
        "  |                  ^^^^^^^^^^^^",
    ]
    assert last.splitlines()[2:] == [
        "2 | ...48: {form: three-aspect}, HF49: {form: three-aspect}}",
        "  |                                           ^^^^^^^^^^^^",
    ]


def test_a_long_line_is_shown_once_for_each_place_that_does_not_fit_beside_the_other() -> None:
    """The same number stands before both parts."""
    text = "plan: 1\nsignals: {" + ", ".join(f"HF{number}: {{form: three-aspect}}" for number in range(50)) + "}\n"
    shown = frames(text, in_plan("signals", "HF49", "form"), in_plan("signals", "HF0", "form"), width=60)
    assert [line[:2] for line in shown.splitlines()[2:]] == ["2 ", "  ", "2 ", "  "]


def test_a_label_that_does_not_fit_stands_below() -> None:
    """Wrapped, under the span."""
    label = "a driver who knows the rule book would take this for danger and stop"
    shown = frames(PLAN, in_plan("signals", "HF3", "shows", "clear", label=label), width=60)
    assert shown.splitlines()[2:] == [
        "8 |     shows: {clear: [green, red]}",
        "  |                    ^^^^^^^^^^^^",
        "  |                    a driver who knows the rule book",
        "  |                    would take this for danger and stop",
    ]


def test_an_empty_span_is_one_caret() -> None:
    """As at the end of a file that ends too early."""
    assert frames(PLAN, span(9, 1, 9, 1)).splitlines()[2:] == ["9 |", "  | ^"]


def test_a_file_without_lines_has_a_place_and_no_frame() -> None:
    """It could not be read as text."""
    finding = Finding("not-text", Level.ERROR, "", span(1, 1, 1, 1), (in_plan(label="also here"),))
    empty = {"plan.yaml": documents.Document("plan.yaml")}
    assert list(Frames(finding, empty, Style(colour=False), 100)) == ["  --> plan.yaml:1:1"]


def test_a_finding_about_no_file_has_no_frame() -> None:
    """A plugin that failed stands in no file."""
    finding = Finding("failed-plugin", Level.ERROR, "", Spot("", ()))
    assert list(Frames(finding, {}, Style(colour=False), 100)) == []


def test_colour_adds_nothing_but_colour() -> None:
    """Without its codes the coloured frame is the plain one."""
    plan = {"plan.yaml": documents.read(PLAN.encode(), "plan.yaml")}
    spot, form = in_plan("signals", "HF3", "shows", label="here"), in_plan("signals", "HF3", "form", label="there")
    finding = Finding("some-rule", Level.WARNING, "", spot, (form,))
    coloured = "\n".join(Frames(finding, plan, Style(colour=True), 100))
    assert "\x1b[1;33m^^^^^^^^^^^^^^^^^^^^^ here\x1b[0m" in coloured
    plain = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    assert plain == "\n".join(Frames(finding, plan, Style(colour=False), 100))


LINES = st.text(st.characters(exclude_characters="\r\n"), max_size=200)


@given(LINES, st.data(), st.integers(30, 120))
def test_any_span_of_any_line_is_shown_and_fits(line: str, data: st.DataObject, room: int) -> None:
    """What stands above the marks is the beginning of the span, escapes and all; nothing runs over the edge."""
    start = data.draw(st.integers(0, len(line)))
    end = data.draw(st.integers(start, len(line)))
    shown = cut(line, start, end, room)
    assert columns(shown.text) <= room
    assert shown.width >= 1
    assert printable(shown.text) == shown.text
    spelt = printable(line[start:end].split("\t", maxsplit=1)[0])[:1].strip()
    if spelt and columns(spelt):
        tails = [shown.text[at:] for at in range(len(shown.text)) if columns(shown.text[:at]) == shown.start]
        assert any(tail.startswith(spelt) for tail in tails)


@given(st.text())
def test_printable_text_holds_only_what_is_seen(text: str) -> None:
    """Python's own judgement is the oracle; text that is harmless stays as it is."""
    shown = printable(text)
    assert shown.isprintable()
    assert all(character in shown for character in text if character.isprintable())
    assert (shown == text) == text.isprintable()


@pytest.mark.parametrize(
    ("text", "wide"),
    [("", 0), ("abc", 3), ("信号", 4), ("\uff46", 2), ("e\u0301", 1), ("é", 1), ("\ufe0f", 0), ("ﾊ", 1)],
)
def test_columns(text: str, wide: int) -> None:
    """Wide and full-width characters take two (Unicode Standard Annex 11); those set over others take none."""
    assert columns(text) == wide


@given(st.lists(st.text("abcdefgh", min_size=1, max_size=12), min_size=1), st.integers(12, 40))
def test_wrapping_keeps_every_word_and_the_width(words: list[str], width: int) -> None:
    """And no line could have taken the first word of the next."""
    lines = wrapped(" ".join(words), width)
    assert " ".join(lines) == " ".join(words)
    assert all(len(line) <= width for line in lines)
    assert all(len(line) + 1 + len(after.split()[0]) > width for line, after in pairwise(lines))
