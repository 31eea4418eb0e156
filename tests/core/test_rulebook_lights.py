"""What is seen of a display, what it tells, and two rulebooks side by side: by lights, never by names."""

from __future__ import annotations

import pytest

from fixture_books import NAMES, rulebook
from lampwright import documents, schema
from lampwright.reports.lamps import seen
from lampwright.reports.style import Style
from lampwright.rulebooks import Rulebook, load
from lampwright.rulebooks.comparing import compare
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.indications import NOTHING, meaning, told
from lampwright.rulebooks.lights import sights
from lampwright.years import Years
from support import bundled, library

PLAIN = Style(colour=False)
BOOKS = [*library().ids, *(f"tests/{name}" for name in NAMES)]


def book(name: str) -> Rulebook:
    """Return a bundled rulebook, or that of a fixture."""
    return rulebook(name.removeprefix("tests/")) if name.startswith("tests/") else bundled(name)


def written(text: str) -> Rulebook:
    """Return a rulebook from text."""
    document = documents.read(text.encode(), "book.yaml")
    assert schema.faults("rulebook", document.values) == []
    return load(document.values, document.name)


def drawn(found: Rulebook, years: Years | None = None) -> dict[str, set[str]]:
    """Return everything seen in a rulebook as it is printed, with the aspects it is."""
    return {seen(sight, PLAIN).plain: {one.aspect for one in known} for sight, known in sights(found, years).items()}


ONE = """
rulebook: 1
id: one
title: One
source: memory
colours: {lunar-white: {like: white}}
speeds: {slow: 25 mph}
indicators: {box: {kind: figure, times: 10 km/h, colour: white}}
aspects:
  halt: {says: {authority: stop}}
  slowly: {says: {authority: proceed, speed-now: slow}}
  onward: {says: {authority: proceed, speed-now: line}}
  by-figure: {says: {authority: proceed, speed-now: box}}
  shunt: {says: {authority: shunt}}
  unsaid: {}
forms:
  post:
    lamps:
      low: {colour: red, at: [0, 0]}
      mid: {colour: yellow, at: [0, 1]}
      gap: {colour: green, at: [0, 4]}
      side: {colour: lunar-white, at: [3, 0]}
    shows:
      halt: low
      slowly: [mid, gap]
      onward: gap
      by-figure: {gap: flash, box: lit}
      shunt: {low: lit, side: lit, box: dark}
      unsaid: [low, mid, side]
    indicators: box
"""

OTHER = """
rulebook: 1
id: other
title: Other
source: memory
indicators: {digit: {kind: figure, times: 10 mph, colour: white}}
aspects:
  a1: {says: {authority: stop}}
  a2: {says: {authority: proceed, speed-now: 25 mph}}
  a3: {says: {authority: proceed}}
  a4: {says: {authority: proceed, speed-now: digit}}
  a5: {says: {authority: proceed-on-sight}}
  a6: {says: {authority: proceed}}
forms:
  q:
    lamps:
      x: {colour: white, at: [1, 7]}
      y: {colour: green, at: [0, 9]}
      z: {colour: yellow, at: [0, 8]}
      w: {colour: red, at: [0, 7]}
    shows: {a1: w, a2: [z, y], a3: y, a4: {y: flash, digit: lit}, a5: [w, x], a6: z}
    indicators: digit
"""


def test_names_gaps_and_distances_do_not_count() -> None:
    """Two posts with nothing in common but their lights: what means the same, what does not, what one alone has."""
    found = compare(written(ONE), written(OTHER))
    assert [seen(item.sight, PLAIN).plain for item in found.alike] == ["G", "R", "G* + white figure", "G Y"]
    assert [seen(item.sight, PLAIN).plain for item in found.different] == ["R W in a row"]
    assert [seen(item.sight, PLAIN).plain for item in found.only_here] == ["Y - / R W"]
    assert [seen(item.sight, PLAIN).plain for item in found.only_there] == ["Y"]


def test_what_is_not_established_is_never_the_same() -> None:
    """A display without a meaning is no display of the same meaning, not even in a namesake."""
    same = written(ONE)
    found = compare(same, written(ONE.replace("id: one", "id: two")))
    assert [item.here[0].aspect for item in found.different] == ["unsaid"]
    assert told(same, "unsaid") == NOTHING


