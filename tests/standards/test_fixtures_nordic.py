"""Acceptance fixtures FX12 to FX14: Sweden, Norway, Denmark."""

from __future__ import annotations

from fixture_books import form, freer, numbers, only, rulebook, without
from lampwright.findings import Basis, Finding, Level
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import step

# FX12 Sweden: three greens; a dwarf's left against its right green


def test_fx12_three_greens_are_40_on_a_short_route() -> None:
    """Wikipedia, English, historiskt.nu (secondary); lamps at 1, 3 and 5 of five: OpenRailwayMap (secondary)."""
    head, book = form("se", "main-5"), rulebook("se")
    assert head.read({"green-1": "lit", "green-3": "lit", "green-5": "lit"}).aspect == "short-route-40"
    assert book.aspects["short-route-40"].says["speed-now"] == "40 km/h"
    assert numbers(head, "short-route-40") == {1, 3, 5}
    assert book.why("forms", "main-5", "shows", "short-route-40").basis is Basis.SECONDARY


def test_fx12_more_greens_are_tighter() -> None:
    """I5 of the requirements (secondary): the order is declared, no count of lamps gives it."""
    assert freer("se", "proceed", "proceed-40")
    assert freer("se", "proceed-40", "short-route-40")


def test_fx12_a_dwarf_tells_40_from_proceed_by_the_side_alone() -> None:
    """historiskt.nu (secondary): green left 40, green right proceed, flashing with caution."""
    dwarf = form("se", "dwarf")
    assert dwarf.read({"left-green": "lit"}).aspect == "proceed-40"
    assert dwarf.read({"right-green": "lit"}).aspect == "proceed"
    assert dwarf.read({"left-green": "flash"}).aspect == "proceed-40-with-caution"
    assert dwarf.read({"right-green": "flash"}).aspect == "proceed-with-caution"
    left, right = dwarf.anatomy.lamps["left-green"], dwarf.anatomy.lamps["right-green"]
    ((left_x, left_y),), ((right_x, right_y),) = left.at, right.at
    assert (left.colours, left_y) == (right.colours, right_y)
    assert left_x < right_x


def test_fx12_nothing_is_certified_over_a_red_from_memory() -> None:
    """The red at place 2 is memory: a finding that rests on it is a note, whatever its rule wanted."""
    book = rulebook("se")
    why = book.why("forms", "main-5", "lamps", "red")
    assert why.basis is Basis.MEMORY
    spot = book.spot("forms", "main-5", "lamps", "red")
    assert (
        Finding("lamp-out-of-order", Level.ERROR, "red is not second", spot, citations=(why,)).weighed().level
        is Level.NOTE
    )


def test_fx12_an_interlock_covers_the_lower_of_two_greens() -> None:
    """Two Swedish enthusiast pages (secondary): without it one green is left, plain proceed; so it drops to red."""
    head = form("se", "main-5")
    left = head.read(without(only(head, "proceed-40"), "green-3")).aspect
    assert left == "proceed"
    assert freer("se", left, "proceed-40")
    (fault,) = head.form.faults
    assert (fault.lost, fault.within, fault.then) == ("green-3", ("proceed-40",), "stop")


def test_fx12_a_dark_main_has_no_meaning() -> None:
    """Two Swedish enthusiast pages (secondary): dark is an aspect here, without authority; on the dwarf a fault."""
    assert form("se", "main-5").read({}).aspect == "no-meaning"
    assert rulebook("se").aspects["no-meaning"].says == {"authority": "none"}
    assert rulebook("se").order.less_restrictive("no-meaning", "stop") is Verdict.INCOMPARABLE
    assert form("se", "dwarf").read({}).kind is Kind.NONE


# FX13 Norway: dark by rule, dark at rest, dark by fault


def test_fx13_a_distant_is_dark_by_rule_where_its_mast_points_to_another_line() -> None:
    """TRV:02888 (verified); dark when the main on the mast is at stop: memory."""
    book = rulebook("norway")
    coupling = book.forms["main-and-distant"].coupling
    assert [dict(item.then) for item in coupling] == [{"distant": "dark"}, {"distant": "dark"}]
    assert coupling[0].when == {"route": {"distant-applies": False}}
    assert coupling[1].when == {"parts": {"main": {"authority": "stop"}}}
    bases = [book.why("forms", "main-and-distant", "coupling", row, "then").basis for row in (0, 1)]
    assert bases == [Basis.VERIFIED, Basis.MEMORY]


def test_fx13_dark_by_rule_is_no_fault_and_dark_otherwise_is() -> None:
    """TRV:02888 (verified) and the same-mast rule (memory): the part rests; with the main off it is a fault, 8.1."""
    post = form("norway", "main-and-distant")
    stop, proceed = {"main.red": "flash"}, {"main.upper-green": "lit", "main.lower-green": "lit"}
    other_line = {"route": {"distant-applies": False}}
    assert post.read_parts(stop)["distant"].kind is Kind.REST
    assert post.read_parts(proceed, other_line)["distant"].kind is Kind.REST
    assert post.read_parts(proceed)["distant"].kind is Kind.NONE
    assert post.read_parts(stop | {"distant.yellow": "flash"})["distant"].aspect == "expect-stop"


