"""Acceptance fixtures FX7 to FX11: New South Wales, Victoria, Japan."""

from __future__ import annotations

import pytest

from fixture_books import form, freer, numbers, only, rulebook, without
from lampwright.findings import Basis
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.sequence import step

# FX7 New South Wales: R / R with a small green, staggered


REDS = {"upper.red": "lit", "lower.red": "lit"}


def test_fx7_red_over_red_with_the_small_green_is_low_speed_in_line_and_staggered() -> None:
    """NSG 606 with nswrail.net (secondary); that it stands on staggered heads is not established."""
    for kind in ("controlled", "automatic"):
        assert form("au-nsw", kind).read({**REDS, "low": "lit"}).aspect == "low-speed"
    assert rulebook("au-nsw").aspects["low-speed"].says["stop-at"] == "next"


def test_fx7_the_small_green_stands_with_red_over_red_only() -> None:
    """S7 of the requirements (secondary): with any other display it is no aspect."""
    signal = form("au-nsw", "controlled")
    for display in signal.combinations():
        if display.get("low", "dark") == "lit" and {name for name in display if name != "low"} != set(REDS):
            assert signal.read(display).kind is Kind.NONE


def test_fx7_staggered_heads_make_stop_permissive() -> None:
    """NSG 600 (verified): staggered is automatic, in line is controlled; how it is passed is derived."""
    assert form("au-nsw", "controlled").read(REDS).aspect == "stop"
    assert form("au-nsw", "automatic").read(REDS).aspect == "stop-permissive"
    assert rulebook("au-nsw").why("forms", "automatic", "marks", "staggered").basis is Basis.VERIFIED
    assert rulebook("au-nsw").why("aspects", "stop-permissive", "says").basis is Basis.DERIVED


def test_fx7_one_offset_and_one_small_lamp() -> None:
    """NSG 600 and 606 (verified): the heads stand apart sideways; the low speed light is small."""
    controlled, automatic = (rulebook("au-nsw").forms[kind] for kind in ("controlled", "automatic"))
    heads = automatic.heads
    upper, lower = heads["upper"].at, heads["lower"].at
    assert upper is not None
    assert lower is not None
    assert (upper[0] != lower[0], upper[1] > lower[1]) == (True, True)
    assert [{name: lamp.size for name, lamp in kind.lamps.items()} for kind in (controlled, automatic)] == [
        {"low": "small"},
        {"low": "small"},
    ]
    assert automatic.lamps["low"].at == ()  # under staggered heads not established


def test_fx7_losing_the_small_green_leaves_stop() -> None:
    """NSG 606 with nswrail.net (secondary): R / R is stop, which frees nobody."""
    signal = form("au-nsw", "controlled")
    assert signal.read(without(only(signal, "low-speed"), "low")).aspect == "stop"
    assert freer("au-nsw", "low-speed", "stop")


# FX8 New South Wales and Victoria: G / R


def test_fx8_one_display_is_two_aspects_told_by_the_rulebook_alone() -> None:
    """nswrail.net (secondary): caution, the next may be at stop. Driver-training cards, Victoria (secondary): clear."""
    display = {"upper.green": "lit", "lower.red": "lit"}
    read = {
        name: form(name, kind).read(display).aspect
        for name, kind in (("au-nsw", "controlled"), ("au-vic", "home-3-over-3"))
    }
    assert read == {"au-nsw": "caution", "au-vic": "clear-normal"}
    assert rulebook("au-nsw").aspects["caution"].says["stop-at"] == "next"
    assert "stop-at" not in rulebook("au-vic").aspects["clear-normal"].says


def test_fx8_the_lower_red_tells_of_the_next_signal_in_new_south_wales() -> None:
    """signalbox.org (secondary): upper head this signal, lower head the next; so its red is no stop."""
    heads = rulebook("au-nsw").forms["controlled"].heads
    assert {name: head.role for name, head in heads.items()} == {"upper": "this", "lower": "next"}
    assert form("au-nsw", "controlled").read({"lower.red": "lit"}).kind is Kind.NONE


# FX9 Victoria: an automatic that cannot clear fully


def test_fx9_without_an_upper_green_reduce_to_medium_is_the_best_there_is() -> None:
    """victorianrailways.net; driver-training cards (secondary): Y / G at best, and no G over anything."""
    signal = form("au-vic", "automatic-2-over-3")
    assert "clear-normal" not in signal.gives
    assert "clear-normal" in form("au-vic", "home-3-over-3").gives
    assert [aspect for aspect in signal.gives if not any(freer("au-vic", other, aspect) for other in signal.gives)] == [
        "reduce-to-medium"
    ]
    assert only(signal, "reduce-to-medium") == {"upper.yellow": "lit", "lower.green": "lit"}
    says = rulebook("au-vic").aspects["reduce-to-medium"].says
    assert (says["speed-now"], rulebook("au-vic").speeds[says["speed-next"]]) == ("line", "40 km/h")


