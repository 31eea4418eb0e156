"""The layout worked: moves are made or refused, and every signal is carried from stop to rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from lampwright.words import listed
from lampwright.working.network import network_of
from lampwright.working.play.carrying import Carrying
from lampwright.working.play.controls import Controls
from lampwright.working.play.edges import edges, worked
from lampwright.working.play.looks import Looks
from lampwright.working.play.places import Places, label
from lampwright.working.play.saying import say
from lampwright.working.play.situation import (
    Assume,
    Cancel,
    Clear,
    Fail,
    Mend,
    Occupy,
    Refusal,
    Set,
    Situation,
)
from lampwright.working.play.telling import Telling

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.layout import Layout
    from lampwright.tables.boxes import Boxes
    from lampwright.working.faces import Face
    from lampwright.working.play.looks import Light
    from lampwright.working.play.situation import Move
    from lampwright.working.posts import Shows


class Shown(Struct, frozen=True):
    """What one signal shows: the aspect of each part, in words too; lamps that are lit, and what stands in boxes.

    ``reads`` is what a driver reads if lamps are out, else empty; ``story`` the whole of it with the reasons.
    """

    aspects: Shows
    said: str
    lit: tuple[Light, ...]
    boxes: Boxes
    reads: str
    story: str


class Play:
    """A layout to be worked."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.network = network_of(layout)
        self.places = Places(layout, self.network)
        self.controls = Controls(layout, self.places)
        self.edges = edges(self.network)
        self.looks = {
            name: Looks(stands[0].signal, stands[0].post)
            for name, stands in self.network.of_signal.items()
            if worked(self.network, stands[0])
        }
        self.carrying = Carrying(self.network, self.controls, self.looks)

    def start(self) -> Situation:
        """Return the situation with nothing set, nothing occupied, nothing out."""
        return Situation()

    def after(self, situation: Situation, move: Move) -> Situation | Refusal:
        """Return the situation after a move, or why it cannot be made."""
        match move:
            case Set(number):
                return self._set(situation, number)
            case Cancel(number):
                return self._cancel(situation, number)
            case Occupy(place):
                return self._occupy(situation, place)
            case Assume(end, aspect):
                return self._assume(situation, end, aspect)
        return _freely(situation, move)

    def shown(self, situation: Situation) -> Mapping[str, Shown]:
        """Return what every signal comes to show, by name."""
        standing = self.carrying.rest(situation, self._beyond(situation))
        telling = Telling(self.controls, self.carrying, self.edges, situation, standing)
        found = {}
        for name, stood in standing.items():
            look = stood.look
            out = situation.out(name)
            lit = tuple(light for light in look.lights if light.lamp not in out)
            dark = {light.lamp for light in look.lights} - {light.lamp for light in lit}
            boxes = tuple(one for one in look.boxes if not dark & {one[0], " ".join(one), one[1]})
            reads = self.looks[name].reads(look, out)
            found[name] = Shown(look.shows, look.said, lit, boxes, reads, telling.story(name, out))
        return found

    def _beyond(self, situation: Situation) -> dict[str, Face | None]:
        """Return what stands at the edges of the plan."""
        said = dict(situation.beyond)
        return {key: edge.face(said.get(key, edge.choices[0])) for key, edge in self.edges.items()}

    def _set(self, situation: Situation, number: int) -> Situation | Refusal:
        """Set a route: its points are moved, its signal may clear."""
        control = self.controls.routes[number]
        already = (say("set-already"),) if number in situation.routes - situation.passed else ()
        if against := already or tuple(self.controls.against(situation, number)):
            return Refusal(say("no-set", str(control.route)), against)
        lies = control.lies
        return replace(
            situation,
            routes=situation.routes | {number},
            passed=situation.passed - {number},
            reverse=(situation.reverse - lies.keys()) | {points for points, lie in lies.items() if lie == "reverse"},
        )

    def _cancel(self, situation: Situation, number: int) -> Situation | Refusal:
        """Take a route back."""
        control = self.controls.routes[number]
        near = situation.occupied.intersection(control.locked)
        why = "" if number in situation.routes else say("not-set")
        if near and number in situation.routes - situation.passed:
            why = say("locked-for" if control.after else "locked", listed(map(label, sorted(near))), control.after)
        if why:
            return Refusal(say("no-cancel", str(control.route)), (why,))
        return replace(situation, routes=situation.routes - {number}, passed=situation.passed - {number})

    def _occupy(self, situation: Situation, place: str) -> Situation:
        """Let a train run into a place: routes over it have been used, and wait to be set again."""
        occupied = situation.occupied | {place}
        new = self.places.all_of(occupied) - self.places.all_of(situation.occupied)
        run = (number for number in situation.routes if self.controls.routes[number].runs & new)
        used = {number for number in run if not self.controls.routes[number].again}
        return replace(situation, occupied=occupied, passed=situation.passed | used)

    def _assume(self, situation: Situation, end: str, aspect: str) -> Situation | Refusal:
        """Take something else to stand at an edge of the plan."""
        choices = self.edges[end].choices
        if aspect not in choices:
            return Refusal(f"{end} cannot show {aspect}", (f"the plan has {listed(choices, 'or')} there",))
        return replace(situation, beyond=tuple(sorted({**dict(situation.beyond), end: aspect}.items())))


def _freely(situation: Situation, move: Clear | Fail | Mend) -> Situation:
    """Return the situation after a move that nothing can forbid."""
    match move:
        case Clear(place):
            return replace(situation, occupied=situation.occupied - {place})
        case Fail(signal, lamp):
            return replace(situation, failed=situation.failed | {(signal, lamp)})
        case Mend(signal, lamp):
            return replace(situation, failed=situation.failed - {(signal, lamp)})