def test_fx13_a_block_signal_is_dark_at_rest() -> None:
    """TRV:02867 (verified): normally dark; when it lights, stop 20A, a single flashing red (secondary)."""
    block = form("norway", "block")
    assert block.read({}).kind is Kind.REST
    assert block.read({"red": "flash"}).aspect == "stop-20a"
    assert block.read({"red": "lit"}).kind is Kind.NONE
    assert rulebook("norway").why("forms", "block", "rest").basis is Basis.VERIFIED


def test_fx13_a_signal_that_should_not_be_dark_is_at_stop() -> None:
    """Bane NOR traffic rules 8.1 (verified): stop and investigate; that is a fault, no state of rest."""
    reading = form("norway", "main").read({})
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "stop-20a")


def test_fx13_both_lamps_of_the_distant_are_used_flashing() -> None:
    """Bane NOR traffic rules with secondary pages (secondary): yellow on top, green at the bottom."""
    distant = form("norway", "distant")
    assert {aspect: only(distant, aspect) for aspect in distant.gives} == {
        "expect-stop": {"yellow": "flash"},
        "expect-proceed": {"green": "flash"},
    }
    assert distant.read({"green": "lit"}).kind is Kind.NONE
    lamps = distant.anatomy.lamps
    assert lamps["yellow"].at[0][1] > lamps["green"].at[0][1]


def test_fx13_losing_a_green_of_22_leaves_21() -> None:
    """A Scandinavian railway society (secondary); 21 is the upper green, the rest dark: TRV:07647 (verified)."""
    main = form("norway", "main")
    assert main.read(without(only(main, "proceed-22"), "lower-green")).aspect == "proceed-21"
    assert main.read(without(only(main, "proceed-22"), "upper-green")).kind is Kind.NONE
    assert freer("norway", "proceed-22", "proceed-21")


# FX14 Denmark: entry stop, a gap in the head, a dimmed proceed


def test_fx14_stop_depends_on_the_places_that_are_fitted() -> None:
    """Wikipedia, Danish, dk.trackmap.net (secondary): yellow and red where there is a yellow, else red alone."""
    four, two = form("dk", "entry-4"), form("dk", "entry-2")
    assert four.read({"yellow": "lit", "red": "lit"}).aspect == "stop"
    assert two.read({"red": "lit"}).aspect == "stop"
    reading = four.read({"red": "lit"})
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "stop")


def test_fx14_yellow_with_the_lower_green_is_go_at_reduced_speed() -> None:
    """Wikipedia, Danish, dk.trackmap.net (secondary); with the upper green it is nothing."""
    four = form("dk", "entry-4")
    assert four.read({"yellow": "lit", "lower-green": "lit"}).aspect == "go-reduced"
    assert four.read({"yellow": "lit", "green": "lit"}).kind is Kind.NONE


def test_fx14_the_gap_is_a_coordinate_and_no_place() -> None:
    """OpenRailwayMap (secondary): yellow, green, gap, red, green; four lamps over five steps."""
    places = form("dk", "entry-4").anatomy.places
    heights = [place[1] for lamp in places.values() for place in lamp.at]
    assert list(places) == ["yellow", "green", "red", "lower-green"]
    assert heights == [4, 3, 1, 0]


def test_fx14_proceed_is_dimmed_until_a_train_approaches_and_stop_never_is() -> None:
    """worldofsignals.com (secondary): AM block signals; a dimmed lamp reads as a lit one."""
    block = form("dk", "block-am")
    assert block.read({"green": "dim"}).aspect == block.read({"green": "lit"}).aspect == "go"
    (coupling,) = block.form.coupling
    assert coupling.when == {"here": "go", "approached": False}
    assert coupling.then == {"green": "dim"}
    assert rulebook("dk").states["dim"]["as"] == "lit"


def test_fx14_go_is_no_promise_of_a_stop_and_some_cannot_go_through() -> None:
    """dk.trackmap.net (secondary): before a signal at stop go must stand; before one at proceed it may."""
    book = rulebook("dk")
    before = {
        (kind, ahead): step(book, "stop", form("dk", kind).gives, {"next": ahead}, None)
        for kind in ("entry-4", "entry-2")
        for ahead in ("stop", "go")
    }
    assert {case: (asked.must, asked.may) for case, asked in before.items()} == {
        ("entry-4", "stop"): ("go", ()),
        ("entry-4", "go"): ("go-through", ("go",)),
        ("entry-2", "stop"): ("go", ()),
        ("entry-2", "go"): ("go", ()),
    }
    assert book.aspects["go"].says["speed-next"] == "unknown"


def test_fx14_one_of_two_greens_left_frees_nobody() -> None:
    """Lost lamps of the requirements (derived): two greens less one is go, which promises less."""
    four = form("dk", "entry-4")
    assert four.read(without(only(four, "go-through"), "lower-green")).aspect == "go"
    assert freer("dk", "go-through", "go")
