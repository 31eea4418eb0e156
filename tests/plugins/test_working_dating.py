"""The years a plan can belong to, against looking at every year by itself."""

from __future__ import annotations

import json
from itertools import groupby
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from command_line import call
from lampwright.layout import Settings
from lampwright.project import Run
from lampwright.working.lacks import lacks
from lampwright.working.reach import reach
from lampwright.years import Years
from lampwright_working.dating import Dating, merged
from lampwright_working.phases import at, cut
from lampwright_working.printing.date import told
from support import library, new_library

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from lampwright.layout import Layout
    from lampwright.rulebooks import Rulebook

HEAD = "plan: 1\nrulebook: gb-colour-light\n"
EVERY_YEAR = range(1900, 2031)
BUFFERS = f"{HEAD}ends: {{bay: {{kind: buffer-stop}}}}\nsignals:\n  S1: {{form: FORM, routes: [{{to: bay}}]}}\n"
FLASHING = f"""{HEAD}ends: {{a: {{kind: off-stage, assume: [danger, clear]}}, b: {{kind: off-stage, assume: danger}}}}
signals:
  S1: {{form: FORM, routes: [{{to: S2}}]}}
  S2:
    form: FORM
    routes:
      - {{to: a, turns: straight, speed: 100 mph}}
      - {{to: b, turns: left, speed: 70 mph, indicator: position-1, release: {{from: yellow, flashing: true}}}}
"""


def book() -> Rulebook:
    """Return the rulebook of these plans."""
    found = library().get("gb-colour-light")
    assert found is not None
    return found


def layout_of(text: str, year: str = "", beside: Mapping[str, str] | None = None) -> Layout:
    """Return the layout of a plan; no check runs."""
    run = Run(new_library() if beside else library(), [], Settings(year))
    return run.over(
        [(name, content.encode()) for name, content in {"plan.yaml": text, **(beside or {})}.items()]
    ).layouts[0]


def dating_of(text: str) -> Dating:
    """Return when a plan can be set."""
    return Dating(layout_of(text))


def spans(years: Iterable[int]) -> list[tuple[int, int]]:
    """Return years as spans."""
    runs = (list(run) for _, run in groupby(enumerate(sorted(years)), lambda pair: pair[1] - pair[0]))
    return [(run[0][1], run[-1][1]) for run in runs]


def within(dating: Dating) -> list[tuple[int, int]]:
    """Return the good years among those that are looked at one by one."""
    return spans(year for year in EVERY_YEAR if any(span.covers(Years(year, year)) for span in dating.years))


FORMS = sorted(name for name, form in book().forms.items() if "subsidiary" not in form.roles)
PUT_UP = st.one_of(st.none(), st.integers(min_value=1920, max_value=2010))
STOCK = st.lists(st.tuples(st.sampled_from(FORMS), PUT_UP), min_size=1, max_size=5)


def reckoned(stock: list[tuple[str, int | None]]) -> Iterator[int]:
    """Yield every year in which all forms, and those of their parts, were in use, and all signals had been put up."""
    records = book().forms
    parts = {name: [name, *(part.form for part in records[name].parts.values())] for name, _ in stock}
    for form, put_up in stock:
        for name in parts[form] if put_up else ():
            record = records[name]
            told_otherwise = [
                *record.evidence.disputed.get("fitted", {}).values(),
                *record.evidence.disputed.get("years", {}).values(),
            ]
            new = [span for span in (record.fitted.shared(record.years), *map(Years.parse, told_otherwise)) if span]
            if put_up and not any(span.first <= put_up <= span.last for span in new):
                return
    for year in EVERY_YEAR:
        used = [records[name].years for form, _ in stock for name in parts[form]]
        there = all(put_up is None or put_up <= year for _, put_up in stock)
        if there and all(span.first <= year <= span.last for span in (book().years, *used)):
            yield year


@given(STOCK, st.booleans())
def test_forms_met_when_every_year_says_so(stock: list[tuple[str, int | None]], backwards: bool) -> None:  # noqa: FBT001
    """Whatever the forms, whenever put up, in whatever order."""
    numbered = list(enumerate(stock))
    signals = "".join(
        f"  S{number}: {{form: {form}{f', installed: {put_up}' if put_up else ''}}}\n"
        for number, (form, put_up) in (numbered[::-1] if backwards else numbered)
    )
    assert within(dating_of(f"{HEAD}signals:\n{signals}")) == spans(reckoned(stock))


