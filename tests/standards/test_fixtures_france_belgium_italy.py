"""Acceptance fixtures FX3 to FX6: France, Belgium, Italy."""

from __future__ import annotations

from typing import Any

import pytest

from fixture_books import form, freer, only, rulebook, without
from lampwright.findings import Basis
from lampwright.quantities import quantity
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.sequence import step

# FX3 France: (R)+A and the carre on an H head


PAIR = {"top-yellow": "flash", "arm-yellow": "flash"}
EYE = {"eye": "lit"}


def test_fx3_r_flashing_with_a_is_two_flashing_one_steady_and_the_eye() -> None:
    """OpenStreetMap wiki; S1A art. 211 (secondary): each part on its own, both orders apply."""
    head = form("fr", "h")
    assert only(head, "r-flash-a") == {**PAIR, "foot-yellow": "lit", **EYE}
    assert head.read({**PAIR, "foot-yellow": "lit", **EYE, "nf": "present"}).aspect == "r-flash-a"
    assert head.read({**PAIR, "foot-yellow": "flash", **EYE}).kind is Kind.NONE
    assert head.read({**PAIR, **EYE}).aspect == "r-flash"
    assert head.read({"foot-yellow": "lit", **EYE}).aspect == "a"
    says = {name: rulebook("fr").aspects[name].says for name in ("a", "r-flash", "r-flash-a")}
    assert says["r-flash-a"]["stop-at"] == says["a"]["stop-at"] == "next"
    assert says["r-flash-a"]["expect"] == says["r-flash"]["expect"] == "rr-flash"
    assert says["r-flash-a"]["reach-by"] == says["a"]["reach-by"] == "200 m before"


def test_fx3_the_pair_is_horizontal() -> None:
    """OpenStreetMap wiki, OpenRailwayMap (secondary): the arm is at the height of the top yellow; its side: memory."""
    lamps = rulebook("fr").forms["h"].lamps
    ((top_x, top_y),), ((arm_x, arm_y),) = lamps["top-yellow"].at, lamps["arm-yellow"].at
    assert top_y == arm_y
    assert top_x != arm_x
    assert rulebook("fr").why("forms", "h", "lamps", "arm-yellow", "at").basis is Basis.MEMORY


def test_fx3_nine_lamps_and_the_eye() -> None:
    """OpenStreetMap wiki, OpenRailwayMap (secondary): a column of six, an arm, a side column of two; a small eye."""
    lamps = rulebook("fr").forms["h"].lamps
    column = sorted(
        (lamp for lamp in lamps.values() if lamp.at and lamp.at[0][0] == 0), key=lambda lamp: -lamp.at[0][1]
    )
    assert [colour for lamp in column for colour in lamp.colours] == [
        "yellow",
        "red",
        "white",
        "green",
        "red",
        "yellow",
    ]
    assert [name for name, lamp in lamps.items() if lamp.size == "small"] == ["eye"]
    assert len(lamps) == 9 + 1
    assert lamps["upper-side-yellow"].at == lamps["lower-side-yellow"].at == ()  # not established


def test_fx3_the_carre_is_two_reds_and_no_eye_and_everything_else_has_the_eye() -> None:
    """OpenStreetMap wiki, OpenRailwayMap (secondary): a coupling, so it holds for every aspect of the form."""
    head = form("fr", "h")
    assert only(head, "carre") == {"carre-red": "lit", "semaphore-red": "lit", "nf": "present"}
    for aspect in head.gives:
        assert (only(head, aspect).get("eye", "dark") == "dark") == (aspect == "carre")
    reading = head.read({"carre-red": "lit", "semaphore-red": "lit", **EYE, "nf": "present"})
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "carre")


def test_fx3_never_two_flashing_clears_in_a_row() -> None:
    """S3 of the requirements (secondary): a pattern forbidden in running order."""
    assert rulebook("fr").never == ({"run": ["vl-flash", "vl-flash"]},)


# FX4 France: a single red, told by plate and eye


NF = {"nf": "present"}


def test_fx4_one_red_is_two_aspects_told_by_the_eye() -> None:
    """S1A art. 220-221, OpenStreetMap wiki (secondary): with plate Nf, eye lit permissive, eye dark absolute."""
    head = form("fr", "h")
    assert head.read({"semaphore-red": "lit", **EYE, **NF}).aspect == "semaphore"
    assert head.read({"semaphore-red": "lit", **NF}).aspect == "carre"
    says = rulebook("fr").aspects
    assert says["semaphore"].says == {"authority": "stop-then-sight"}
    assert says["carre"].says == {"authority": "stop"}


