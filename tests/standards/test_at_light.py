"""Austria, light signals: what the rulebook must say, each with its source.

EisbBBV is the law, annex 5, of which the first rows were read (verified). hurrug.de, Austro-Swiss Railway Signalling
(ASR), OpenRailwayMap (ORM) and Wikipedia are secondary; ``derived`` follows from other facts.
"""

from __future__ import annotations

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.failing import answer, failings
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.posts import dark_by_rule
from lampwright.years import Years
from seen_lamps import form, is_level, is_upright, lit, must, places, rises
from support import bundled, findings_of, library, rules_of

BOOK = bundled("at-light")
MAINS = ("main", "main-with-ersatzsignal", "main-with-verschub")
POSTS = [name for name, item in BOOK.forms.items() if item.parts]


# Main signals


@pytest.mark.parametrize("name", MAINS)
@pytest.mark.parametrize(
    ("aspect", "lights"),
    [
        ("halt", ["red"]),
        ("frei", ["green"]),
        ("frei-60", ["green", "green"]),
        ("frei-40", ["yellow", "green"]),
        ("vorsichtssignal", ["red"]),
    ],
)
def test_main_signals(name: str, aspect: str, lights: list[str]) -> None:
    """EisbBBV annex 5, s29 for the first three, hurrug.de for 40 and the Vorsichtssignal; the lowest light first."""
    assert [colour for colour, _ in places(BOOK, name, aspect)] == lights
    assert len(lights) == 1 or is_upright(places(BOOK, name, aspect))


def test_what_the_law_says_is_verified_and_the_rest_is_not() -> None:
    """Its first rows only were read."""
    known = {aspect: BOOK.why("aspects", aspect, "says", "authority").basis for aspect in ("halt", "frei", "frei-60")}
    assert set(known.values()) == {Basis.VERIFIED}
    assert BOOK.why("aspects", "frei-40", "says", "speed-now").basis is Basis.SECONDARY


def test_speeds() -> None:
    """60: EisbBBV; 40: hurrug.de."""
    assert BOOK.aspects["frei-60"].says["speed-now"] == "60 km/h"
    assert BOOK.aspects["frei-40"].says["speed-now"] == "40 km/h"
    assert BOOK.aspects["ersatzsignal"].says["speed-now"] == "40 km/h"


def test_flashing_red_is_on_sight_and_flashing_white_passes_it() -> None:
    """hurrug.de."""
    assert form(BOOK, "main").displays("vorsichtssignal") == ({"red": "flash"},)
    assert BOOK.aspects["vorsichtssignal"].says["authority"] == "proceed-on-sight"
    assert form(BOOK, "main-with-ersatzsignal").read({"white": "flash"}).aspect == "ersatzsignal"


def test_two_whites_that_rise_beside_the_red_permit_shunting() -> None:
    """hurrug.de."""
    assert lit(BOOK, "main-with-verschub", "halt-verschub") == ["red", "white", "white"]
    assert rises([light for light in places(BOOK, "main-with-verschub", "halt-verschub") if light[0] == "white"])


@pytest.mark.parametrize(("year", "lower"), [(1953, "green"), (1955, "yellow")])
def test_the_lower_light_of_40_was_green_until_july_1954(year: int, lower: str) -> None:
    """ASR: swapped on 12 July 1954; days count as their year, so 1954 has both."""
    when = Years(year, year)
    names = [name for name, item in BOOK.forms.items() if item.years.covers(when) and not item.parts]
    shown = {places(BOOK, name, "frei-40")[0][0] for name in names if "frei-40" in form(BOOK, name, year).gives}
    assert shown == {lower}
    assert BOOK.forms["main"].years.text == "1954-07-12.."
    assert BOOK.forms["main-two-greens"].years.text == "..1954-07-11"


def test_two_greens_are_40_on_an_old_head_and_60_on_a_later_one() -> None:
    """ASR; EisbBBV."""
    two = {"green": "lit", "lower-green": "lit"}
    assert form(BOOK, "main-two-greens", 1950).read(two).aspect == "frei-40"
    assert form(BOOK, "main", 1960).read(two).aspect == "frei-60"
    plan = "plan: 1\nrulebook: at-light\nyear: {}\nsignals: {{Z: {{form: {}}}}}\n"
    assert "form-not-in-use" in rules_of(plan.format(1960, "main-two-greens"))
    assert "form-not-in-use" in rules_of(plan.format(1950, "main"))


# Distants


@pytest.mark.parametrize(
    ("aspect", "lights"),
    [
        ("vorsicht", ["yellow", "yellow"]),
        ("hauptsignal-frei", ["green", "green"]),
        ("hauptsignal-frei-60", ["green", "green", "yellow"]),
        ("hauptsignal-frei-40", ["green", "yellow", "yellow"]),
    ],
)
def test_distants(aspect: str, lights: list[str]) -> None:
    """hurrug.de and ORM: yellows level, greens rising to the right, the yellow of 60 above them."""
    found = places(BOOK, "distant", aspect)
    assert [colour for colour, _ in found] == lights
    yellows, greens = ([item for item in found if item[0] == colour] for colour in ("yellow", "green"))
    assert len(yellows) < 2 or is_level(yellows)
    assert len(greens) < 2 or rises(greens)
    assert not yellows or not greens or min(at[1] for _, at in yellows) > max(at[1] for _, at in greens)


