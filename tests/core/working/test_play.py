"""The layout worked: what a signalman does, and what every signal comes to show."""

from __future__ import annotations

import random
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from lampwright.documents import read
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.failing import LOST, failings
from lampwright.working.play import (
    Assume,
    Cancel,
    Clear,
    Fail,
    Mend,
    Occupy,
    Play,
    Refusal,
    Set,
    Situation,
)
from lampwright.working.reach import reach
from support import library

if TYPE_CHECKING:
    from lampwright.working.play import Move, Shown

RULESETS = Path(__file__).parents[3] / "rulesets"
EXAMPLES = sorted(RULESETS.glob("*/examples/*.yaml"))


def played(path: Path) -> Play:
    """Return an example plan, to be worked."""
    return Play(Layout(load(read(path, path.name).values, path.name), library()))


def example(stem: str) -> Play:
    """Return an example plan by its name."""
    return played(next(path for path in EXAMPLES if path.stem == stem))


def made_of(signals: dict[str, Any], **plan: Any) -> Play:
    """Return a plan given as values, to be worked."""
    values = {"plan": 1, "rulebook": "gb-colour-light", "year": 1978, **plan, "signals": signals}
    return Play(Layout(load(values, "p.yaml"), library()))


class Signalman:
    """Works a layout by the names of its routes."""

    def __init__(self, play: Play) -> None:
        self.play = play
        self.now: Situation = play.start()
        self.routes = {str(one.route).removeprefix("route "): n for n, one in enumerate(play.controls.routes)}

    def does(self, *moves: Move) -> Signalman:
        """Make moves that must not be refused."""
        for move in moves:
            after = self.play.after(self.now, move)
            assert isinstance(after, Situation), str(after)
            self.now = after
        return self

    def sets(self, *names: str) -> Signalman:
        """Set routes by name."""
        return self.does(*(Set(self.routes[name]) for name in names))

    def refused(self, move: Move) -> str:
        """Make a move that must be refused; return what is said."""
        after = self.play.after(self.now, move)
        assert isinstance(after, Refusal)
        return str(after)

    def sees(self, name: str) -> Shown:
        """Return what a signal shows."""
        return self.play.shown(self.now)[name]

    def said(self, *names: str) -> list[str]:
        """Return what signals show, in words."""
        shown = self.play.shown(self.now)
        return [shown[name].said for name in names]


def test_routes_set_one_after_the_other_let_signals_step_up_behind() -> None:
    """Four-aspect signals before one at danger: caution, preliminary caution, clear (railsigns, aspect sequences)."""
    man = Signalman(example("merrowdale-junction"))
    assert man.said("MJ1", "MJ3", "MJ5", "MJ7") == ["danger"] * 4
    man.sets("MJ1 to MJ3", "MJ3 to MJ5", "MJ5 to MJ7")
    assert man.said("MJ1", "MJ3", "MJ5", "MJ7") == ["clear", "preliminary-caution", "caution", "danger"]
    lit = [(light.lamp, light.colour, light.beat) for light in man.sees("MJ3").lit]
    assert lit == [("upper-yellow", "yellow", None), ("lower-yellow", "yellow", None)]


def test_every_signal_says_why() -> None:
    """The nearest reason first, down to what stands by itself."""
    man = Signalman(example("merrowdale-junction")).sets("MJ1 to MJ3", "MJ3 to MJ5", "MJ5 to MJ7")
    assert man.sees("MJ3").story == (
        "MJ3 shows preliminary-caution, because MJ5 shows caution, as MJ7 stands at danger, as no route is set from MJ7"
    )
    assert man.sees("MJ7").story == "MJ7 stands at danger, because no route is set from MJ7"
    man.sets("shunt route MJ7 to yard")
    assert man.sees("MJ7").story == "MJ7 shows danger and shunt-proceed, because signalling ends at yard"


