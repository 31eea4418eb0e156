"""Switzerland, light signals of system L: what the rulebook must say, each with its source.

All are secondary: Wikipedia, German, on system L (WP-L) and N (WP-N), hurrug.de, OpenRailwayMap (ORM), and two pages
that repeat R 300.2 (CHP, CHD). ``derived`` follows from other facts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.failing import answer, failings
from lampwright.rulebooks.order import Verdict
from lampwright.years import Years
from seen_lamps import form, is_level, is_upright, lit, must, places, rises
from support import bundled, findings_of, library, rules_of

if TYPE_CHECKING:
    from seen_lamps import Place

BOOK = bundled("ch-l")
OWN = {"left-orange": "TL", "right-orange": "TR", "right-green": "MR", "left-green": "BL", "lower-orange": "BR"}


# Main signals


@pytest.mark.parametrize(
    ("aspect", "lights", "speed"),
    [
        ("halt", ["red"], None),
        ("fb1", ["green"], "line"),
        ("fb2", ["green", "orange"], "40 km/h"),
        ("fb3", ["green", "green"], "60 km/h"),
        ("fb5", ["green", "green", "green"], "90 km/h"),
        ("fb6", ["orange", "orange"], "40 km/h"),
    ],
)
def test_main_signals(aspect: str, lights: list[str], speed: str | None) -> None:
    """WP-L; FB 3 also CHP, FB 5 WP-N, FB 6 ORM: from the top down, one above the other."""
    found = places(BOOK, "main", aspect)[::-1]
    assert [colour for colour, _ in found] == lights
    assert len(found) == 1 or is_upright(found)
    assert BOOK.aspects[aspect].says.get("speed-now") == speed


def test_red_is_always_alone() -> None:
    """WP-L."""
    signal = form(BOOK, "main")
    assert all(dict(item.lamps).keys() == {"red"} for item in signal.meanings if "red" in dict(item.lamps))
    assert {
        signal.read(display).kind for display in signal.combinations() if "red" in display and len(display) > 1
    } == {Kind.NONE}


@pytest.mark.parametrize(("year", "lower"), [(1939, "green"), (1945, "orange")])
def test_fb2_had_two_greens_until_october_1940(year: int, lower: str) -> None:
    """WP-L: until 6 October 1940; days count as their year."""
    when = Years(year, year)
    heads = [name for name, item in BOOK.forms.items() if item.years.covers(when) and item.roles == ("stop",)]
    shown = {places(BOOK, name, "fb2")[0][0] for name in heads if "fb2" in form(BOOK, name, year).gives}
    assert shown == {lower}
    assert BOOK.forms["main-two-greens"].years.text == "..1940-10-06"


def test_fb5_is_of_november_1967() -> None:
    """WP-N: as 90 since 1 November 1967."""
    assert "fb5" not in form(BOOK, "main", 1960).gives
    assert "fb5" in form(BOOK, "main", 1970).gives
    plan = "plan: 1\nrulebook: ch-l\nyear: 1960\nsignals: {A: {form: main, gives: [halt, fb1, fb5]}}\n"
    assert "aspect-not-in-use" in rules_of(plan)


# Distants


@pytest.mark.parametrize(
    ("aspect", "slots"),
    [
        ("warnung", "TL TR"),
        ("ankuendigung-frei", "BL MR"),
        ("ankuendigung-40", "MR TL"),
        ("ankuendigung-60", "BL MR TL"),
        ("ankuendigung-90", "BL BR MR"),
    ],
)
def test_distants(aspect: str, slots: str) -> None:
    """hurrug.de and ORM: orange top left, top right, lower right; green middle right, lower left."""
    (display,) = form(BOOK, "distant").displays(aspect)
    assert sorted(OWN[lamp] for lamp in display) == slots.split()


def test_places_of_a_distant() -> None:
    """hurrug.de and ORM."""

    def at(lamp: str) -> Place:
        (place,) = form(BOOK, "distant").at(lamp)
        return place

    assert is_level(places(BOOK, "distant", "warnung"))
    assert lit(BOOK, "distant", "warnung") == ["orange", "orange"]
    assert lit(BOOK, "distant", "ankuendigung-frei") == ["green", "green"]
    assert rises(places(BOOK, "distant", "ankuendigung-frei"))
    assert at("right-orange")[1] > at("right-green")[1] > at("lower-orange")[1]
    assert len({at(lamp)[0] for lamp in ("right-orange", "right-green", "lower-orange")}) == 1


def test_a_distant_is_never_red() -> None:
    """WP-L."""
    assert not any("red" in lamp.colours for lamp in form(BOOK, "distant").anatomy.lamps.values())


@pytest.mark.parametrize(("name", "aspect"), [("main", "halt"), ("main-two-greens", "halt"), ("distant", "warnung")])
def test_a_dark_main_signal_is_halt_and_a_dark_distant_warnung(name: str, aspect: str) -> None:
    """CHP: or one in doubt."""
    assert (form(BOOK, name).read({}).kind, form(BOOK, name).read({}).in_doubt) == (Kind.NONE, aspect)


@pytest.mark.parametrize(
    ("main", "distant"),
    [
        ("halt", "warnung"),
        ("fb1", "ankuendigung-frei"),
        ("fb2", "ankuendigung-40"),
        ("fb3", "ankuendigung-60"),
        ("fb5", "ankuendigung-90"),
    ],
)
def test_a_distant_announces_its_main_signal(main: str, distant: str) -> None:
    """hurrug.de and ORM, by the speeds of both."""
    assert must(BOOK, "distant", main) == distant


@pytest.mark.parametrize(
    ("speed", "shown"),
    [
        ("40 km/h", "fb2"),
        ("50 km/h", "fb3"),
        ("60 km/h", "fb3"),
        ("85 km/h", "fb3"),
        ("90 km/h", "fb5"),
        ("line", "fb1"),
    ],
)
def test_a_main_signal_shows_the_speed_of_its_route(speed: str, shown: str) -> None:
    """WP-L; that FB 3 may be 50 to 85 CHP."""
    assert must(BOOK, "main", "fb1", route={"speed": speed}) == shown


# Dwarfs


def test_a_dwarf_is_three_whites_and_two_level_ones_are_stop() -> None:
    """CHD; the pairs of the other two are memory."""
    assert {lamp.colours for lamp in form(BOOK, "zwergsignal").anatomy.lamps.values()} == {("white",)}
    assert len(form(BOOK, "zwergsignal").lamps) == 3
    lower = places(BOOK, "zwergsignal", "zwerg-halt")
    assert is_level(lower)
    assert lower[0][1][1] < form(BOOK, "zwergsignal").at("upper")[0][1]
    assert BOOK.why("forms", "zwergsignal", "shows", "zwerg-halt").basis is Basis.SECONDARY
    assert BOOK.why("forms", "zwergsignal", "shows", "zwerg-fahrt").basis is Basis.MEMORY


@pytest.mark.parametrize(
    ("ahead", "shown"), [("halt", "zwerg-vorsicht"), ("zwerg-halt", "zwerg-vorsicht"), ("zwerg-fahrt", "zwerg-fahrt")]
)
def test_a_dwarf_tells_of_the_next(ahead: str, shown: str) -> None:
    """CHD: Fahrt mit Vorsicht before a main signal or dwarf at stop."""
    assert must(BOOK, "zwergsignal", ahead, route={"class": "shunt"}) == shown


# Failing, years


def test_what_reads_freer_is_proved_or_accepted_in_words() -> None:
    """From memory; of the two greens of old no source tells of an interlock."""
    found = set()
    for name in ("main", "main-two-greens", "distant", "zwergsignal"):
        for item in failings(form(BOOK, name)):
            if BOOK.order.less_restrictive(item.reading.taken_for, item.meaning.aspect) is Verdict.YES:
                told = answer(form(BOOK, name), item)
                assert told is not None
                found.add((item.meaning.aspect, *item.elements, told[1].then or "accepted"))
    assert found == {
        ("fb2", "orange", "halt"),
        ("fb3", "middle-green", "halt"),
        ("fb2", "lower-green", "accepted"),
        ("ankuendigung-60", "left-orange", "warnung"),
        ("ankuendigung-90", "lower-orange", "warnung"),
    }


def test_era_iiia_is_1945_to_1956() -> None:
    """NEM 804 CH, as given on other pages."""
    assert BOOK.eras["era-iiia"] == "1945..1956"


def test_there_is_nothing_before_distants_were_orange() -> None:
    """WP-L: until 31 January 1935 distants were green and white."""
    assert BOOK.years.text == "1935-02-01.."
    plan = "plan: 1\nrulebook: ch-l\nyear: 1930\nsignals: {A: {form: main-two-greens}}\n"
    assert "year-outside-rulebook" in rules_of(plan)


def test_no_datum_is_better_known_than_its_source() -> None:
    """R 300.2 itself was not read: nothing is verified."""
    assert {source.basis for source in BOOK.sources.values()} == {"secondary"}


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
