"""The Netherlands, light signals of 1954: what the rulebook must say, each with its source.

Seinenboek is the reproduction of the numbered table on dutchrail.eu, and secondary, as every source here is;
``derived`` follows from other facts.
"""

from __future__ import annotations

from typing import Any

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.displays import FormReader, Kind, reader
from lampwright.rulebooks.failing import failings
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import step
from lampwright.rulebooks.speeds import speed
from lampwright.years import Years
from support import bundled, findings_of, library

BOOK = bundled("nl-1954")


def form(name: str) -> FormReader:
    """Return what reads a form of the rulebook."""
    return reader(BOOK, name)


# Aspects: Seinenboek 2.1 Hoofdseinen and 2.2 Voorseinen


@pytest.mark.parametrize(
    ("lit", "aspect"),
    [
        ({"green": "lit"}, "s201"),
        ({"green": "flash", "number": "8"}, "s202"),
        ({"green": "flash"}, "s206"),
        ({"yellow": "lit", "number": "flash 6"}, "s209"),
        ({"yellow": "lit", "number": "6"}, "s210"),
        ({"yellow": "lit"}, "s212"),
        ({"yellow": "flash"}, "s214"),
        ({"red": "lit"}, "s215"),
    ],
)
def test_what_a_high_signal_shows(lit: dict[str, str], aspect: str) -> None:
    """Seinenboek 2.1: numbers 201 to 215, on a high signal."""
    assert form("high-main").read(lit).aspect == aspect


@pytest.mark.parametrize(
    ("lit", "aspect"),
    [({"green": "lit"}, "s206"), ({"yellow": "lit"}, "s212"), ({"yellow": "flash"}, "s214"), ({"red": "lit"}, "s215")],
)
def test_what_a_low_signal_shows(lit: dict[str, str], aspect: str) -> None:
    """Seinenboek 2.1: 206 low, 212b, 214, 215; steady green on a low signal is never line speed."""
    assert form("low").read(lit).aspect == aspect


def test_a_low_signal_has_no_number() -> None:
    """Wikipedia, English: no digits on dwarfs."""
    assert form("low").form.indicators == ()
    assert form("low").read({"yellow": "lit", "number": "4"}).kind is Kind.NONE


def test_a_signal_that_is_switched_out_shows_white() -> None:
    """Seinenboek 2.1: 216, high or low; where its light sits is not established, so no place is said."""
    for name in ("high-main-with-white", "low-with-white"):
        assert form(name).read({"white": "lit"}).aspect == "s216"
        assert form(name).at("white") == ()


def test_flashing_red_stops_at_a_works_area() -> None:
    """Copies of Wikipedia, English, only."""
    assert form("high-main-works-area").read({"red": "flash"}).aspect == "flashing-red"
    assert BOOK.aspects["flashing-red"].says == {"authority": "stop"}
    assert "flashing-red" not in form("high-main").gives


@pytest.mark.parametrize(
    ("aspect", "key", "shown", "meant"),
    [
        ("s202", "speed-now", {"number": "8"}, "80 km/h"),
        ("s206", "speed-now", {}, "40 km/h"),
        ("s209", "speed-next", {"number": "flash 6"}, "60 km/h"),
        ("s210", "speed-next", {"number": "6"}, "60 km/h"),
        ("s212", "speed-next", {}, "40 km/h"),
        ("s214", "speed-now", {}, "40 km/h"),
        ("s201", "speed-now", {}, "line"),
    ],
)
def test_the_number_times_ten_is_the_speed(aspect: str, key: str, shown: dict[str, str], meant: str) -> None:
    """Seinenboek 2.1: number x 10 km/h; 40 without one; line speed for 201."""
    assert str(speed(BOOK, BOOK.aspects[aspect].says[key], shown)) == meant


def test_209_keeps_a_driver_braking_and_210_is_reached_by_the_next_signal() -> None:
    """Seinenboek 2.1."""
    assert BOOK.aspects["s209"].says["hold-braking"] is True
    assert BOOK.aspects["s210"].says["reach-by"] == "next-signal"
    assert BOOK.aspects["s214"].says["authority"] == "proceed-on-sight"


def test_217_is_a_gap_and_is_told_by_the_backplate() -> None:
    """Seinenboek 2.2, 217a and 217b: green on a distant's backplate; what it means is not established."""
    assert form("high-distant").read({"green": "lit"}).aspect == "s217"
    assert form("high-main").read({"green": "lit"}).aspect == "s201"
    assert BOOK.aspects["s217"].says == {}
    assert form("high-distant").read({"yellow": "lit"}).kind is Kind.NONE


# Forms


def test_a_high_head_is_green_over_yellow_over_red() -> None:
    """OpenRailwayMap; why red is lowest (snow), and that it is, also an enthusiast's page."""
    places = {lamp: form("high-main").at(lamp)[0] for lamp in ("green", "yellow", "red")}
    assert sorted(places, key=lambda lamp: -places[lamp][1]) == ["green", "yellow", "red"]
    assert len({right for right, _ in places.values()}) == 1


def test_a_distant_has_the_places_of_a_main_signal_and_no_red() -> None:
    """Seinenboek 2.2 and OpenRailwayMap."""
    distant, main = form("high-distant"), form("high-main")
    assert [distant.at(lamp) for lamp in distant.lamps] == [main.at(lamp) for lamp in ("green", "yellow")]
    assert not any("red" in lamp.colours for lamp in distant.anatomy.lamps.values())