PLANS = [
    *(
        BUFFERS.replace("FORM", form)
        for form in ("two-aspect-stop", "three-aspect", "four-aspect", "led-two-aspect-stop")
    ),
    *(FLASHING.replace("FORM", form) for form in ("three-aspect", "four-aspect", "searchlight", "led-four-aspect")),
]


@pytest.mark.parametrize("text", PLANS)
def test_what_the_sequence_asks_is_asked_year_by_year(text: str) -> None:
    """A year is good if everything named was in use, and nothing is missing that is not missing in every year."""
    layout = layout_of(text)
    named = [use.thing.time.years for use in Dating(layout).named]
    missing = {}
    for year in EVERY_YEAR:
        if book().years.covers(Years(year, year)):
            known = at(layout, Years(year, year))
            missing[year] = {(name, lack.aspect) for name in known.signals for lack in lacks(reach(known), name)}
    always = set.intersection(*missing.values())
    good = (
        year
        for year, lacking in missing.items()
        if not lacking - always and all(span.first <= year <= span.last for span in named)
    )
    assert within(Dating(layout)) == spans(good)


def test_a_head_without_flashing_is_no_matter_of_dates() -> None:
    """A searchlight never flashes, in any year: what is missing there is another check's."""
    assert within(dating_of(FLASHING.replace("FORM", "searchlight"))) == [(1934, 2030)]


def test_the_two_things_that_never_met_are_named() -> None:
    """A head that must show green to the buffers, and one that came later."""
    text = BUFFERS.replace("FORM", "two-aspect-stop") + "  S2: {form: led-three-aspect}\n"
    never = dating_of(text).never
    assert never is not None
    assert never.met is not None
    went, came = never.met
    assert (went.missing, went.use.signals) == ("caution", ("S1",))
    assert came.use.thing.name == "the form led-three-aspect"


def test_an_aspect_that_came_too_late_for_a_form_never_met_it() -> None:
    """Flashing yellows, and a rulebook whose heads had gone by then."""
    form = "forms:\n  old: {like: four-aspect, years: 1926..1966}\n"
    mine = f"rulebook: 1\nid: mine\ntitle: mine\nlike: gb-colour-light\n{form}"
    text = FLASHING.replace("FORM", "old").replace("rulebook: gb-colour-light", "rulebook: mine")
    dating = Dating(layout_of(text, beside={"mine.yaml": mine}))
    assert dating.never is not None
    assert dating.never.met is not None
    went, came = dating.never.met
    assert went.use.thing.name == "the form old"
    assert came.use.thing.name == "the aspect flashing-caution"
    assert came.use.signals == ("S1",)


def test_lamps_that_fit_several_forms_are_one_of_them() -> None:
    """In use as long as any of them was."""
    dating = dating_of(f"{HEAD}signals:\n  S1: {{lamps: [yellow, green, yellow, red]}}\n")
    assert [use.thing.name for use in dating.named][1:] == ["the form four-aspect"]
    several = dating_of(f"{HEAD}signals:\n  S1: {{lamps: {{main.red: A.0, main.green: A.1}}}}\n")
    assert within(several)


def test_a_signal_with_a_year_of_its_own_does_not_date_the_plan() -> None:
    """It is left out, and that is said."""
    dating = dating_of(f"{HEAD}signals:\n  S1: {{form: three-aspect}}\n  S2: {{form: led-three-aspect, year: 2010}}\n")
    assert within(dating) == [(1923, 2030)]
    assert [signal.name for signal in dating.apart] == ["S2"]


def test_sources_that_differ_on_new_ones_leave_a_doubt() -> None:
    """New searchlights until about 1960, or until 1991."""
    text = f"{HEAD}signals:\n  S1: {{form: searchlight, installed: YEAR}}\n"
    assert not dating_of(text.replace("YEAR", "1955")).doubts
    (doubt,) = dating_of(text.replace("YEAR", "1985")).doubts
    assert doubt.other is not None
    assert doubt.other.years.last == 1991
    assert within(dating_of(text.replace("YEAR", "1985"))) == [(1985, 2030)]
    (clash,) = dating_of(text.replace("YEAR", "1995")).clashes
    assert clash.signal == "S1"
    assert within(dating_of(text.replace("YEAR", "1995"))) == []