@pytest.mark.parametrize("name", BOOKS)
def test_a_rulebook_is_like_itself(name: str) -> None:
    """Nothing differs, nothing is only in one of them."""
    found = compare(book(name), book(name))
    assert (found.different, found.only_here, found.only_there) == ((), (), ())
    assert {item.sight for item in found.alike} == set(sights(book(name)))


@pytest.mark.parametrize("one", BOOKS)
def test_every_display_is_in_one_list_and_turned_round_in_the_other(one: str) -> None:
    """With every other rulebook there is."""
    for other in BOOKS:
        there, back = compare(book(one), book(other)), compare(book(other), book(one))
        lists = (there.different, there.alike, there.only_here, there.only_there)
        every = [item.sight for items in lists for item in items]
        assert len(every) == len(set(every))
        assert set(every) == {*sights(book(one)), *sights(book(other))}
        assert [item.sight for item in there.different] == [item.sight for item in back.different]
        assert there.only_here == tuple(type(item)(item.sight, item.there, item.here) for item in back.only_there)


@pytest.mark.parametrize("name", BOOKS)
def test_every_meaning_of_every_form_is_seen(name: str) -> None:
    """No aspect that a form can give is without a display."""
    found = {one.aspect for known in sights(book(name)).values() for one in known}
    single = [form for form, said in book(name).forms.items() if not said.parts]
    given = {aspect for form in single for aspect in reader(book(name), form).gives}
    assert given <= found


def test_lights_lie_as_they_are_seen() -> None:
    """In a column, in a row, on a slope, or row by row; several lights of one lamp count each."""
    german = drawn(bundled("de-hv"))
    assert german["Y Y rising"] == {"vr0"}
    assert german["G Y"] == {"hp2"}
    assert german["R R in a row"] == {"hp0", "sh0"}
    assert german["- W - / W - W"] == {"zs1"}
    assert drawn(bundled("jp-colour-light"))["W W W in a row"] == {"repeats-stop"}


def test_green_over_red_is_caution_in_one_place_and_clear_in_another() -> None:
    """FX8: equal displays of New South Wales and Victoria, told apart by the rulebook only."""
    found = compare(rulebook("au-nsw"), rulebook("au-vic"))
    (pair,) = [item for item in found.different if seen(item.sight, PLAIN).plain == "G R"]
    assert meaning(rulebook("au-nsw"), pair.here[0].aspect) != meaning(rulebook("au-vic"), pair.there[0].aspect)


def test_only_what_was_in_use_is_seen() -> None:
    """Forms and aspects of other years are left out."""
    assert "Y*" in drawn(bundled("gb-colour-light"))
    assert "Y*" not in drawn(bundled("gb-colour-light"), Years.parse("1960"))


@pytest.mark.parametrize(
    ("name", "aspect", "words"),
    [
        ("nl-1954", "s206", "proceed, at 40 km/h"),
        ("nl-1954", "s209", "proceed, next at the speed shown, braking not to be broken off"),
        ("nl-1954", "s210", "proceed, next at the speed shown, reached there"),
        ("gb-colour-light", "preliminary-caution", "proceed, ready to stop at the second signal, expecting caution"),
        ("de-hv", "hp2", "proceed, for trains, at the speed shown, else 40 km/h from signal until points clear"),
        ("tests/it", "open-at-reduced", "proceed, at the speed shown, else the speed announced before"),
        ("nl-1954", "s217", NOTHING),
        (
            "de-hl",
            "hl7",
            "proceed, for trains, at line speed, next at 40 km/h, or 60 where the next signal has the yellow strip",
        ),
    ],
)
def test_what_an_aspect_tells_in_words(name: str, aspect: str, words: str) -> None:
    """No word of the rulebook is needed to understand it, but for the aspects to expect."""
    assert told(book(name), aspect) == words


def test_line_speed_goes_without_saying() -> None:
    """What means the same is the same, said or not."""
    assert meaning(bundled("nl-1954"), "s201") == meaning(bundled("gb-colour-light"), "clear") == ("proceed",)
