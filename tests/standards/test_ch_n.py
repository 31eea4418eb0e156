"""Switzerland, light signals of system N: what the rulebook must say, each with its source.

All are secondary: Wikipedia on system N (WP-N), OpenRailwayMap (ORM), a page that repeats R 300.2 (CHP), Austro-Swiss
Railway Signalling on 1986 (ASR). ``derived`` follows from other facts.
"""

from __future__ import annotations

from typing import Any

import pytest

from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.failing import failings
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.speeds import contents, speed
from seen_lamps import form, lit, must
from support import bundled, findings_of, library, rules_of

BOOK = bundled("ch-n")
SIXTY = {"speed": "60 km/h"}


@pytest.mark.parametrize(
    ("display", "aspect"),
    [
        ({"red": "lit"}, "halt"),
        ({"green": "lit"}, "fahrt"),
        ({"green": "lit", "number": "6"}, "ausfuehrung"),
        ({"orange": "lit"}, "warnung"),
        ({"orange": "lit", "number": "6"}, "ankuendigung"),
        ({"orange": "lit", "bar": "lit"}, "kurze-fahrt"),
    ],
)
def test_one_light_and_what_stands_beside_it(display: dict[str, str], aspect: str) -> None:
    """WP-N in outline; the bar ORM."""
    assert form(BOOK, "main").read(display).aspect == aspect


@pytest.mark.parametrize("name", BOOK.forms)
def test_one_light_at_a_time(name: str) -> None:
    """WP-N: two are no aspect."""
    signal = form(BOOK, name)
    assert all(len(item.lamps) == 1 for item in signal.meanings)
    assert {signal.read(display).kind for display in signal.combinations() if len(display) > 1} == {Kind.NONE}


def test_a_main_signal_is_a_triangle_with_red_on_top() -> None:
    """ORM and CHP: orange at the lower left, green at the lower right."""
    (red,), (orange,), (green,) = (form(BOOK, "main").at(lamp) for lamp in ("red", "orange", "green"))
    assert orange[1] == green[1] < red[1]
    assert orange[0] < red[0] < green[0]


@pytest.mark.parametrize("name", ["distant", "repeater"])
def test_a_distant_has_no_red(name: str) -> None:
    """ORM and CHP: orange and green only."""
    assert {lamp.colours for lamp in form(BOOK, name).anatomy.lamps.values()} == {("orange",), ("green",)}
    assert form(BOOK, name).gives == ("warnung", "ankuendigung", "fahrt")
    assert "stars" in BOOK.forms["repeater"].plates


def test_a_dark_main_signal_is_halt_and_a_dark_distant_warnung() -> None:
    """CHP."""
    assert {name: form(BOOK, name).read({}).in_doubt for name in BOOK.forms} == {
        "main": "halt",
        "distant": "warnung",
        "repeater": "warnung",
    }


def test_figures_are_4_to_12_and_times_10() -> None:
    """ORM; the colour is not said: orange is drawn where a speed holds, and green remembered."""
    assert contents(BOOK, "number") == tuple(str(figure) for figure in range(4, 13))
    assert str(speed(BOOK, BOOK.aspects["ausfuehrung"].says["speed-now"], {"number": "6"})) == "60 km/h"
    assert BOOK.indicators["number"].colour == ""


def test_there_is_nothing_before_1986() -> None:
    """WP-N."""
    plan = "plan: 1\nrulebook: ch-n\nyear: {}\nsignals: {{A: {{form: distant}}}}\n"
    assert [str(one.level) for one in findings_of(plan.format(1985)) if one.rule == "year-outside-rulebook"] == [
        "error"
    ]
    assert rules_of(plan.format(1990)) == []


def test_a_speed_is_reached_at_the_signal() -> None:
    """ASR: before it was the first points."""
    assert BOOK.aspects["ankuendigung"].says["reach-by"] == "next-signal"
    assert BOOK.aspects["ausfuehrung"].says["from"] == "signal"


@pytest.mark.parametrize(
    ("ahead", "facts", "shown"),
    [
        ("halt", {}, "warnung"),
        ("fahrt", {}, "fahrt"),
        ("warnung", {}, "fahrt"),
        ("ausfuehrung", {"next-route": SIXTY}, "ankuendigung"),
        ("fahrt", {"route": SIXTY}, "ausfuehrung"),
        ("ausfuehrung", {"route": SIXTY, "next-route": SIXTY}, "ausfuehrung"),
        ("halt", {"route": SIXTY}, "warnung"),
    ],
)
def test_what_must_stand(ahead: str, facts: dict[str, Any], shown: str) -> None:
    """WP-N in outline: orange announces, green executes."""
    assert must(BOOK, "main", ahead, **facts) == shown


@pytest.mark.parametrize(
    ("ahead", "facts", "shown"),
    [("halt", {}, "warnung"), ("fahrt", {}, "fahrt"), ("ausfuehrung", {"next-route": SIXTY}, "ankuendigung")],
)
def test_what_a_distant_shows(ahead: str, facts: dict[str, Any], shown: str) -> None:
    """WP-N in outline."""
    assert must(BOOK, "distant", ahead, **facts) == shown
    assert must(BOOK, "repeater", ahead, **facts) == shown


def test_only_boxes_can_be_lost_to_something_freer_and_they_are_proved() -> None:
    """From memory; no lamp that fails reads freer."""
    freer = {
        (item.meaning.aspect, item.elements[0])
        for item in failings(form(BOOK, "main"))
        if BOOK.order.less_restrictive(item.reading.taken_for, item.meaning.aspect) is Verdict.YES
    }
    assert freer == {("ausfuehrung", "number"), ("kurze-fahrt", "bar")}
    assert all(BOOK.indicators[box].proved for _, box in freer)


def test_kurze_fahrt_is_orange_with_a_bar() -> None:
    """ORM; the pairing with the name is derived."""
    assert lit(BOOK, "main", "kurze-fahrt") == ["orange"]
    assert BOOK.indicators["bar"].kind == "symbol"


def test_no_datum_is_better_known_than_its_source() -> None:
    """R 300.2 itself was not read: nothing is verified."""
    assert {source.basis for source in BOOK.sources.values()} == {"secondary"}


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
