"""Acceptance fixtures FX1, FX2 and FX15: the Netherlands, current and 1946."""

from __future__ import annotations

import pytest

from fixture_books import form, freer, only, rulebook, without
from lampwright.findings import Basis
from lampwright.rulebooks.displays import Kind
from lampwright.years import Years

# FX1 Netherlands: 209; 206 high and low


def test_fx1_206_is_one_aspect_with_two_displays_told_by_the_mount() -> None:
    """Seinenboek 2.1 (secondary): 206 is green flashing on a high signal and green steady on a low one."""
    high, low = form("nl-1955", "high-main"), form("nl-1955", "low")
    assert (high.form.mount, low.form.mount) == ("high", "low")
    assert high.read({"green": "flash"}).aspect == "s206"
    assert low.read({"green": "lit"}).aspect == "s206"
    assert low.read({"green": "flash"}).kind is Kind.NONE
    assert rulebook("nl-1955").aspects["s206"].says == {"authority": "proceed", "speed-now": "low"}


def test_fx1_steady_green_is_201_high_and_never_low() -> None:
    """Seinenboek 2.1 (secondary): 201 is green steady on a high signal."""
    assert form("nl-1955", "high-main").read({"green": "lit"}).aspect == "s201"
    assert "s201" not in form("nl-1955", "low").gives
    assert freer("nl-1955", "s201", "s206")


def test_fx1_209_and_210_differ_only_in_the_flash_of_the_box() -> None:
    """Seinenboek 2.1 (secondary): yellow with a flashing number against yellow with a steady one."""
    high = form("nl-1955", "high-main")
    assert high.read({"yellow": "lit", "number": "flash 6"}).aspect == "s209"
    assert high.read({"yellow": "lit", "number": "6"}).aspect == "s210"
    flashing, steady = only(high, "s209"), only(high, "s210")
    assert {name for name in flashing | steady if flashing.get(name) != steady.get(name)} == {"number"}
    says = {name: rulebook("nl-1955").aspects[name].says for name in ("s209", "s210")}
    assert says["s209"]["speed-next"] == says["s210"]["speed-next"] == "number"
    assert says["s209"]["hold-braking"] is True
    assert says["s210"]["reach-by"] == "next-signal"


def test_fx1_the_number_belongs_to_the_aspect() -> None:
    """Seinenboek 2.1 (secondary): flashing green is 202 with a number and 206 without; steady green has none."""
    high = form("nl-1955", "high-main")
    assert high.read({"green": "flash", "number": "8"}).aspect == "s202"
    assert high.read({"green": "lit", "number": "8"}).kind is Kind.NONE
    assert rulebook("nl-1955").indicators["number"].times == "10 km/h"
    assert rulebook("nl-1955").indicators["number"].figures == ""  # which there are is not established


@pytest.mark.parametrize(("aspect", "left"), [("s202", "s206"), ("s210", "s212"), ("s209", "s212")])
def test_fx1_losing_the_number_never_frees(aspect: str, left: str) -> None:
    """An enthusiast page on the 1955 system (secondary): so green flashes with a number and yellow does not."""
    high = form("nl-1955", "high-main")
    assert high.read(without(only(high, aspect), "number")).aspect == left
    assert freer("nl-1955", aspect, left)


def test_fx1_a_low_signal_has_no_number() -> None:
    """Wikipedia, English (secondary): no digits on dwarfs, so nothing that needs one can be given or read there."""
    low = form("nl-1955", "low")
    assert low.gives == ("s206", "s212", "s214", "s215")
    assert low.read({"yellow": "lit", "number": "4"}).kind is Kind.NONE


def test_fx1_nothing_lit_is_stop() -> None:
    """Seinstelsel 1955 (secondary): all lamps out counts as stop."""
    reading = form("nl-1955", "high-main").read({})
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "s215")


# FX2 Netherlands: a distant with green, told by its backplate


def test_fx2_the_backplate_tells_217_from_201() -> None:
    """Seinenboek 2.2 (secondary): the same lamps as the main's, another backplate, another aspect."""
    main, distant = form("nl-1955", "high-main"), form("nl-1955", "high-distant")
    assert main.read({"green": "lit"}).aspect == "s201"
    assert distant.read({"green": "lit"}).aspect == "s217"
    assert [distant.anatomy.lamps[lamp].at for lamp in distant.anatomy.lamps] == [
        main.anatomy.lamps[lamp].at for lamp in ("green", "yellow")
    ]
    assert (distant.form.marks, main.form.marks) == ({"backplate": "distant"}, {})


def test_fx2_the_distant_cannot_show_red() -> None:
    """Seinenboek 2.2 (secondary)."""
    assert not any("red" in lamp.colours for lamp in form("nl-1955", "high-distant").anatomy.lamps.values())


def test_fx2_what_217_means_is_a_gap_and_not_guessed() -> None:
    """The rows 217 to 219 are not established: 217 has a display and says nothing; yellow is no aspect there."""
    assert rulebook("nl-1955").aspects["s217"].says == {}
    reading = form("nl-1955", "high-distant").read({"yellow": "lit"})
    assert (reading.kind, reading.in_doubt) == (Kind.NONE, "")


# FX15 Netherlands, 1946: fast against slow flash


@pytest.mark.parametrize("colour", ["green", "yellow", "red"])
def test_fx15_two_aspects_differ_by_the_rate_alone(colour: str) -> None:
    """Seinreglement 1954 (secondary): about 75 a minute short braking distance, about 180 speed 30. Colours: memory."""
    lens, book = form("nl-1946", "colour-changer"), rulebook("nl-1946")
    assert lens.read({"lens": f"slow-flash {colour}"}).aspect == "short-braking-distance"
    assert lens.read({"lens": f"fast-flash {colour}"}).aspect == "restricted-speed"
    assert lens.read({"lens": colour}).kind is Kind.NONE
    assert [book.states[state]["per-minute"] for state in ("slow-flash", "fast-flash")] == [75, 180]
    assert book.aspects["restricted-speed"].says["speed-now"] == "30 km/h"
    assert book.why("states", "slow-flash", "per-minute").basis is Basis.SECONDARY
    assert book.why("aspects", "restricted-speed", "patterns").basis is Basis.MEMORY


def test_fx15_one_lens_shows_one_colour_at_a_time() -> None:
    """An enthusiast page (secondary): colour changers, so two colours at once are no state of it."""
    assert form("nl-1946", "colour-changer").read({"lens": "slow-flash green red"}).kind is Kind.NONE


def test_fx15_neither_is_valid_in_the_current_system() -> None:
    """Two enthusiast pages (secondary): from 1946; the next system was in force from 1955."""
    old, new = rulebook("nl-1946"), rulebook("nl-1955")
    assert not set(old.aspects) & set(new.aspects)
    assert not set(old.states) & set(new.states)
    assert not old.years.meets(Years.parse("1956.."))
    assert not new.years.meets(Years.parse("1954"))
    assert form("nl-1955", "high-main").read({"green": "fast-flash"}).kind is Kind.NONE