def test_what_else_is_dated() -> None:
    """Indicators carried or lit, plates, aspects shown, given or assumed."""
    text = f"""{HEAD}ends: {{a: {{kind: off-stage, assume: flashing-caution}}}}
signals:
  S1: {{form: four-aspect, carries: [junction-bar], plates: [semi], shows: {{flashing-clear: {{green: flash}}}}}}
  S2: {{form: four-aspect, gives: [danger, caution], routes: [{{to: a, turns: left, indicator: position-1}}]}}
"""
    names = [use.thing.name.removeprefix("the ") for use in dating_of(text).named]
    assert names == [
        "rulebook gb-colour-light",
        "form four-aspect",
        "indicator junction-bar",
        "aspect flashing-clear",
        "plate semi",
        "indicator junction",
        "aspect caution",
        "aspect danger",
        "aspect flashing-caution",
    ]
    assert within(dating_of(text)) == [(2005, 2030)]


def test_a_plan_without_a_rulebook_has_no_date() -> None:
    """Nothing in it can be dated but the signals that say when they were put up."""
    assert dating_of("plan: 1\nsignals: {S1: {form: x}}\n").named == []
    assert within(dating_of("plan: 1\nsignals: {S1: {form: x, installed: 1955}}\n")) == [(1955, 2030)]


@given(st.lists(st.tuples(st.integers(1900, 2030), st.integers(0, 40)), max_size=6))
def test_pieces_of_time_are_cut_where_anything_changes(bounds: list[tuple[int, int]]) -> None:
    """Together they are all time; no span begins or ends inside one."""
    named = [Years(first, first + length) for first, length in bounds]
    pieces = cut(named)
    assert merged(pieces) == (Years(),)
    assert all(span.covers(piece) or not span.meets(piece) for span in named for piece in pieces)


@pytest.mark.parametrize(
    ("span", "words"),
    [("1926..", "from 1926"), ("..1966", "until 1966"), ("1930..1960", "from 1930 to 1960"), ("1975", "in 1975")],
)
def test_spans_in_words(span: str, words: str) -> None:
    """As a sentence has them."""
    assert told(Years.parse(span)) == words
    assert told(Years()) == "in any year"


# ---- the command


def dated(folder: Path, text: str, *more: str) -> str:
    """Return what the command prints of a plan."""
    file = folder / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    done = call("date", file, *more)
    assert (done.code, done.err) == (0, "")
    return done.out


def test_the_years_are_told_with_what_bounds_them(tmp_path: Path) -> None:
    """Each side by source and basis, and the plan's own year beside them."""
    out = dated(tmp_path, BUFFERS.replace("FORM", "two-aspect-stop") + "year: 1980\n")
    assert "Everything in it existed together from 1923 to 1975.\n" in out
    assert '  not before 1923: the rulebook gb-colour-light, in use from 1923; "railsigns.uk", 7.2 (verified)\n' in out
    assert "  not after 1975: S1 would have to show caution, and cannot:" in out
    assert "The plan is set in 1980, which does not fit.\n" in out
    assert "which fits" in dated(tmp_path, BUFFERS.replace("FORM", "two-aspect-stop"), "--year", "1950")
    assert "only a part fits" in dated(tmp_path, BUFFERS.replace("FORM", "two-aspect-stop"), "--year", "1970..1980")


def test_never_and_why(tmp_path: Path) -> None:
    """In text and for programs."""
    text = BUFFERS.replace("FORM", "two-aspect-stop") + "  S2: {form: led-three-aspect}\n"
    assert "Never: the rule" in dated(tmp_path, text)
    plan: dict[str, Any] = json.loads(dated(tmp_path, text, "--format", "json"))["plans"][0]
    assert plan["years"] == []
    assert [bound["thing"] for bound in plan["never"]["met"]][1] == "the form led-three-aspect"
    clash = dated(tmp_path, f"{HEAD}signals:\n  S1: {{form: searchlight, installed: 1995}}\n")
    assert "Never: S1 was put up in 1995, and new ones of the form searchlight were put up from 1930 to 1960." in clash


def test_where_sources_differ_it_is_shown(tmp_path: Path) -> None:
    """With what each makes of the years."""
    out = " ".join(dated(tmp_path, FLASHING.replace("FORM", "four-aspect")).split())
    assert (
        'the aspect flashing-caution from 1982 by "Railway signalling", an encyclopaedia (secondary): then from 1982'
        in out
    )


def test_a_plan_that_cannot_be_used_is_told_of(tmp_path: Path) -> None:
    """Exit code 1 with the finding on the side; 3 if there is no plan; 2 for a wrong call."""
    broken = tmp_path / "broken.yaml"
    broken.write_text("plan: 1\nsignals: [\n", encoding="utf-8")
    done = call("date", broken)
    assert (done.code, done.out) == (1, "")
    assert "broken.yaml:" in done.err
    empty = tmp_path / "empty"
    empty.mkdir()
    assert call("date", empty).code == 3
    assert call("date", tmp_path / "nowhere").code == 2