@pytest.mark.parametrize("lamp", ["carre-red", "semaphore-red"])
def test_fx4_a_carre_that_lost_a_red_is_still_absolute(lamp: str) -> None:
    """S1A art. 220-221 (secondary): either red may be the one left."""
    head = form("fr", "h")
    assert head.read(without(only(head, "carre"), lamp)).aspect == "carre"


def test_fx4_other_plates_tell_which_permissive_semaphore() -> None:
    """OpenStreetMap wiki, S1A (secondary): without Nf, plate F, PR or BM says so; the plate that is named wins."""
    head, red = form("fr", "h"), {"semaphore-red": "lit", **EYE}
    read = {plate: head.read({**red, plate: "present"}).aspect for plate in ("f", "pr", "bm")}
    assert read == {"f": "semaphore", "pr": "semaphore-pr", "bm": "semaphore-bm"}
    assert head.read({**red, "pr": "present", "bm": "present"}).kind is Kind.AMBIGUOUS


def test_fx4_without_plate_nothing_says_that_a_dark_eye_is_a_carre() -> None:
    """S1A art. 220-221 (secondary): it is Nf that makes it one, so without it there is no aspect; in doubt: derived."""
    reading = form("fr", "h").read({"semaphore-red": "lit"})
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "carre")


def test_fx4_the_eye_alone_is_no_aspect() -> None:
    """An enthusiast page, item F31.01 (secondary): a panel with only the eye lit counts as dark."""
    head = form("fr", "h")
    assert head.read({**EYE, **NF}) == head.read(NF)
    assert head.read(NF).kind is Kind.NONE


# FX5 Belgium: VJH under counter-flow, with a framed digit


CROSS = {"cross-mark": "present"}


def test_fx5_under_counter_flow_both_lamps_flash() -> None:
    """OpenRailwayMap, Wikipedia, an enthusiast site (secondary): every aspect blinks; told by an X in the number."""
    head = form("be", "seven")
    assert head.read({"green": "lit", "arm-yellow": "lit"}).aspect == "vjh"
    assert head.read({"green": "flash", "arm-yellow": "flash", **CROSS}).aspect == "vjh"
    assert head.read({"green": "lit", "arm-yellow": "lit", **CROSS}).kind is Kind.NONE
    assert head.read({"green": "flash", "arm-yellow": "flash"}).kind is Kind.NONE
    counter = form("be", "seven", "counter-flow")
    assert set(counter.gives) == set(head.gives)
    assert {
        state for aspect in head.gives for lamp, state in only(counter, aspect).items() if lamp != "cross-mark"
    } == {"flash"}


def test_fx5_the_frame_of_the_digit_is_kept() -> None:
    """De lichtseinen (secondary): framed when the speed is more than 30 below the best route. It changes no aspect."""
    head, book = form("be", "seven"), rulebook("be")
    framed = {"green": "flash", "arm-yellow": "flash", "upper-box": "4", "upper-frame": "lit", **CROSS}
    assert head.read(framed).aspect == head.read(without(framed, "upper-frame")).aspect == "vjh"
    assert (book.indicators["upper-frame"].kind, book.indicators["upper-frame"].at) == ("symbol", (0, 4))
    assert book.indicators["upper-box"].colour == "orange"


def test_fx5_the_speed_announced_is_that_of_the_box_then_the_plate_then_40() -> None:
    """De lichtseinen; an enthusiast site 31b (secondary): in this order, the first that is there."""
    book = rulebook("be")
    assert book.aspects["vjh"].says["speed-next"] == ["upper-box", "triangle", "40 km/h"]
    assert book.why("plates", "triangle").text.endswith("31b")


def test_fx5_losing_the_arm_yellow_needs_lamp_proving_or_somebody_who_accepts_it() -> None:
    """De lichtseinen (secondary): what is left is V. Proving in service is not established, so not stated."""
    for regime in ("", "counter-flow"):
        head = form("be", "seven", regime)
        assert head.read(without(only(head, "vjh"), "arm-yellow")).aspect == "v"
    assert freer("be", "v", "vjh")
    assert rulebook("be").forms["seven"].faults == ()


def test_fx5_an_unfitted_hole_is_plated_over() -> None:
    """OpenRailwayMap (secondary): the place keeps its coordinates and cannot be lit."""
    head = form("be", "seven-without-white")
    assert head.anatomy.places["white"].at == ((0, 0),)
    assert "white" not in head.lamps


