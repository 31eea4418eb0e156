"""Japan, colour-light signals: what the rulebook must say, each with its source.

All sources are secondary at best. JP-RK is rokko1go.jpn.org, JP-E2 a second enthusiast's page, JP-CODE two unrelated
game add-ons (low authority, for the order of lamps only), ORM OpenRailwayMap; ``derived`` follows from other facts.
"""

from __future__ import annotations

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.displays import FormReader, Kind, reader
from lampwright.rulebooks.failing import answer, failings
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import step
from support import bundled, findings_of, library

BOOK = bundled("jp-colour-light")
HEADS = ("head-2-yellow", "head-2-green", "head-3", "head-4a", "head-4b", "head-5", "head-6")
COLOURS = {"red": "R", "yellow": "Y", "green": "G"}


def form(name: str) -> FormReader:
    """Return what reads a form of the rulebook."""
    return reader(BOOK, name)


def order(name: str) -> str:
    """Return the colours of a head from the top down."""
    lamps = sorted(form(name).anatomy.places.items(), key=lambda item: -item[1].at[0][1])
    return "".join(COLOURS[lamp.colours[0]] if lamp.colours else "-" for _, lamp in lamps)


def lit(name: str, aspect: str) -> list[int]:
    """Return the lamps lit for an aspect, counted from the top."""
    places = sorted(form(name).anatomy.places, key=lambda lamp: -form(name).anatomy.places[lamp].at[0][1])
    (display,) = form(name).displays(aspect)
    return sorted(1 + places.index(lamp) for lamp in display)


@pytest.mark.parametrize(
    ("aspect", "lamps", "now"),
    [
        ("stop", "R", None),
        ("restricted-caution", "YY", "25 km/h"),
        ("caution", "Y", "45 km/h"),
        ("reduced-speed", "YG", "65 km/h"),
        ("proceed", "G", "line"),
    ],
)
def test_aspects_and_their_speeds(aspect: str, lamps: str, now: str | None) -> None:
    """JP-RK; line speed of proceed Wikipedia, English; what the 65 rests on is not named."""
    (display,) = form("head-5").displays(aspect)
    colours = sorted(COLOURS[form("head-5").anatomy.lamps[lamp].colours[0]] for lamp in display)
    assert colours == sorted(lamps)
    assert BOOK.aspects[aspect].says.get("speed-now") == now


def test_limited_flashes_80_times_a_minute_for_105() -> None:
    """Wikipedia, German, and a Japanese community dictionary; that both lamps flash is memory."""
    assert BOOK.states["flash"]["per-minute"] == 80
    assert BOOK.aspects["limited"].says["speed-now"] == "105 km/h"
    assert form("head-4b").read({"reduced-yellow": "flash", "green": "flash"}).aspect == "limited"
    assert BOOK.why("aspects", "limited", "shows").basis is Basis.MEMORY


def test_two_greens_are_high_speed_proceed_at_160() -> None:
    """Wikipedia, English."""
    assert BOOK.aspects["high-speed-proceed"].says["speed-now"] == "160 km/h"
    assert form("head-6").read({"upper-green": "lit", "lower-green": "lit"}).aspect == "high-speed-proceed"


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("head-2-yellow", {"stop", "caution"}),
        ("head-2-green", {"stop", "proceed"}),
        ("head-3", {"stop", "caution", "proceed"}),
        ("head-4a", {"stop", "caution", "proceed", "restricted-caution"}),
        ("head-4b", {"stop", "caution", "proceed", "reduced-speed", "limited"}),
        ("head-5", {"stop", "caution", "proceed", "restricted-caution", "reduced-speed", "limited"}),
    ],
)
def test_what_a_head_gives_follows_from_its_lamps(name: str, given: set[str]) -> None:
    """JP-RK: two to five lamps; limited lights the lamps of reduced speed."""
    assert set(form(name).gives) == given


@pytest.mark.parametrize(
    ("name", "colours"),
    [
        ("head-2-yellow", "YR"),
        ("head-2-green", "GR"),
        ("head-3", "GYR"),
        ("head-4a", "YRGY"),
        ("head-4b", "YRYG"),
        ("head-5", "YYRYG"),
        ("head-6", "YGRGYG"),
    ],
)
def test_the_order_of_lamps(name: str, colours: str) -> None:
    """JP-CODE, where both add-ons agree; three lamps ORM too."""
    assert order(name) == colours


@pytest.mark.parametrize(
    ("name", "aspect", "numbers"),
    [
        ("head-4a", "restricted-caution", [1, 4]),
        ("head-4a", "caution", [4]),
        ("head-4a", "proceed", [3]),
        ("head-4a", "stop", [2]),
        ("head-4b", "reduced-speed", [1, 4]),
        ("head-4b", "caution", [3]),
        ("head-4b", "proceed", [4]),
        ("head-4b", "stop", [2]),
        ("head-5", "restricted-caution", [1, 4]),
        ("head-5", "reduced-speed", [2, 5]),
        ("head-5", "caution", [4]),
        ("head-5", "proceed", [5]),
        ("head-5", "stop", [3]),
        ("head-6", "stop", [3]),
        ("head-3", "proceed", [1]),
        ("head-3", "caution", [2]),
        ("head-3", "stop", [3]),
    ],
)
def test_the_lamps_of_each_aspect(name: str, aspect: str, numbers: list[int]) -> None:
    """JP-CODE; derived from the order for lamps that stand alone."""
    assert lit(name, aspect) == numbers