def test_a_route_against_one_that_is_set_is_refused_with_the_reasons() -> None:
    """The words are those of the control table."""
    man = Signalman(example("merrowdale-junction")).sets("MJ7 to MJ9")
    assert man.refused(Set(man.routes["MJ7 to MJ31"])) == (
        "route MJ7 to MJ31 cannot be set: route MJ7 to MJ9 is set, and both begin at MJ7, "
        "101 would have to lie both ways and both run over DE"
    )
    man.does(Cancel(man.routes["MJ7 to MJ9"])).sets("MJ7 to MJ31")


def test_track_that_is_occupied_keeps_a_main_route_from_being_set_and_not_one_run_at_sight() -> None:
    """A train is called on to another (common practice)."""
    man = Signalman(example("merrowdale-junction")).does(Occupy("BY"))
    assert man.refused(Set(man.routes["MJ44 to bay-stops"])).endswith("cannot be set: a train stands in BY")
    man.sets("call-on route MJ44 to bay-stops")
    assert "shunt-proceed" in man.sees("MJ44").said


def test_a_signal_released_from_red_waits_for_its_train() -> None:
    """Approach release from red: the junction signal clears, its arm lit, when the berth track is occupied."""
    man = Signalman(example("merrowdale-junction")).sets("MJ5 to MJ7", "MJ7 to MJ31")
    assert man.said("MJ5", "MJ7", "MJ7R") == ["caution", "danger", "banner-on"]
    assert man.sees("MJ7").story.startswith(
        "MJ7 stands at danger, because no train has reached DD, and MJ31 stands at danger"
    )
    man.does(Occupy("DD"))
    assert man.said("MJ5", "MJ7", "MJ7R") == ["danger", "caution with junction position-1", "banner-off"]
    assert "position-1" in {light.lamp for light in man.sees("MJ7").lit}
    man.does(Occupy("DE"))
    assert man.sees("MJ7").said == "danger"


def test_a_train_puts_its_signal_to_stop_which_waits_to_be_set_again() -> None:
    """Unless it is automatic (common practice)."""
    man = Signalman(example("merrowdale-junction")).sets("MJ1 to MJ3", "MJ5 to MJ7")
    man.does(Occupy("DA"), Occupy("DC"))
    assert man.said("MJ1", "MJ5") == ["danger", "danger"]
    man.does(Clear("DA"), Clear("DC"))
    assert man.said("MJ1", "MJ5") == ["caution", "danger"]
    assert man.sees("MJ5").story.endswith("a train has run past MJ5 on MJ5 to MJ7, which has not been set again")
    assert man.sets("MJ5 to MJ7").said("MJ5") == ["caution"]


def test_points_under_a_train_stay_as_they_lie() -> None:
    """A shunting route does not need clear track; its points it does."""
    man = Signalman(
        made_of(
            {
                "A1": {
                    "form": "three-aspect-with-position-light",
                    "routes": [
                        {"to": "far", "over": ["T1"], "points": {"7": "normal"}},
                        {"to": "yard", "class": "shunt", "over": ["T1"], "points": {"7": "reverse"}},
                    ],
                }
            },
            points={"7": {"in": "T1"}},
            ends={"far": {"kind": "off-stage", "assume": "clear"}, "yard": {"kind": "unsignalled"}},
        )
    ).does(Occupy("T1"))
    told = man.refused(Set(man.routes["shunt route A1 to yard"]))
    assert told.endswith("cannot be set: 7 must lie reverse, and cannot be moved while T1 is occupied")
    man.does(Clear("T1")).sets("shunt route A1 to yard").does(Occupy("T1"), Cancel(1)).sets("shunt route A1 to yard")


def test_an_overlap_must_be_clear_one_of_several_is_enough() -> None:
    """The overlap belongs to the route for as long as it is set."""
    signals = {
        "A1": {
            "form": "three-aspect",
            "routes": [{"to": "A3", "over": ["T1"], "overlap": [{"over": "T2"}, {"over": "T3"}]}],
        },
        "A3": {"form": "three-aspect", "routes": [{"to": "far", "over": ["T2"]}]},
    }
    man = Signalman(made_of(signals, ends={"far": {"kind": "off-stage", "assume": "clear"}})).does(Occupy("T2"))
    man.sets("A1 to A3").does(Occupy("T3"))
    assert man.sees("A1").story == "A1 stands at danger, because a train stands in its overlap, in T2"
    man.does(Cancel(0))
    assert man.refused(Set(0)).endswith("cannot be set: a train stands in T2 in its overlap")
    assert man.does(Clear("T3")).sets("A1 to A3").said("A1") == ["caution"]