def test_only_the_red_of_a_low_signal_has_a_place() -> None:
    """OpenRailwayMap: red at the lower left; the other two are not established."""
    assert [lamp for lamp in form("low").lamps if form("low").at(lamp)] == ["red"]


@pytest.mark.parametrize("name", BOOK.forms)
def test_one_colour_is_lit_at_a_time(name: str) -> None:
    """Wikipedia, English and German."""
    assert all(len(item.lamps) == 1 for item in form(name).meanings)


def test_light_guides_are_of_1990_and_later() -> None:
    """An enthusiast's page on light-guide heads."""
    assert BOOK.forms["high-main-light-guide"].years == Years.parse("1990..")


def test_the_system_is_of_1955_and_wikipedia_says_1954() -> None:
    """Seinstelsel 1955 against Wikipedia, English: the year in force against that of the design."""
    assert BOOK.years == Years.parse("1955..")
    assert BOOK.evidence.disputed["years"] == {"wp-en": "1954.."}


def test_a_controlled_signal_rests_at_stop_and_p_marks_an_automatic_one() -> None:
    """infrasite.nl and OpenRailwayMap (291c)."""
    assert BOOK.forms["high-main"].rest == {"controlled": "s215"}
    assert "p" in BOOK.forms["high-main"].plates
    assert "291c" in BOOK.plates["p"].title


def test_which_figures_a_box_has_is_not_said() -> None:
    """Not established; the box is white."""
    assert (BOOK.indicators["number"].figures, BOOK.indicators["number"].colour) == ("", "white")


# Failing


def test_nothing_lit_is_stop() -> None:
    """Seinstelsel 1955: all lamps out counts as stop."""
    assert {form(name).read({}).in_doubt for name in BOOK.forms if name != "high-distant"} == {"s215"}


def test_losing_something_is_never_freer() -> None:
    """Derived: 202 less its number is 206, 209 and 210 less theirs 212; every lost lamp is stop in doubt."""
    found = {
        (item.meaning.aspect, item.elements[0]): item.reading.aspect or item.reading.in_doubt
        for item in failings(form("high-main"))
        if item.how == "lost"
    }
    numbers = {(aspect, read) for (aspect, element), read in found.items() if element.startswith("number")}
    assert numbers == {("s202", "s206"), ("s209", "s212"), ("s210", "s212")}
    assert {read for (_, element), read in found.items() if not element.startswith("number")} == {"s215"}
    for aspect, read in numbers:
        assert BOOK.order.less_restrictive(aspect, read) is Verdict.YES


def test_flashing_is_the_tighter_state_of_both_colours() -> None:
    """Derived: 201 against 206, 212 against 214."""
    assert BOOK.order.less_restrictive("s201", "s206") is Verdict.YES
    assert BOOK.order.less_restrictive("s212", "s214") is Verdict.YES


def test_a_stuck_flasher_is_accepted_in_words_and_nothing_else_is() -> None:
    """Derived; no proving of the flasher is on record, so every answer is an acceptance and says so."""
    answers = [fault for item in BOOK.forms.values() for fault in item.faults]
    assert answers
    assert all(fault.steady and fault.accepted and not fault.then for fault in answers)


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of((library().documents[BOOK.file]).text) == []


# Sequence


@pytest.mark.parametrize(
    ("facts", "aspect"),
    [
        ({"next": "s201"}, "s201"),
        ({"next": "s215"}, "s212"),
        ({"next": "s214"}, "s212"),
        ({"next": "s202", "next-route": {"speed": "80 km/h"}}, "s210"),
        ({"next": "s206", "next-route": {"speed": "40 km/h"}}, "s212"),
        ({"next": "s201", "route": {"speed": "80 km/h"}}, "s202"),
        ({"next": "s201", "route": {"speed": "40 km/h"}}, "s206"),
        ({"next": "s215", "route": {"class": "call-on"}}, "s214"),
        ({"next": "s215", "mode": "switched-off"}, "s216"),
    ],
)
def test_what_must_stand(facts: dict[str, Any], aspect: str) -> None:
    """Seinenboek 2.1, by what each aspect announces; flashing green with a number through turnouts: common practice."""
    known = {"next-route": {"speed": "line"}, "mode": "controlled", **facts}
    asked = {**known, "route": {"class": "main", "speed": "line", **facts.get("route", {})}}
    assert step(BOOK, "stop", form("high-main-with-white").gives, asked, None).must == aspect


def test_the_usual_run_down_is_allowed() -> None:
    """Common practice: green, yellow with 8, yellow with 6, yellow, red; the numbers are allowed and not asked for."""
    for ahead in ("s212", "s210"):
        asked = {"next": ahead, "route": {"class": "main", "speed": "line"}, "next-route": {"speed": "line"}}
        found = step(BOOK, "stop", form("high-main").gives, asked, None)
        assert found.must == "s201"
        assert "s210" in found.may


def test_no_datum_is_better_known_than_its_source() -> None:
    """No official text was read: nothing is verified."""
    assert {source.basis for source in BOOK.sources.values()} == {"secondary"}
    assert BOOK.why("aspects", "s202").basis is Basis.SECONDARY
    assert BOOK.why("indicators", "letter-x-g", "characters").basis is Basis.MEMORY
