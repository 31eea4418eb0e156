"""Scales, lengths and speeds of a plan, and the figures that take the place of a rulebook's."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright import plans
from lampwright.layout import Layout
from lampwright.library import Library
from lampwright.quantities import UNITS, quantity
from lampwright.working.measures import Length, Yardstick, compression, plainly, total
from lampwright.working.parameters import parameter, saying
from lampwright.working.scales import NAMES, Scale, meanings, ratio, scale
from support import library

NUMBERS = st.decimals(min_value="0.001", max_value=99999, places=3)
RATIOS = st.fractions(min_value=1, max_value=500)


def layout(**values: Any) -> Layout:
    """Return the layout of a plan with these sections."""
    return Layout(plans.load({"plan": 1, **values}, "plan.yaml"), library() if "rulebook" in values else Library([]))


def yardstick(times: Fraction, squeezed: Fraction | None = None) -> Yardstick:
    """Return a yardstick by its ratio and compression."""
    return Yardstick(Scale("", times), squeezed)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("1:76.2", Fraction("76.2")),
        ("1: 87", Fraction(87)),
        ("4 mm/ft", Fraction("76.2")),
        ("10:1", Fraction(1, 10)),
        ("OO", None),
        ("1:0", None),
        ("0:76", None),
        ("1:1e9", None),
        ("-1:5", None),
        ("mm/ft", None),
    ],
)
def test_a_ratio_is_read_exactly(written: str, expected: Fraction | None) -> None:
    """Four millimetres to the foot are 1:76.2, for a foot is 304.8 mm (since 1959, by definition)."""
    assert ratio(written) == expected


@pytest.mark.parametrize("written", ["OO", "oo", "00", "EM", "P4", "4 mm/ft", "1:76.2"])
def test_names_of_one_scale(written: str) -> None:
    """Common practice: the names differ in their track gauges, not in the scale."""
    found = scale(layout(scale=written))
    assert found is not None
    assert found.ratio == Fraction("76.2")


def test_a_name_with_several_meanings_is_none_by_itself() -> None:
    """Common practice: N is 1:160 in most countries, 1:148 in Britain, 1:150 in Japan."""
    assert {found.ratio for found in meanings(layout(scale="N"))} == {160, 148, 150}
    assert scale(layout(scale="N")) is None


@pytest.mark.parametrize(("written", "expected"), [("N", "148"), ("O", "43.54"), ("TT", "101.6"), ("1", "30.48")])
def test_a_rulebook_settles_what_a_name_means(written: str, expected: str) -> None:
    """Common practice in Britain."""
    found = scale(layout(scale=written, rulebook="gb-colour-light"))
    assert found is not None
    assert plainly(found.ratio) == expected


def test_every_name_has_a_ratio() -> None:
    """The table holds nothing that cannot be read."""
    for name in NAMES:
        assert meanings(layout(scale=name)), name


@given(NUMBERS, st.sampled_from(sorted(UNITS)))
def test_units_round_trip(number: Any, unit: str) -> None:
    """What is read in a unit is the same amount in that unit, exactly."""
    assert quantity(f"{number} {unit}").inside(unit) == Fraction(number)


@given(NUMBERS)
def test_units_of_length_agree(number: Any) -> None:
    """1760 yards are a mile, 80 chains too, 12 inches a foot: by definition."""
    miles = quantity(f"{number} miles").amount
    assert (
        miles == Fraction(number) * 1760 * quantity("1 yd").amount == Fraction(number) * 80 * quantity("1 chain").amount
    )
    assert quantity(f"{number} ft").amount == Fraction(number) * 12 * quantity("1 in").amount
    assert quantity(f"{number} mph").amount == miles / 3600


@given(st.fractions(min_value=0, max_value=10**6), RATIOS, RATIOS)
def test_what_track_stands_for_and_back(metres: Fraction, times: Fraction, squeezed: Fraction) -> None:
    """A length of track stands for itself times scale times compression; and that takes the same length of track."""
    yard = yardstick(times, squeezed)
    laid = yard.laid(metres)
    assert laid == Length(metres, metres * times, metres * times * squeezed)
    assert laid.stands is not None
    assert yard.standing(laid.stands) == laid


@given(st.lists(st.fractions(min_value=0, max_value=1000), max_size=5), RATIOS)
def test_lengths_add_up(lengths: list[Fraction], times: Fraction) -> None:
    """A route is as long as its sections together."""
    yard = yardstick(times, Fraction(2))
    assert total(map(yard.laid, lengths)) == yard.laid(sum(lengths, Fraction(0)))


def test_what_is_not_known_stays_unknown() -> None:
    """No scale, no compression: nothing is guessed."""
    assert Yardstick(None, None).length("1.2 m") == Length(Fraction(6, 5), None, None)
    assert Yardstick(None, Fraction(4)).length("1.2 m").stands is None
    assert yardstick(Fraction(100)).length("1.2 m") == Length(Fraction(6, 5), Fraction(120), None)
    assert yardstick(Fraction(100)).length("real 120 m") == Length(None, None, Fraction(120))
    assert yardstick(Fraction(100), Fraction(2)).length("real 120 m") == Length(
        Fraction(3, 5), Fraction(60), Fraction(120)
    )
    assert not Yardstick(None, None).length("soon")
    known, unknown = yardstick(Fraction(100)).length("1 m"), Yardstick(None, None).length(None)
    assert known + unknown == Length(None, None, None)


def test_speeds_are_the_prototypes_unless_said_otherwise() -> None:
    """A model's speed grows by the scale; without a scale nothing is known of it."""
    yard = yardstick(Fraction("76.2"))
    assert yard.speed("60 mph") == yard.speed("real 60 mph") == Fraction("26.8224")
    assert yard.speed("model 0.352 m/s") == Fraction("26.8224")
    assert Yardstick(None, None).speed("model 0.352 m/s") is None
    assert yard.speed("0 mph") is None