def test_track_without_sections_is_a_place_too() -> None:
    """Where a plan gives none, the track to a signal can be occupied; it releases a signal that says no sections."""
    signals = {
        "A1": {"form": "three-aspect", "mode": "automatic", "routes": [{"to": "A3"}]},
        "A3": {"form": "three-aspect", "routes": [{"to": "far", "release": {"from": "red"}}]},
    }
    man = Signalman(made_of(signals, ends={"far": {"kind": "off-stage", "assume": "clear"}}))
    assert man.play.places.names == ("to A3", "to far")
    man.sets("A1 to A3", "A3 to far")
    assert man.said("A1", "A3") == ["caution", "danger"]
    man.does(Occupy("to A3"))
    assert man.said("A1", "A3") == ["danger", "clear"]
    assert man.sees("A3").story.endswith("a train has reached the track to A3, and far is taken to show clear")


def test_a_signal_that_says_no_section_is_released_from_the_last_one_before_it() -> None:
    """Where its train would stop (common practice)."""
    man = Signalman(example("tarn-bank"))
    assert "to TK7" not in man.play.places.names
    man.sets("TK5 to TK7", "TK7 to TK11", "TK11 to branch-beyond")
    assert man.said("TK5", "TK7") == ["flashing-caution", "caution with junction position-1"]
    assert man.sees("TK7").story.startswith(
        "TK7 shows caution with junction position-1, because no train has reached MC, and TK11 shows caution"
    )
    man.does(Assume("branch-beyond", "clear"), Occupy("MC"))
    assert man.said("TK5", "TK7") == ["danger", "clear with junction position-1"]


def test_a_signal_of_another_file_is_an_edge() -> None:
    """It is worked on a page of its own; here it is taken to stand at rest, or to show anything it can."""
    near = {"A1": {"form": "three-aspect", "routes": [{"to": "north/B1", "over": ["T1"]}]}}
    far = {"B1": {"form": "three-aspect", "routes": [{"to": "B3", "over": ["T1"]}]}, "B3": {"form": "three-aspect"}}
    plans = {
        name: load({"plan": 1, "rulebook": "gb-colour-light", "year": 1978, "signals": signals}, f"{name}.yaml")
        for name, signals in (("south", near), ("north", far))
    }
    man = Signalman(Play(Layout(plans["south"], library(), None, plans)))
    assert man.play.looks.keys() == {"A1"}
    man.sets("A1 to north/B1")
    assert man.sees("A1").story == "A1 shows caution, because north/B1 is taken to show danger"
    assert man.does(Assume("north/B1", "caution")).said("A1") == ["clear"]


def test_sections_that_release_a_signal_are_taken_for_those_of_a_route_to_it_that_says_none() -> None:
    """It is not known whether they are among them."""
    signals = {
        "A1": {"form": "three-aspect", "routes": [{"to": "A3"}]},
        "A3": {"form": "three-aspect", "routes": [{"to": "far", "release": {"from": "red", "occupied": ["T1", "T2"]}}]},
    }
    man = Signalman(made_of(signals, ends={"far": {"kind": "off-stage", "assume": "clear"}})).sets("A1 to A3")
    assert man.does(Occupy("T1")).said("A1") == ["caution"]
    assert man.does(Occupy("T2")).said("A1") == ["danger"]
    assert man.refused(Set(0)).endswith("a train stands in the unsaid sections to A3")


