"""``lampwright rulebooks``: the list, one rulebook, one form, and every display of it."""

from __future__ import annotations

import re
from itertools import product
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from command_line import call
from fixture_books import NAMES, rulebook
from lampwright.commands import form_page, rulebook_page
from lampwright.commands.sequence_page import sequence
from lampwright.findings import Basis
from lampwright.reports.lamps import Lamps
from lampwright.reports.style import Style
from lampwright.reports.tables import NARROW, Drawn, table
from lampwright.rulebooks import combinations
from lampwright.rulebooks.combinations import census, in_words, one_lamp_away
from lampwright.rulebooks.displays import FormReader, reader
from lampwright.rulebooks.model import Rule
from lampwright.rulebooks.reliance import data, remembered, resting
from support import bundled, library

if TYPE_CHECKING:
    from pathlib import Path

    from lampwright.reports.tables import Cell
    from lampwright.rulebooks import Rulebook
    from plugin_site import Site

PLAIN = Style(colour=False)
SECTIONS = ["Aspects", "Order", "Forms", "Indicators", "Plates", "Sequence", "What", "Eras", "Sources,", "From"]


def forms(book: Rulebook) -> list[FormReader]:
    """Return the forms of a rulebook that have no parts."""
    return [reader(book, name) for name, form in book.forms.items() if not form.parts]


def test_the_list() -> None:
    """One row a rulebook, with its years and how much it holds."""
    done = call("rulebooks")
    assert done.code == 0
    head, *rows = done.out.splitlines()
    assert head.split() == ["rulebook", "years", "aspects", "forms", "indicators", "territory", "title"]
    assert any(row.startswith("gb-colour-light  1923..  ") for row in rows)


def test_a_form_is_drawn_as_it_is_seen() -> None:
    """Lamps from the top down, each its letter; a dot is dark, a star flashes."""
    done = call("rulebooks", "gb-colour-light", "--form", "four-aspect")
    assert done.code == 0
    lines = [re.sub(r"  +", "  ", line) for line in done.out.splitlines()]
    assert lines[0].startswith("four-aspect  Y  G  Y  R  Four-aspect signal; stop; 1926..")
    for row in (
        "  danger  .  .  .  R",
        "  caution  .  .  Y  .",
        "  preliminary-caution  Y  .  Y  .",
        "  clear  .  G  .  .",
        "  flashing-caution  .  .  Y* .  optional; 1975..",
    ):
        assert row in lines
    assert "lamps  upper-yellow, green, lower-yellow, red" in lines
    assert ". dark, * flashing; lamps from the top down" in lines


def test_what_one_lamp_makes_of_an_aspect() -> None:
    """A lamp lost, stuck, flashing: what a driver reads then, and how many combinations say nothing at all."""
    done = call("rulebooks", "gb-colour-light", "--form", "four-aspect", "--displays")
    lines = [re.sub(r"  +", "  ", line) for line in done.out.splitlines()]
    assert "four-aspect, 81 combinations of lamps dark, steady and flashing" in lines
    for row in (
        "  preliminary-caution  lower-yellow dark  Y  .  .  .  caution",
        "  clear  red steady  .  G  .  R  no aspect; in doubt danger",
        "  caution  upper-yellow steady  Y  .  Y  .  preliminary-caution",
        "  clear  green dark  .  .  .  .  no aspect; in doubt danger",
    ):
        assert row in lines
    counts = [int(line.split()[0]) for line in lines[-3:]]
    assert sum(counts) == 81


def test_every_combination_on_request() -> None:
    """Three states of four lamps; each row once."""
    done = call("rulebooks", "gb-colour-light", "--form", "four-aspect", "--all")
    rows = done.out.partition("a driver reads\n")[2].splitlines()
    assert len(rows) == 81
    assert len({row[:13] for row in rows}) == 81


def test_parts_are_read_each_by_itself() -> None:
    """A main signal with a position light: two tables."""
    done = call("rulebooks", "gb-colour-light", "--form", "four-aspect-with-position-light", "--displays")
    assert "\nmain: four-aspect, 81 combinations of lamps" in done.out
    assert "\nsubsidiary: position-light, 9 combinations of lamps" in done.out