def test_a_dark_distant_is_vorsicht() -> None:
    """hurrug.de."""
    assert (form(BOOK, "distant").read({}).kind, form(BOOK, "distant").read({}).in_doubt) == (Kind.NONE, "vorsicht")


@pytest.mark.parametrize("name", POSTS)
def test_a_distant_on_the_post_is_dark_at_halt(name: str) -> None:
    """hurrug.de; so it is where the route is not its own."""
    post = form(BOOK, name)
    for aspect, dark in (("halt", {"distant"}), ("frei", set()), ("frei-60", set()), ("frei-40", set())):
        readings = {"main": post.parts["main"].read(post.parts["main"].displays(aspect)[0])}
        assert dark_by_rule(BOOK, post.form, readings, {}) == dark
        assert dark_by_rule(BOOK, post.form, readings, {"route": {"distant-applies": False}}) == {"distant"}


def test_a_distant_lit_over_halt_on_its_post_is_an_error() -> None:
    """hurrug.de."""
    found = findings_of("""
plan: 1
rulebook: at-light
year: 1972
signals:
  Z:
    form: main-and-distant
    shows: {main.halt: [main.red, distant.left-yellow, distant.right-yellow]}
""")
    assert [str(one.level) for one in found if one.rule == "contradicting-parts"] == ["error"]


@pytest.mark.parametrize(
    ("main", "distant"),
    [
        ("halt", "vorsicht"),
        ("ersatzsignal", "vorsicht"),
        ("frei", "hauptsignal-frei"),
        ("frei-40", "hauptsignal-frei-40"),
        ("frei-60", "hauptsignal-frei-60"),
    ],
)
def test_a_distant_follows_its_main_signal(main: str, distant: str) -> None:
    """hurrug.de; Vorsicht before the Ersatzsignal is derived."""
    assert must(BOOK, "distant", main) == distant


@pytest.mark.parametrize(
    ("speed", "shown"), [("40 km/h", "frei-40"), ("60 km/h", "frei-60"), ("100 km/h", "frei"), ("line", "frei")]
)
def test_a_main_signal_shows_the_speed_of_its_route(speed: str, shown: str) -> None:
    """EisbBBV; hurrug.de: a white 10 with Frei is 100 km/h."""
    assert must(BOOK, "main", "halt", route={"speed": speed}) == shown


def test_bars_of_light_repeat_a_signal() -> None:
    """hurrug.de: level stop, rising clear, falling a restriction; colour and size are memory."""
    rows = form(BOOK, "nachahmer").anatomy.lamps
    slopes = {name: (lamp.at[-1][0] - lamp.at[0][0], lamp.at[-1][1] - lamp.at[0][1]) for name, lamp in rows.items()}
    assert slopes == {"level": (2, 0), "rising": (2, 2), "falling": (2, -2)}
    shown = {
        aspect: next(iter(form(BOOK, "nachahmer").displays(aspect)[0])) for aspect in form(BOOK, "nachahmer").gives
    }
    assert shown == {
        "nachahmer-halt": "level",
        "nachahmer-eingeschraenkt": "falling",
        "nachahmer-frei": "rising",
    }


# Failing, eras


def test_what_reads_freer_is_proved_or_accepted_in_words() -> None:
    """From memory; of the two greens of old no source tells of an interlock."""
    found = set()
    for name in (*MAINS, "main-two-greens", "distant"):
        for item in failings(form(BOOK, name)):
            if BOOK.order.less_restrictive(item.reading.taken_for, item.meaning.aspect) is Verdict.YES:
                told = answer(form(BOOK, name), item)
                assert told is not None
                found.add((item.meaning.aspect, *item.elements, told[1].then or "accepted"))
    assert found == {
        ("frei-60", "lower-green", "halt"),
        ("frei-40", "yellow", "halt"),
        ("frei-40", "lower-green", "accepted"),
        ("hauptsignal-frei-60", "left-yellow", "vorsicht"),
    }


@pytest.mark.parametrize(
    ("era", "years"), [("era-ivc", "1980..1990"), ("era-iiia", "1945..1952"), ("era-iib", "1928..1938")]
)
def test_eras_by_nem(era: str, years: str) -> None:
    """NEM 801 A, as given on other pages."""
    said = BOOK.eras[era]
    assert (said["years"] if isinstance(said, dict) else said) == years


def test_1931_or_1935_is_disputed() -> None:
    """Wikipedia, German, against NEM 801 A: what only one of them allows is a note."""
    assert BOOK.years == Years.parse("1931..")
    assert BOOK.evidence.disputed["years"] == {"nem": "1935.."}


def test_open_names() -> None:
    """ORM: tags of the open map."""
    names = {aspect: BOOK.aspects[aspect].alternative_names["openstreetmap"] for aspect in ("frei-40", "frei-60")}
    assert names == {"frei-40": "AT-V2:frei_mit_40", "frei-60": "AT-V2:frei_mit_60"}
    assert BOOK.forms["main"].alternative_names == {"openstreetmap": "AT-V2:hauptsignal"}


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