@pytest.mark.parametrize("name", HEADS)
def test_two_lamps_lit_have_two_or_three_dark_places_between(name: str) -> None:
    """The same pattern on every head (secondary, as the order)."""
    pairs = [numbers for aspect in form(name).gives if len(numbers := lit(name, aspect)) == 2]
    assert all(lower - upper - 1 in (2, 3) for upper, lower in pairs)


def test_the_pattern_leaves_one_pair_of_yellows_and_one_of_greens_on_six_lamps() -> None:
    """Derived from order and pattern; so no other numbers are possible for these two aspects."""
    for colour, aspect in (("Y", "restricted-caution"), ("G", "high-speed-proceed")):
        places = [number for number, letter in enumerate(order("head-6"), 1) if letter == colour]
        pairs = [[upper, lower] for upper in places for lower in places if lower - upper - 1 in (2, 3)]
        assert pairs == [lit("head-6", aspect)]


def test_a_distant_is_never_red_and_keeps_the_place_empty() -> None:
    """Wikipedia, Japanese, and ORM; which arrangement it keeps is memory."""
    assert order("distant-4") == "Y-YG"
    assert order("distant-2") == "GY"
    for name in ("distant-4", "distant-2"):
        assert not any("red" in lamp.colours for lamp in form(name).anatomy.lamps.values())
        assert form(name).form.marks == {"backboard": "square"}
        assert form(name).form.follows == "the-one-off"
    assert BOOK.why("forms", "distant-4", "lamps", "red", "place").basis is Basis.SECONDARY
    assert BOOK.why("forms", "distant-4", "lamps", "green").basis is Basis.MEMORY


@pytest.mark.parametrize(
    ("home", "distant"),
    [
        ("stop", "caution"),
        ("restricted-caution", "caution"),
        ("caution", "reduced-speed"),
        ("reduced-speed", "proceed"),
    ],
)
def test_a_distant_is_one_step_looser_than_its_home(home: str, distant: str) -> None:
    """JP-RK, ORM, JP-CODE; caution while all homes are at stop: Wikipedia, Japanese."""
    assert step(BOOK, "distant", form("distant-4").gives, {"next": home}, None).must == distant


def test_a_repeater_has_level_slanting_and_upright_rows_of_white() -> None:
    """JP-RK, ORM, JP-CODE; what each repeats is memory."""
    rows = form("repeater").anatomy.lamps
    assert {lamp.colours for lamp in rows.values()} == {("white",)}
    slopes = {name: (lamp.at[-1][0] - lamp.at[0][0], lamp.at[-1][1] - lamp.at[0][1]) for name, lamp in rows.items()}
    assert slopes == {"level": (2, 0), "slanting": (2, 2), "upright": (0, 2)}
    assert BOOK.why("forms", "repeater", "shows").basis is Basis.MEMORY


def test_a_violet_marker_makes_it_a_signal() -> None:
    """JP-RK and JP-E2: two lamps and a violet marker; lit a shunting signal, dark a guide is needed."""
    signal = form("shunting-signal")
    assert signal.anatomy.lamps["marker"].colours == ("violet",)
    assert signal.read({"pivot": "lit", "raised": "lit", "marker": "lit"}).aspect == "shunt-proceed"
    assert signal.read({"pivot": "lit", "raised": "lit"}).aspect == "guided-shunt-proceed"
    assert BOOK.order.less_restrictive("shunt-proceed", "guided-shunt-proceed") is Verdict.YES


@pytest.mark.parametrize("name", HEADS)
def test_a_dark_signal_is_at_stop(name: str) -> None:
    """Wikipedia, English: it counts as its most restrictive aspect."""
    assert (form(name).read({}).kind, form(name).read({}).in_doubt) == (Kind.NONE, "stop")


def test_a_dark_distant_is_at_caution() -> None:
    """The same rule: its most restrictive aspect is caution."""
    assert {form(name).read({}).in_doubt for name in ("distant-4", "distant-2")} == {"caution"}


def test_yellow_with_green_less_green_is_yellow_by_design() -> None:
    """Derived, by colour and number as a driver reads: 65 becomes 45, whatever the place of the lamp."""
    for name, lamp in (("head-4b", "reduced-yellow"), ("head-5", "reduced-yellow")):
        assert form(name).read({lamp: "lit"}).aspect == "caution"
    assert BOOK.order.less_restrictive("reduced-speed", "caution") is Verdict.YES


@pytest.mark.parametrize("name", ["head-4a", "head-4b", "head-5", "head-6"])
def test_what_would_read_freer_has_its_interlock(name: str) -> None:
    """Derived: two yellows less one (25 becomes 45), yellow with green less its yellow; a burnt-out lamp is stop."""
    freer = [
        item
        for item in failings(form(name))
        if item.how == "lost" and BOOK.order.less_restrictive(item.reading.aspect, item.meaning.aspect) is Verdict.YES
    ]
    told = {(item.meaning.aspect, item.reading.aspect) for item in freer}
    expected = {"4a": {"restricted-caution"}, "4b": {"reduced-speed"}}.get(
        name.removeprefix("head-"), {"restricted-caution", "reduced-speed"}
    )
    assert {aspect for aspect, _ in told} == expected
    assert told <= {("restricted-caution", "caution"), ("reduced-speed", "proceed")}
    answers = [found[1].then for item in freer if (found := answer(form(name), item))]
    assert answers == ["stop"] * len(freer)


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []


def test_no_datum_is_better_known_than_its_source() -> None:
    """No official text was read: nothing is verified."""
    assert {source.basis for source in BOOK.sources.values()} == {"secondary"}