@pytest.mark.parametrize("name", NAMES)
def test_what_combinations_mean_is_computed_and_complete(name: str) -> None:
    """Brute force is the oracle: every combination is an aspect, one lamp away from one, or among the others."""
    for form in forms(rulebook(name)):
        if form.count() > 5000:
            continue
        counts = census(form)
        assert counts.others is not None
        assert counts.aspects + counts.near + sum(counts.others.values()) == form.count()
        legal = {meaning.lamps for meaning in form.meanings}
        commanded = [dict(meaning.lamps) for meaning in form.meanings if meaning.commanded]
        near = 0
        for tokens in product(*form.lamps.values()):
            lit = dict(zip(form.lamps, tokens, strict=True))
            off = [sum(lit[lamp] != other.get(lamp, "dark") for lamp in lit) for other in commanded]
            is_legal = frozenset(item for item in lit.items() if item[1] != "dark") in legal
            near += 1 in off and not is_legal
        assert counts.near == near


def test_what_is_too_much_is_counted_without_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    """A form of many lamps ends the listing, not the program."""
    monkeypatch.setattr(combinations, "CAP", 80)
    monkeypatch.setattr(form_page, "CAP", 80)
    near = call("rulebooks", "gb-colour-light", "--form", "four-aspect", "--displays").out
    assert near.splitlines()[-1].split(maxsplit=1)[1] == "others, not read one by one: there are more than 80"
    assert call("rulebooks", "gb-colour-light", "--form", "four-aspect", "--all").out.endswith(
        "They are not listed: there are more than 80.\n"
    )


def test_in_words() -> None:
    """An aspect by its name; none by what a driver does then."""
    form = forms(rulebook("norway"))[0]
    readings = {in_words(item.reading) for item in one_lamp_away(form)}
    assert any(words.startswith("no aspect") for words in readings)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("style", [PLAIN, Style(colour=True)], ids=["plain", "coloured"])
def test_every_rulebook_can_be_printed(name: str, style: Style) -> None:
    """Heads, lenses, many states, forms of parts: nothing falls over, and colour changes no letter."""
    book = rulebook(name)
    lines = list(rulebook_page.page(book, style, 100))
    for form in book.forms:
        lines += form_page.form(book, form, style, 100)
        lines += form_page.displays(book, form, style, 100, every=False)
    text = "\n".join(lines)
    for aspect in (aspect for form in forms(book) for aspect in form.gives):
        assert f"  {aspect} " in text
    if style.colour:
        plain = list(rulebook_page.page(book, PLAIN, 100))
        assert re.sub(r"\x1b\[[0-9;]*m", "", "\n".join(lines[: len(plain)])) == "\n".join(plain)


def test_a_lens_shows_the_letter_of_its_colour() -> None:
    """And a state that is neither steady nor flashing is named."""
    searchlight = reader(rulebook("nl-1946"), next(iter(rulebook("nl-1946").forms)))
    (lens,) = searchlight.lamps
    head, steady, slow = Lamps(searchlight, PLAIN).sheet([{lens: "green"}, {lens: "slow-flash red"}])
    assert set(head.plain.strip().split("/")) == {"G", "Y", "R"}
    assert steady.plain.strip() == "G"
    assert slow.plain.strip() == "R(slow-flash)"


def test_one_whole_rulebook() -> None:
    """Aspects, forms with their lamps, indicators, eras, sources, and what is known from memory alone."""
    done = call("rulebooks", "gb-colour-light")
    assert done.code == 0
    titles = [line for line in done.out.splitlines() if line and not line.startswith(" ")]
    assert titles[0].startswith("gb-colour-light  ")
    assert [title.split()[0] for title in titles[2:]] == SECTIONS
    assert re.search(r"^  danger +R +R, Danger: stop$", done.out, re.MULTILINE)
    assert "  danger < caution < preliminary-caution < flashing-preliminary-caution < clear" in done.out
    assert re.search(r"^  british-rail +1965\.\.1994$", done.out, re.MULTILINE)
    assert all(len(line) <= 100 for line in done.out.splitlines())