def test_a_distant_on_two_ways_tells_of_the_one_set_also_to_the_train_that_is_on_it() -> None:
    """Its stop signal has gone back to danger behind the train by then."""
    signals = {
        "A1": {
            "form": "three-aspect",
            "routes": [
                {"to": "A3", "over": ["T1"], "passes": ["D"], "points": {"1": "normal"}},
                {"to": "A5", "over": ["T1"], "passes": ["D"], "points": {"1": "reverse"}},
            ],
        },
        "D": {"form": "two-aspect-distant"},
        "A3": {"form": "two-aspect-stop", "routes": [{"to": "far", "over": ["T3"]}]},
        "A5": {"form": "two-aspect-stop", "routes": [{"to": "far", "over": ["T5"]}]},
    }
    man = Signalman(made_of(signals, ends={"far": {"kind": "off-stage", "assume": "clear"}}))
    assert man.sees("D").story == "D shows caution, because no route is set past D"
    man.sets("A1 to A3", "A5 to far")
    assert man.said("D") == ["caution"]
    man.does(Cancel(0)).sets("A1 to A5")
    assert man.said("A1", "D") == ["clear", "clear"]
    man.does(Occupy("T1"))
    assert man.said("A1", "D") == ["danger", "clear"]


def test_a_shunting_signal_on_the_way_of_a_main_route_clears_with_it_until_its_train_has_gone() -> None:
    """And has no route of its own meanwhile (common practice)."""
    signals = {
        "A1": {"form": "three-aspect", "routes": [{"to": "far", "over": ["T1", "T2"], "passes": ["S"]}]},
        "S": {"form": "shunt-red-white", "routes": [{"to": "yard", "class": "shunt", "over": ["T3"]}]},
    }
    ends = {"far": {"kind": "off-stage", "assume": "clear"}, "yard": {"kind": "unsignalled"}}
    man = Signalman(made_of(signals, ends=ends))
    assert man.said("A1", "S") == ["danger", "shunt-stop"]
    assert man.sets("A1 to far").said("A1", "S") == ["clear", "shunt-proceed"]
    assert man.refused(Set(man.routes["shunt route S to yard"])).endswith("is set, and both need S")
    assert man.does(Occupy("T1")).said("A1", "S") == ["danger", "shunt-proceed"]
    assert man.does(Occupy("T2"), Clear("T1"), Clear("T2")).said("A1", "S") == ["danger", "shunt-stop"]


def test_a_lamp_that_is_out_changes_what_is_read_and_not_what_is_told() -> None:
    """One of two yellows lost is a single yellow, caution; both lost is no signal, danger (Rule Book, reading)."""
    man = Signalman(example("merrowdale-junction")).sets("MJ3 to MJ5", "MJ5 to MJ7").does(Fail("MJ3", "upper-yellow"))
    seen = man.sees("MJ3")
    assert (seen.said, seen.reads, [light.lamp for light in seen.lit]) == (
        "preliminary-caution",
        "caution",
        ["lower-yellow"],
    )
    assert man.does(Fail("MJ3", "lower-yellow")).sees("MJ3").reads == "no aspect, taken for danger"
    assert man.does(Mend("MJ3", "lower-yellow"), Mend("MJ3", "upper-yellow")).sees("MJ3").reads == ""


def test_a_lamp_that_is_proved_brings_what_the_rulebook_answers() -> None:
    """Yellow of Frei mit 40 lost: Halt, and the distant before it says so (ruleset at-light, faults; from memory)."""
    man = Signalman(example("oberfeldach")).sets("Z to H2")
    assert man.said("z", "Z") == ["hauptsignal-frei-40", "frei-40"]
    man.does(Fail("Z", "main.yellow"))
    assert man.said("z", "Z") == ["vorsicht", "halt"]
    assert man.sees("Z").story == (
        "Z stands at halt, because its lamp main.yellow is out, and H2 stands at halt, as no route is set from H2"
    )
    assert [light.lamp for light in man.sees("Z").lit] == ["main.red"]


def test_what_stands_beyond_the_plan_can_be_chosen() -> None:
    """First what the plan says first; no more than it says."""
    man = Signalman(example("merrowdale-junction")).sets("MJ13 to down-beyond")
    assert man.sees("MJ13").story == "MJ13 shows caution, because down-beyond is taken to show danger"
    assert man.does(Assume("down-beyond", "clear")).said("MJ13") == ["clear"]
    assert "danger, caution, preliminary-caution or clear" in man.refused(Assume("down-beyond", "shunt-proceed"))