def test_fx5_vjh_stands_where_the_next_imposes_a_speed() -> None:
    """De lichtseinen, an enthusiast site (secondary): VJH. Before a stop 2J, before line speed V: derived."""
    book, gives = rulebook("be"), form("be", "seven").gives
    before: dict[str, dict[str, Any]] = {
        "jj": {"next": "r"},
        "vjh": {"next": "v", "next-route": {"speed": "40 km/h"}},
        "v": {"next": "v", "next-route": {"speed": "line"}},
    }
    assert {aspect: step(book, "stop", gives, ahead, None).must for aspect, ahead in before.items()} == {
        aspect: aspect for aspect in before
    }


def test_fx5_the_arm_is_on_the_right_and_the_regime_mirrors_it() -> None:
    """OpenRailwayMap, Wikipedia, an enthusiast site (secondary): the counter-flow head is the mirror image."""
    book = rulebook("be")
    lamps = book.forms["seven"].lamps
    ((arm_x, arm_y),), ((green_x, green_y),) = lamps["arm-yellow"].at, lamps["green"].at
    assert (arm_x > green_x, arm_y == green_y) == (True, True)
    regime = book.regimes["counter-flow"]
    assert (regime.mirror, regime.every_lamp, regime.told_by) == (True, "flash", "cross-mark")
    mirrored = form("be", "seven", regime="counter-flow")
    assert (mirrored.at("arm-yellow"), mirrored.at("green")) == (((-arm_x, arm_y),), ((green_x, green_y),))
    assert only(mirrored, "vjh")["cross-mark"] == "present"


# FX6 Italy: the same two lamps; a dark box that says 30


def test_fx6_steady_together_and_alternating_are_three_aspects() -> None:
    """An Italian signal wiki (secondary): next at 30, 60, 100."""
    discs = form("it", "two-discs")
    shown = {
        "next-30": {"upper": "yellow", "lower": "green"},
        "next-60": {"upper": "flash yellow", "lower": "flash green"},
        "next-100": {"upper": "flash yellow", "lower": "flash-opposite green"},
    }
    assert {aspect: discs.read(display).aspect for aspect, display in shown.items()} == {name: name for name in shown}
    book = rulebook("it")
    assert [book.aspects[name].says["speed-next"] for name in shown] == ["30 km/h", "60 km/h", "100 km/h"]
    assert book.states["flash-opposite"]["phase"] == 180
    assert freer("it", "next-100", "next-60")
    assert freer("it", "next-60", "next-30")


def test_fx6_a_dark_box_is_a_value() -> None:
    """OpenRailwayMap (secondary): no bar 30, one bar 60, two bars 100; red over green is open at that speed."""
    book = rulebook("it")
    assert book.indicators["rappel"].shows == {"dark": "30 km/h", "one-bar": "60 km/h", "two-bars": "100 km/h"}
    assert book.aspects["open-at-reduced"].says["speed-now"] == ["rappel", "previous"]
    for bars in ("dark", "one-bar", "two-bars"):
        assert (
            form("it", "two-discs").read({"upper": "red", "lower": "green", "rappel": bars}).aspect == "open-at-reduced"
        )


@pytest.mark.parametrize(
    ("announces", "bars", "agree"),
    [
        ("next-100", "dark", False),
        ("next-100", "two-bars", True),
        ("next-60", "one-bar", True),
        ("next-30", "dark", True),
    ],
)
def test_fx6_what_is_announced_and_what_is_confirmed_can_be_compared(announces: str, bars: str, agree: bool) -> None:  # noqa: FBT001
    """The pair of the fixture disagrees, 100 against 30; the matching pairs of the table agree (derived)."""
    book = rulebook("it")
    announced = quantity(book.aspects[announces].says["speed-next"])
    confirmed = quantity(book.indicators["rappel"].shows[bars])
    assert (announced.amount == confirmed.amount) is agree


@pytest.mark.parametrize(
    ("speed", "announced"), [("30 km/h", "next-30"), ("60 km/h", "next-60"), ("100 km/h", "next-100")]
)
def test_fx6_before_a_reduced_opening_its_speed_must_be_announced(speed: str, announced: str) -> None:
    """An Italian signal wiki (secondary): the next confirms what this one announced, so never 100 before 30."""
    gives = form("it", "two-discs").gives
    asked = step(rulebook("it"), "stop", gives, {"next": "open-at-reduced", "next-route": {"speed": speed}}, None)
    assert (asked.must, asked.may) == (announced, ())


def test_fx6_losing_the_yellow_reads_as_clear() -> None:
    """Lost lamps of the requirements (derived): Y / G less yellow is G, as a driver sees it; it fails unless proved."""
    discs = form("it", "two-discs")
    assert discs.read(without(only(discs, "next-30"), "upper")).aspect == "clear"
    assert freer("it", "clear", "next-30")