def test_how_much_rests_on_which_source() -> None:
    """Every datum rests on a source or on memory, and what rests on memory alone is what ``why`` says."""
    book = rulebook("norway")
    paths = data(book)
    assert len(paths) == len(set(paths)) > 40
    assert ("sources",) not in {path[:1] for path in paths}
    assert sum(resting(book).values()) >= len(paths)
    assert remembered(book) == [path for path in paths if book.why(*path).basis is Basis.MEMORY]
    assert 0 < len(remembered(book)) < len(paths)


def test_the_sequence_is_a_table() -> None:
    """A row for each rule, with its condition as it is written and what must or may stand, whatever the width."""
    lines = [re.sub(r"  +", "  ", line.strip()) for line in call("rulebooks", "nl-1954").out.splitlines()]
    row = lines.index("3  yellow before a signal at stop  s212")
    assert lines[row + 1] == "next.authority stop or none"
    assert "5  yellow before a route of low speed  s212; may show s209 or s210" in lines
    assert "route.speed above low" in " ".join(lines)


def test_a_table_of_the_book_is_printed_as_a_table() -> None:
    """Rows and columns as the book has them; cell by cell where that is too wide."""
    rule = Rule(table={"down": "route.speed", "across": "next.speed-now", "cells": CELLS})
    book = replace(rulebook("norway"), sequence={"stop": (rule,)})
    assert sequence(book, PLAIN, 60)[1:] == [
        "  route.speed down, next.speed-now across",
        "            normal  slow",
        "    normal  clear   approach",
        "    slow            slow-clear or slow-approach",
    ]
    assert sequence(book, PLAIN, 40)[2:] == [
        "    normal  normal  clear",
        "    normal  slow    approach",
        "    slow    slow    slow-clear or slow-approach",
    ]


def test_faults_are_told_with_what_answers_them() -> None:
    """An interlock, what is accepted in words, and for which forms."""
    told = " ".join(call("rulebooks", "jp-colour-light").out.split())
    assert "upper-yellow lost at restricted-caution: stop instead (head-4a and head-5)" in told
    assert "accepted: flashing is the tighter state of green" in " ".join(call("rulebooks", "nl-1954").out.split())


def test_pages_keep_to_their_width() -> None:
    """Every bundled rulebook; at less than they are made for, only the narrowest column may stick out."""
    for name in library().ids:
        assert all(len(line) <= 100 for line in rulebook_page.page(bundled(name), PLAIN, 100)), name
        assert all(len(line) <= 80 + NARROW for line in rulebook_page.page(bundled(name), PLAIN, 80)), name


def test_the_list_by_territory_and_year() -> None:
    """Letters large or small; the years a rulebook is for; 3 and what there is if none is left."""
    lines = call("rulebooks", "--territory", "GERM").out.splitlines()[1:]
    german = [line for line in lines if not line.startswith(" ")]  # a long title goes on below
    assert {row.split()[0] for row in german} >= {"de-hv", "de-ks"}
    assert all("Germany" in row for row in german)
    assert "de-ks" not in call("rulebooks", "--territory", "germany", "--year", "1965").out
    assert "de-hv" in call("rulebooks", "--territory", "germany", "--year", "1960..1965").out
    nothing = call("rulebooks", "--territory", "netherlands", "--year", "1900")
    assert (nothing.code, nothing.out) == (3, "")
    assert nothing.err.startswith("lampwright: there is no such rulebook; there are of ")
    assert "of Netherlands nl-1954 1955.." in nothing.err