def test_fx9_an_upper_green_is_no_display_of_it() -> None:
    """victorianrailways.net (secondary): the place is not there."""
    signal = form("au-vic", "automatic-2-over-3")
    assert signal.read({"upper.green": "lit", "lower.red": "lit"}).kind is Kind.NONE
    assert set(signal.lamps) == {"upper.yellow", "upper.red", "lower.green", "lower.yellow", "lower.red"}


def test_fx9_a_head_gone_dark_is_no_aspect() -> None:
    """Lost lamps of the requirements (derived): every aspect of these heads needs one lamp of each."""
    signal = form("au-vic", "automatic-2-over-3")
    for aspect in signal.gives:
        for lamp in set(only(signal, aspect)) & set(signal.lamps):
            assert signal.read(without(only(signal, aspect), lamp)).kind is Kind.NONE


# FX10 Japan: Y + Y on two heads


def test_fx10_restricted_caution_is_lamps_1_and_4_of_different_heads() -> None:
    """Two open-source game add-ons (secondary, low authority): 4A is Y R G Y, 5 is Y Y R Y G, top to bottom."""
    four, five = form("jp", "head-4a"), form("jp", "head-5")
    assert numbers(four, "restricted-caution") == numbers(five, "restricted-caution") == {1, 4}
    assert (numbers(four, "caution"), numbers(five, "caution")) == ({4}, {4})
    assert [numbers(five, aspect) for aspect in ("reduced-speed", "proceed", "stop")] == [{2, 5}, {5}, {3}]
    assert [numbers(four, aspect) for aspect in ("stop", "proceed")] == [{2}, {3}]
    assert {len(signal.anatomy.lamps) for signal in (four, five)} == {4, 5}


def test_fx10_what_a_head_can_give_follows_from_its_lamps() -> None:
    """An enthusiast site (secondary): Y + Y or Y + G on four lamps, both on five."""
    gives = {kind: set(form("jp", kind).gives) for kind in ("head-4a", "head-4b", "head-5")}
    both = {"restricted-caution", "reduced-speed"}
    assert {kind: can & both for kind, can in gives.items()} == {
        "head-4a": {"restricted-caution"},
        "head-4b": {"reduced-speed"},
        "head-5": both,
    }


@pytest.mark.parametrize("kind", ["head-4a", "head-5"])
def test_fx10_losing_lamp_1_turns_25_into_45(kind: str) -> None:
    """Lost lamps of the requirements (derived): it needs an interlock, and none is on record for a single lamp."""
    signal, aspects = form("jp", kind), rulebook("jp").aspects
    left = signal.read(without(only(signal, "restricted-caution"), "upper-yellow")).aspect
    assert [aspects[name].says["speed-now"] for name in ("restricted-caution", left)] == ["25 km/h", "45 km/h"]
    assert freer("jp", left, "restricted-caution")
    assert signal.form.faults == ()


def test_fx10_by_place_a_lone_upper_yellow_is_no_aspect() -> None:
    """Lost lamps of the requirements (derived): Y + G less green leaves lamp 1 of head 4B, and Y is its lamp 3."""
    signal = form("jp", "head-4b")
    reading = signal.read(without(only(signal, "reduced-speed"), "green"))
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "stop")
    assert numbers(signal, "caution") == {3}


def test_fx10_a_dark_signal_is_at_stop() -> None:
    """Wikipedia, English (secondary): it counts as its most restrictive aspect."""
    assert form("jp", "head-5").read({}).in_doubt == "stop"


# FX11 Japan: a distant with an empty red place


def test_fx11_an_empty_place_keeps_its_coordinates_and_cannot_be_lit() -> None:
    """Wikipedia, Japanese, OpenRailwayMap (secondary); which main arrangement it keeps: memory."""
    distant = form("jp", "distant-4")
    assert distant.anatomy.places["red"].at == ((0, 2),)
    assert "red" not in distant.lamps
    assert distant.read({"red": "lit"}).kind is Kind.NONE
    assert rulebook("jp").why("forms", "distant-4", "lamps", "red", "place").basis is Basis.SECONDARY
    assert rulebook("jp").why("forms", "distant-4", "lamps", "red", "at").basis is Basis.MEMORY


def test_fx11_no_display_of_a_distant_contains_red() -> None:
    """Wikipedia, Japanese (secondary): a distant never shows red; on two lamps a yellow takes its place."""
    for kind in ("distant-4", "distant-2"):
        distant = form("jp", kind)
        shown = [lamp for aspect in distant.gives for lamp in only(distant, aspect)]
        assert not any("red" in distant.anatomy.lamps[lamp].colours for lamp in shown)
    assert "red" not in form("jp", "distant-2").anatomy.places


def test_fx11_it_follows_the_home_that_is_off_one_step_looser() -> None:
    """Wikipedia, Japanese; an enthusiast site (secondary): all homes at stop caution, otherwise one step looser."""
    distant = form("jp", "distant-4")
    homes = ("stop", "restricted-caution", "caution", "reduced-speed", "proceed")
    asked = [step(rulebook("jp"), "distant", distant.gives, {"next": home}, None).must for home in homes]
    assert asked == ["caution", "caution", "reduced-speed", "proceed", "proceed"]
    assert distant.form.follows == "the-one-off"