def test_a_signal_that_cannot_show_what_is_asked_stays_at_stop_and_says_so() -> None:
    """A two-aspect signal before one at danger."""
    signals = {
        "A1": {"form": "three-aspect", "routes": [{"to": "A3", "over": ["T1"]}]},
        "A3": {"form": "two-aspect-stop", "routes": [{"to": "bay", "over": ["T2"]}]},
    }
    man = Signalman(made_of(signals, ends={"bay": {"kind": "buffer-stop"}})).sets("A1 to A3", "A3 to bay")
    assert man.said("A1", "A3") == ["caution", "danger"]
    assert man.sees("A3").story == "A3 stands at danger, because A3 cannot show caution"


def test_a_route_is_locked_while_a_train_may_rely_on_it() -> None:
    """Only where the plan says so."""
    route = {"to": "far", "over": ["T1"], "locks": {"sections": "T0", "after": "120 s"}}
    signals = {"A1": {"form": "three-aspect", "routes": [route]}}
    man = Signalman(made_of(signals, sections={"T0": {}}, ends={"far": {"kind": "off-stage", "assume": "clear"}})).sets(
        "A1 to far"
    )
    man.does(Occupy("T0"))
    assert man.refused(Cancel(0)) == "route A1 to far cannot be taken back: a train in T0 keeps it locked for 120 s"
    man.does(Occupy("T1"), Cancel(0))


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_every_signal_of_every_example_has_a_look_and_a_reason_whatever_is_set(path: Path) -> None:
    """All routes are tried in the order of the file; lamps are lit that tell what is told."""
    man = Signalman(played(path))
    for number in range(len(man.play.controls.routes)):
        after = man.play.after(man.now, Set(number))
        man.now = after if isinstance(after, Situation) else man.now
        for shown in man.play.shown(man.now).values():
            assert shown.story.startswith(tuple(man.play.looks))
            assert ", because " in shown.story
            assert bool(shown.lit or shown.boxes) == (shown.said != "dark")
    assert man.now.routes


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_nothing_comes_up_that_cannot_stand(path: Path) -> None:
    """Two hundred moves by a fixed seed on every example: signals show what following the sequence finds for them."""
    play = played(path)
    now, chance = play.start(), random.Random(path.stem)  # noqa: S311  (moves, not secrets)
    can = {name: {state.answer.shows for state in reach(play.layout).of(name)} for name in play.looks}
    said = [edge for edge in play.edges.values() if edge.choices[0]]
    shown: set[tuple[str, Any]] = set()
    for _ in range(200):
        moves: list[Move] = [Set(chance.randrange(len(play.controls.routes)))] * 3
        moves += [Cancel(chance.randrange(len(play.controls.routes)))]
        moves += [kind(chance.choice(play.places.names)) for kind in (Occupy, Clear)]
        moves += [Assume(edge.key, chance.choice(edge.choices)) for edge in said[:1]]
        after = play.after(now, chance.choice(moves))
        now = after if isinstance(after, Situation) else now
        for name, one in play.shown(now).items():
            assert one.aspects in can[name], one.story
            shown.add((name, one.aspects))
    assert len(shown) > len(play.looks)


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_what_is_read_with_a_lamp_out_is_what_the_rulebook_says_of_it(path: Path) -> None:
    """As soundness has it: every single lamp of every aspect of every signal of one part."""
    for looks in played(path).looks.values():
        form = looks.signal.reader
        for one in failings(form) if form is not None and not form.parts and not looks.signal.entry.plates else ():
            first = next(iter(form.displays(one.meaning.aspect))) if form is not None else {}
            lamp = one.elements[0]
            if one.how != LOST or lamp in one.display or first != {**one.display, lamp: first.get(lamp)}:
                continue
            look = looks.of((("", one.meaning.aspect),))
            if lamp in {light.lamp for light in look.lights}:
                reads = looks.reads(look, {lamp})
                assert all(aspect in reads for aspect in one.reading.aspects) or one.reading.kind is Kind.REST
                assert one.reading.in_doubt in reads
                assert bool(one.reading.aspects) is not reads.startswith(("no aspect", "dark"))