def test_two_rulebooks_compared() -> None:
    """What is the same light with another meaning comes first, then what is alike, then what only one knows."""
    out = call("rulebooks", "gb-colour-light", "--compare", "nl-1954").out
    other, alike, ours, theirs = re.split(r"\n\n.*: \d+ displays?\n", out)[1:]
    rows = [re.sub(r"  +", "  ", line.strip()) for line in other.splitlines()]
    assert "Y*  gb-colour-light  flashing-caution  proceed, ready to stop at the second signal, expecting" in rows
    assert "nl-1954  s214  proceed on sight, at 40 km/h" in rows
    assert [line.split()[:3] for line in alike.splitlines()] == [
        ["R", "gb-colour-light", "danger"],
        ["nl-1954", "s215", "stop"],
    ]
    assert re.search(r"^  Y Y +preliminary-caution", ours, re.MULTILINE)
    assert re.search(r"^  G\* \+ white figure +s202", theirs, re.MULTILINE)
    assert all(len(line) <= 100 for line in out.splitlines())


def test_a_comparison_in_a_year_leaves_out_what_was_not_in_use() -> None:
    """Flashing yellow of Great Britain is later than 1965."""
    before = call("rulebooks", "nl-1954", "--compare", "gb-colour-light", "--year", "1965").out
    assert before.startswith("nl-1954 and gb-colour-light in 1965, by the lights")
    assert "flashing-caution" not in before
    assert "flashing-caution" in call("rulebooks", "nl-1954", "--compare", "gb-colour-light").out


CELLS = {
    "normal": {"normal": "clear", "slow": "approach"},
    "slow": {"normal": None, "slow": ["slow-clear", "slow-approach"]},
}

WRONG_CALLS = {
    ("gb-colour-light", "--compare", "de-hw"): "there is no rulebook de-hw: did you mean de-hv?",
    ("--compare", "de-hv"): "these options need the ID of a rulebook",
    ("de-hv", "--compare", "de-ks", "--form", "hp-block"): "--compare is for whole rulebooks",
    ("de-hv", "--territory", "germany"): "--territory is for the list",
    ("de-hv", "--year", "1960"): "--year is for the list and for --compare",
    ("--year", "soon"): "Invalid value for '--year'",
    ("gb-color-light",): "there is no rulebook gb-color-light: did you mean gb-colour-light?",
    ("gb-colour-light", "--form", "for-aspect"): "there is no form of gb-colour-light for-aspect: did you mean",
    ("gb-colour-light", "--displays"): "--displays and --all need a form",
    ("--form", "four-aspect"): "these options need the ID of a rulebook",
}


@pytest.mark.parametrize(("arguments", "said"), WRONG_CALLS.items())
def test_a_wrong_call_says_what_would_be_right(arguments: tuple[str, ...], said: str) -> None:
    """2, and nothing on standard output."""
    done = call("rulebooks", *arguments)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f"lampwright: {said}")


def test_a_rulebook_that_cannot_be_used_is_named(site: Site, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """In the list and by itself: where it is wrong, and 1."""
    folder = tmp_path / "books" / "broken"
    folder.mkdir(parents=True)
    (folder / "rulebook.yaml").write_text("rulebook: 1\nid: broken\ntitel: Broken\n", encoding="utf-8")
    code = f"import pathlib\n@hookimpl\ndef rulebooks():\n    return [pathlib.Path({str(folder.parent)!r})]"
    site.install("books", code)
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "books,rulebooks")
    for arguments in ((), ("broken",)):
        done = call("rulebooks", *arguments)
        assert done.code == 1
        assert "error[malformed]: titel is not a key of a rulebook\n" in done.out
        assert " --> broken/rulebook.yaml:3:1\n" in done.out
    assert "gb-colour-light  1923.." in call("rulebooks").out
    assert re.search(r"^broken +cannot be used: see below$", call("rulebooks").out, re.MULTILINE)


def test_tables_are_aligned_whatever_stands_in_them() -> None:
    """Wide characters, colour, numbers flush right, a last column that is wrapped."""
    rows: list[list[Cell]] = [
        ["信号", "7", "a b"],
        ["x", Drawn("12", "\x1b[31m12\x1b[0m"), "a long text " * 3],
        ["", "", ""],
    ]
    assert table(rows, 34, right={1}) == [
        "信号   7  a b",
        "x     \x1b[31m12\x1b[0m  a long text a long text",
        "          a long text",
        "",
    ]
