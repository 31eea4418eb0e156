"""Signals and aspect sheets, read back from the SVG and compared with what the rulebooks say."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawn import Seen, lenses, parsed, texts, with_class
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.rulebooks.anatomy import FITTED
from lampwright.rulebooks.displays import FormReader, reader
from lampwright_drawing.elevations import signal as drawn
from lampwright_drawing.hardware import STEP
from lampwright_drawing.pictures import ASPECTS, of_layout
from lampwright_drawing.sheets import form_displays, form_sheet
from lampwright_drawing.subjects import of_form, of_signal
from lampwright_drawing.svg import identifier, picture, tag
from support import bundled, library

FORMS = [(book, form) for book in library().ids for form in bundled(book).forms]
HOSTILE = "</title><script>alert(1)</script>\"'&\x00\u202e"


@cache
def form_of(book: str, form: str) -> FormReader:
    """Return a form of a bundled rulebook."""
    return reader(bundled(book), form)


def places(form: FormReader) -> dict[str, list[tuple[float, float]]]:
    """Return where the rulebook puts each lamp that can be lit, in steps; a lamp without a place has an empty one.

    Written anew from the data: parts at their places, lamps that parts share once.
    """
    if not form.parts:
        fitted = {name: lamp for name, lamp in form.anatomy.places.items() if lamp.place in FITTED}
        return {name: [(float(right), float(up)) for right, up in lamp.at] for name, lamp in fitted.items()}
    found: dict[str, list[tuple[float, float]]] = {}
    again = {name for group in form.form.shared for name in group[1:]}
    for part, inner in form.parts.items():
        at = form.form.parts[part].at or (0, 0)
        for name, points in places(inner).items():
            if f"{part}.{name}" not in again:
                found[f"{part}.{name}"] = [(x + float(at[0]), y + float(at[1])) for x, y in points]
    return found


@pytest.mark.parametrize(("book", "name"), FORMS)
def test_a_form_is_drawn_with_every_lamp_at_its_place(book: str, name: str) -> None:
    """As many lenses as the rulebook has lights, as far apart as it says, dark, each with its letters."""
    form = form_of(book, name)
    said = places(form)
    seen = lenses(parsed(picture(drawn(of_form(form)))))
    assert Counter(one.lamp for one in seen) == Counter({lamp: max(1, len(at)) for lamp, at in said.items()})
    assert all("dark" in one.classes for one in seen)
    known = [(lamp, at) for lamp, points in said.items() for at in points]
    if known:
        shift_x = min(x for _, (x, _) in known) * STEP
        shift_y = -max(y for _, (_, y) in known) * STEP
        sure = [one for one in seen if "doubtful" not in one.classes]
        left, top = min(one.x for one in sure), min(one.y for one in sure)
        there = sorted((one.lamp, round(one.x - left, 1), round(one.y - top, 1)) for one in sure)
        assert there == sorted(
            (lamp, round(x * STEP - shift_x, 1), round(-y * STEP - shift_y, 1)) for lamp, (x, y) in known
        )


@pytest.mark.parametrize(("book", "name"), FORMS)
def test_lenses_do_not_cover_each_other(book: str, name: str) -> None:
    """Two lamps stand apart unless the rulebook itself puts them at one place."""
    seen = lenses(parsed(picture(drawn(of_form(form_of(book, name))))))
    for index, one in enumerate(seen):
        for other in seen[index + 1 :]:
            apart = ((one.x - other.x) ** 2 + (one.y - other.y) ** 2) ** 0.5
            assert apart == 0 or apart >= 0.9 * (one.radius + other.radius), (one, other)


@pytest.mark.parametrize(("book", "name"), FORMS)
def test_an_aspect_sheet_lights_what_the_rulebook_lights(book: str, name: str) -> None:
    """One drawing for each display that is commanded: its lamps, their colours and letters, which of them flash."""
    form = form_of(book, name)
    parts = {f"{part}.": inner for part, inner in form.parts.items()} or {"": form}
    said = [
        (prefix + meaning.aspect, {prefix + lamp: state for lamp, state in meaning.lamps}, inner)
        for prefix, inner in parts.items()
        for meaning in inner.meanings
        if meaning.commanded
    ]
    drawings = with_class(parsed(picture(form_sheet(form))), "signal")
    assert [one.get("data-shows") for one in drawings if one.get("data-shows")] == [aspect for aspect, _, _ in said]
    for (_, lamps, _), group in zip(said, drawings, strict=False):
        lit = [one for one in lenses(group) if "lit" in one.classes and one.lamp in form.lamps]
        assert {one.lamp for one in lit} == {names for names in lamps if names in {one.lamp for one in lenses(group)}}
        for one in lit:
            assert_state(one, lamps[one.lamp], form)


def assert_state(one: Seen, state: str, form: FormReader) -> None:
    """Compare a lens with a state: its colour among the classes, its letter, and whether it flashes."""
    inner = form
    name = one.lamp
    while inner.parts:
        part, _, name = name.partition(".")
        inner = inner.parts[part]
    colours = inner.anatomy.lamps[name].colours
    (colour,) = [word for word in state.split() if word in colours] or colours
    assert colour in one.classes
    assert one.letter == colour[0].upper()
    assert ("flash" in one.classes) == ("flash" in state)


def test_flashing_is_told_on_paper_and_stands_still_where_no_motion_is_wanted() -> None:
    """The dashed ring is there without any motion, and motion is inside a query that asks for the wish.

    The keyframes turn once in 60 / 70 s, the middle of the 60 to 80 flashes a minute that the rulebook says.
    """
    whole = picture(form_sheet(form_of("gb-colour-light", "four-aspect")))
    before, _, moving = whole.partition("@media (prefers-reduced-motion:no-preference)")
    assert "animation" not in before
    assert "@keyframes" not in before
    assert f"{60 / 70:.3f}s step-end" in moving
    assert "stroke-dasharray" in before


def test_a_picture_tells_what_it_is_to_those_who_do_not_see_it() -> None:
    """The title names the form, the description says of every aspect what is lit."""
    root = parsed(picture(form_sheet(form_of("gb-colour-light", "three-aspect"))))
    assert [child.tag.rpartition("}")[2] for child in root][:2] == ["title", "desc"]
    assert "Three-aspect signal" in (root[0].text or "")
    assert "danger: red; " in (root[1].text or "")
    assert root.get("role") == "img"


def layout_of(signal: dict[str, object], name: str = "AB1") -> Layout:
    """Return a layout of one signal."""
    return Layout(load({"plan": 1, "rulebook": "gb-colour-light", "signals": {name: signal}}, "p.yaml"), library())


def test_a_signal_has_its_arm_plates_name_and_outputs() -> None:
    """The arm has the five lights of the junction indicator, to the upper left; each lamp is led to its output."""
    lamps = [{"green": "A.0"}, {"yellow": "A.1"}, {"red": "A.2"}]
    said: dict[str, object] = {"form": "three-aspect", "lamps": lamps, "carries": ["position-1"], "plates": ["semi"]}
    subject = of_signal(layout_of(said).signals["AB1"])
    assert subject is not None
    root = parsed(picture(drawn(subject, names=True)))
    arm = [one for one in lenses(root) if one.lamp == "position-1"]
    assert len(arm) == 5
    assert all(other.x < one.x and other.y < one.y for one, other in pairwise(arm))
    written = texts(root)
    assert {"AB1", "SEMI"} <= set(written)
    assert [line.split() for line in written if "A." in line] == [
        ["1", "green", "A.0"],
        ["2", "yellow", "A.1"],
        ["3", "red", "A.2"],
    ]


def test_indicators_and_lamps_of_several_colours_have_their_outputs_too() -> None:
    """Feathers outward of where they are, a box beside it; of what has several outputs each with its colour."""
    carries = {"position-1": {"output": "A.12", "leds": "5 parallel"}, "position-4": "A.13", "position-6": "A.14"}
    said: dict[str, object] = {"form": "three-aspect", "carries": carries}
    subject = of_signal(layout_of(said).signals["AB1"])
    assert subject is not None
    root = parsed(picture(drawn(subject, names=True)))
    at = {one.text: one for one in root.iter() if (one.text or "").startswith("position-") and one.get("x")}
    assert set(at) == {"position-1  A.12", "position-4  A.13", "position-6  A.14"}
    left, right, low = (at[said] for said in ("position-1  A.12", "position-4  A.13", "position-6  A.14"))
    assert [one.get("text-anchor") for one in (left, right, low)] == ["end", None, None]
    assert float(left.get("x", 0)) < 0 < float(right.get("x", 0))
    assert float(left.get("y", 0)) == float(right.get("y", 0)) < float(low.get("y", 0))
    several: dict[str, object] = {"form": "searchlight", "lamps": [{"red": "A.0"}, {"yellow": "A.1"}, {"green": "A.2"}]}
    subject = of_signal(layout_of(several).signals["AB1"])
    assert subject is not None
    assert "red A.0, yellow A.1, green A.2" in " ".join(texts(parsed(picture(drawn(subject, names=True)))))


def test_an_indicator_of_one_lamp_is_a_lamp() -> None:
    """Kennlicht: one white light in place of every other (Richtlinie 301, 0002 section 2(2)), and named once."""
    signals = {"A": {"form": "hp-entry", "mode": "switched-off", "carries": ["kennlicht"]}}
    layout = Layout(load({"plan": 1, "rulebook": "de-hv", "year": 1985, "signals": signals}, "p.yaml"), library())
    (sheet,) = (one.draw() for one in of_layout(layout) if one.kind == ASPECTS)
    drawings = {one.get("data-shows"): one for one in with_class(parsed(picture(sheet)), "signal")}
    lamp = {shows: [one for one in lenses(drawn) if one.lamp == "kennlicht"] for shows, drawn in drawings.items()}
    assert {"hp0", "kennlicht"} <= lamp.keys()
    assert all(len(found) == 1 for found in lamp.values())
    assert {shows for shows, (one,) in lamp.items() if {"lit", "white"} <= one.classes} == {"kennlicht"}
    assert not any("Kenn" in said and said != "Kennlicht" for said in texts(parsed(picture(sheet))))


def test_names_from_a_file_do_nothing_and_stay_readable() -> None:
    """A name made of markup is text; what is not seen, or XML does not have, is shown."""
    subject = of_signal(layout_of({"form": "three-aspect"}, HOSTILE).signals[HOSTILE])
    assert subject is not None
    whole = picture(drawn(subject, names=True))
    root = parsed(whole)
    assert "<script" not in whole
    assert HOSTILE.replace("\x00", r"\x00").replace("\u202e", r"\u202e") in texts(root)
    assert {element.tag.rpartition("}")[2] for element in root.iter()} <= {
        *("svg", "g", "title", "desc", "style", "rect", "circle", "line", "path", "polygon", "text"),
    }


@given(st.text(), st.text())
def test_text_comes_back_as_it_was(said: str, value: str) -> None:
    """A text in an element and one in an attribute are read back as they were; what is not seen, as an escape."""
    element = parsed(tag("g", said, data_name=value))

    def kept(text: str) -> str:
        return "".join(c if c == "\n" or c.isprintable() else c.encode("unicode_escape").decode() for c in text)

    assert (element.text or "") == kept(said)
    assert element.get("data-name") == kept(value).replace("\n", " ")


@given(st.text(min_size=1), st.text(min_size=1))
def test_ids_differ_where_names_do(one: str, other: str) -> None:
    """An id is stable, a word of plain letters, and nobody else's."""
    assert (identifier("signal", one) == identifier("signal", other)) == (one == other)
    assert identifier(one).replace("-", "").replace("_", "").isalnum()


def test_every_form_has_something_to_show_or_says_so() -> None:
    """No sheet of a bundled form is empty."""
    empty = [(book, form) for book, form in FORMS if not list(form_displays(form_of(book, form)))]
    assert empty == []


def test_a_lens_of_several_colours_changes_by_its_classes() -> None:
    """All its letters while it is dark, that of its colour while it is lit: numbers in the order of its colours."""
    form = form_of("gb-colour-light", "searchlight")
    (dark,) = lenses(parsed(picture(drawn(of_form(form)))))
    assert dark.letter == "RYG"
    sheet = lenses(parsed(picture(form_sheet(form))))
    numbers = {"red": "c0", "yellow": "c1", "green": "c2"}
    seen = {
        (colour, one.letter) for one in sheet for colour, number in numbers.items() if {colour, number} <= one.classes
    }
    assert seen == {("red", "R"), ("yellow", "Y"), ("green", "G")}
