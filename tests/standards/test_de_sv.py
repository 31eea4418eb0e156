"""Germany, Sv light signals: what the rulebook must say, by Ril 301.0104 (verified) unless a test names another."""

from __future__ import annotations

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.failing import answer, failings
from lampwright.rulebooks.order import Verdict
from seen_lamps import form, is_level, lit, must, places
from support import bundled, findings_of, library, rules_of

BOOK = bundled("de-sv")
HALVES = {
    "sv0": ("Y", "Y"),
    "sv1": ("G", "G"),
    "sv2": ("G", "Y"),
    "sv3": ("G", "G/Y"),
    "sv4": ("G/Y", "G"),
    "sv5": ("G/Y", "G/Y"),
    "sv6": ("G/Y", "Y"),
}


@pytest.mark.parametrize(("aspect", "halves"), HALVES.items())
def test_both_halves(aspect: str, halves: tuple[str, str]) -> None:
    """Left this signal, right the next; G/Y is green over yellow."""
    lights = places(BOOK, "sv", aspect)[::-1]
    columns = sorted({at[0] for _, at in lights})
    seen = tuple("/".join(colour[0].upper() for colour, at in lights if at[0] == column) for column in columns)
    assert seen == halves
    assert BOOK.why("aspects", aspect, "shows").basis is Basis.VERIFIED


def test_sv0_and_sv1_are_level_and_sv5_has_four_lights() -> None:
    """Two yellows side by side, two greens side by side, green over yellow twice."""
    assert is_level(places(BOOK, "sv", "sv0"))
    assert is_level(places(BOOK, "sv", "sv1"))
    assert lit(BOOK, "sv", "sv5") == ["green", "green", "yellow", "yellow"]
    assert max(len(item.lamps) for item in form(BOOK, "sv").meanings) == 4


def test_sv4_to_sv6_are_40_and_sv0_stops_and_goes_on_sight() -> None:
    """The speed holds at this signal; the right half tells of the next."""
    assert {aspect for aspect in HALVES if BOOK.aspects[aspect].says.get("speed-now") == "40 km/h"} == {
        "sv4",
        "sv5",
        "sv6",
    }
    assert BOOK.aspects["sv0"].says["authority"] == "stop-then-sight"


def test_some_signals_show_hp0_in_place_of_sv0() -> None:
    """One red."""
    assert "sv0" not in form(BOOK, "sv-with-red").gives
    assert lit(BOOK, "sv-with-red", "hp0") == ["red"]


@pytest.mark.parametrize(
    ("ahead", "speed", "shown"),
    [
        ("sv0", "line", "sv2"),
        ("hp0", "line", "sv2"),
        ("sv1", "line", "sv1"),
        ("sv2", "line", "sv1"),
        ("sv3", "line", "sv1"),
        ("sv4", "line", "sv3"),
        ("sv5", "line", "sv3"),
        ("sv6", "line", "sv3"),
        ("sv0", "40 km/h", "sv6"),
        ("sv4", "40 km/h", "sv5"),
        ("sv1", "40 km/h", "sv4"),
    ],
)
def test_what_must_stand(ahead: str, speed: str, shown: str) -> None:
    """The left half by the route, the right by the next signal."""
    assert must(BOOK, "sv", ahead, route={"speed": speed}) == shown


def test_old_numbers_are_not_carried_over() -> None:
    """blocksignal.de: before 1959 Sv 3 and Sv 4 were stop aspects of eight."""
    plan = "plan: 1\nrulebook: de-sv\nyear: {}\nsignals: {{A: {{form: sv}}}}\n"
    assert "year-outside-rulebook" in rules_of(plan.format(1958))
    assert "year-outside-rulebook" not in rules_of(plan.format(1959))
    assert form(BOOK, "sv").form.alternative_names == {"openstreetmap": "DE-ESO:sv"}


@pytest.mark.parametrize(("name", "stop"), [("sv", "sv0"), ("sv-with-red", "hp0")])
def test_what_reads_freer_is_proved(name: str, stop: str) -> None:
    """From memory; the faults are derived, one lamp at a time."""
    found = set()
    for item in failings(form(BOOK, name)):
        if BOOK.order.less_restrictive(item.reading.taken_for, item.meaning.aspect) is Verdict.YES:
            told = answer(form(BOOK, name), item)
            assert told is not None
            found.add((item.elements[0], told[1].then))
    assert found == {("left-lower-yellow", stop), ("right-lower-yellow", stop)}


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