@pytest.mark.parametrize(
    ("written", "expected"),
    [(4, 4), ("1:4", 4), ("25 %", 4), ("1:2.5", Fraction("2.5")), (1, 1), ("0 %", None), ("1:0", None), ("x", None)],
)
def test_compression(written: object, expected: Fraction | None) -> None:
    """A quarter of the length, one to four, four times shorter."""
    assert compression(written) == expected


@pytest.mark.parametrize(
    ("written", "low", "high", "measures"),
    [
        ("180 m", 180, 180, "length"),
        ("50..200 m", 50, 200, "length"),
        ("1..1.33", 1, Fraction(133, 100), ""),
        ("1..", 1, None, ""),
        ("..20 mph", None, Fraction("8.9408"), "speed"),
        ("400 yd", Fraction("365.76"), Fraction("365.76"), "length"),
        (3, 3, 3, ""),
    ],
)
def test_a_figure_is_read_with_its_range(written: object, low: Any, high: Any, measures: str) -> None:
    """In base units, an open end as none."""
    found = saying(written, None)
    assert found is not None
    assert (found.low, found.high, found.measures) == (low, high, measures)


@pytest.mark.parametrize("written", ["..", "x", "1..x", "over 50 %", "5 furlongs", True, None, [1, 2], "1e999999999"])
def test_what_is_no_figure_is_none(written: object) -> None:
    """Text for people stays text for people."""
    assert saying(written, None) is None


def test_a_plans_figure_takes_the_place_of_the_rulebooks() -> None:
    """Without the disputes of the rulebook's sources; one that measures something else counts for nothing."""
    usual = parameter(layout(rulebook="gb-colour-light"), "overlap", "length")
    own = parameter(layout(rulebook="gb-colour-light", parameters={"overlap": {"value": "100 m"}}), "overlap", "length")
    assert usual is not None
    assert own is not None
    assert (usual.own.low, len(usual.others), len(usual.citations)) == (Fraction(180), 2, 1)
    assert (own.own.low, len(own.others), len(own.citations)) == (Fraction(100), 0, 0)
    assert parameter(layout(rulebook="gb-colour-light", parameters={"overlap": "8 s"}), "overlap", "length") is None
    assert parameter(layout(), "overlap", "length") is None
