"""What a rulebook says itself gets no finding, whatever the rulebook: displays, lamps by name, lamps from the top."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import fixture_books
from lampwright.rulebooks.displays import reader
from support import findings_of, library, result_of

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader

BUNDLED = ("gb-colour-light", "us-norac", "us-bo-cpl")
"""Of those that the program brings: lenses and parts; heads, plates and mounts; lamps of two lights."""
BOOKS = [*BUNDLED, *fixture_books.NAMES]


def book(name: str) -> tuple[Rulebook, dict[str, str]]:
    """Return a rulebook, and its file if the program does not bring it."""
    if name in BUNDLED:
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


def lamps(form: FormReader, board: int) -> str:
    """Return the form's lamps by name, each with an output of its own."""
    return flow({lamp: f"{board}.{number}" for number, lamp in enumerate(form.lamps)})


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
    wired = [(form, lamps(one, board)) for board, (form, one) in enumerate(forms.items()) if one.lamps]
    signals = [flow({"form": form, "lamps": outputs}) for form, outputs in wired]
    down = {form: [colour for _, colour in one.column or ()] for form, one in forms.items()}
    signals += [flow({"form": form, "lamps": f"[{', '.join(colours)}]"}) for form, colours in down.items() if colours]
    boards = f"boards: {flow({str(board): '{kind: pwm-16}' for board in range(len(forms))})}\n"
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


def words(name: str) -> st.SearchStrategy[str]:
    """Return every name a rulebook has for anything, and some it has not."""
    rulebook, _ = book(name)
    elements = {element for form in rulebook.forms for element in reader(rulebook, form).lamps}
    heads = {head for form in rulebook.forms.values() for head in form.heads}
    named = {*rulebook.forms, *rulebook.aspects, *rulebook.indicators, *rulebook.plates, *rulebook.regimes}
    colours = {"red", "yellow", "green", "white", "dark", "lit", "flash", "flash red", "present"}
    return st.sampled_from(sorted(elements | heads | named | colours | {"nonsense", "main.nonsense"}))


def entries(name: str) -> st.SearchStrategy[dict[str, str]]:
    """Return signals with any name under any key: lists, maps and lone words as the schema may let them through."""
    word = words(name)
    plain = word.filter(lambda text: " " not in text)
    many = st.lists(plain, min_size=1, max_size=4, unique=True).map(lambda items: f"[{', '.join(items)}]")
    states = st.dictionaries(plain, word, min_size=1, max_size=3).map(flow)
    keys = {
        "form": st.sampled_from([*book(name)[0].forms, "nonsense"]),
        "lamps": many | st.dictionaries(plain, st.just("A.0") | states, min_size=1, max_size=4).map(flow),
        "shows": st.dictionaries(plain, plain | many | states, min_size=1, max_size=4).map(flow),
        "gives": plain | many,
        "blanked": plain | many,
        "plates": plain | many | states,
        "carries": plain | many,
        "mount": st.sampled_from(["ground", "high", "dwarf"]),
        "regime": plain,
        "installed": st.sampled_from(["1901", "1950..1970", "1979..1974"]),
        "year": st.sampled_from(["1900", "1950", "1950..2001", "nonsense"]),
        "like": st.sampled_from(["S0", "S1", "nowhere"]),
    }
    return st.fixed_dictionaries({}, optional=keys)


@pytest.mark.parametrize("name", BOOKS)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_no_signal_is_too_odd_to_be_checked(name: str, data: st.DataObject) -> None:
    """Whatever the schema lets through, no check raises, and every finding and what it relates to has a place."""
    rulebook, beside = book(name)
    signals = data.draw(st.lists(entries(name), min_size=1, max_size=3))
    result = result_of(plan(rulebook.id, [flow(signal) for signal in signals]), beside=beside)
    for finding in result.findings:
        assert finding.message
        for spot in (finding.spot, *finding.related):
            document = result.documents[spot.file]
            assert spot.span or document.place(spot.path, on_key=spot.on_key).line >= 1


@pytest.mark.parametrize("name", BOOKS)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_any_display_of_any_form_has_one_finding_unless_it_reads_as_meant(name: str, data: st.DataObject) -> None:
    """Lamps of the form in states they can be in, shown for an aspect it can give; posts with parts too."""
    rulebook, beside = book(name)
    forms = {form: reader(rulebook, form) for form in rulebook.forms}
    form_name = data.draw(st.sampled_from([form for form, one in forms.items() if one.gives and one.lamps]))
    form = forms[form_name]
    aspect = data.draw(st.sampled_from(form.gives))
    lamps = {lamp: data.draw(st.sampled_from(tokens)) for lamp, tokens in form.lamps.items()}
    lit = {lamp: state for lamp, state in lamps.items() if state != "dark"}
    signal = flow({"form": form_name, "shows": flow({aspect: flow(lit) if lit else "dark"})})
    rules = [finding.rule for finding in findings_of(plan(rulebook.id, [signal]), beside=beside)]
    part, _, meant = aspect.rpartition(".")
    hung = {name: state for name, state in form.displays(aspect)[0].items() if name in rulebook.plates}
    told = {**hung, **lit}  # a plate hangs there unless the plan says otherwise, a box is dark
    if form.read_parts(told)[part].aspect != meant:
        assert len(set(rules) - {"missing-aspect"}) == 1, (signal, rules)
    elif not part:
        assert set(rules) <= {"missing-aspect", "display-of-a-fault"}, (signal, rules)
