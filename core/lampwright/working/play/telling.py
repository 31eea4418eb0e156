"""Why signals show what they show at one moment, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.words import listed
from lampwright.working.play.places import label
from lampwright.working.play.saying import say

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from lampwright.working.play.carrying import Carrying, Stood
    from lampwright.working.play.controls import Controls
    from lampwright.working.play.edges import Edge
    from lampwright.working.play.looks import Look
    from lampwright.working.play.situation import Situation

DEEP: Final = 3
"""How many reasons a story has at most, each for the one before."""


class Telling:
    """Tells the stories of one moment."""

    def __init__(
        self,
        controls: Controls,
        carrying: Carrying,
        edges: Mapping[str, Edge],
        situation: Situation,
        standing: Mapping[str, Stood],
    ) -> None:
        self.controls = controls
        self.carrying = carrying
        self.edges = edges
        self.situation = situation
        self.standing = standing

    def story(self, name: str, out: Collection[str] = ()) -> str:
        """Tell what a signal shows and why: ``TB1 shows caution, because TB3 stands at danger, as no route is ...``."""
        told, at, seen = self.shows(name), name, {name}
        for depth in range(DEEP):
            told = say("as" if depth else "because", told, self.clause(at))
            stood = self.standing[at]
            at = (
                self.carrying.network.name(stood.via.ahead[0])
                if stood.via is not None and stood.ahead is not None
                else ""
            )
            if at in seen or at not in self.standing:
                break
            seen.add(at)
        look = self.standing[name].look
        if reads := self.carrying.looks[name].reads(look, out):
            lost = listed(light.lamp for light in look.lights if light.lamp in out)
            told = say("reads", told, lost, reads)
        return told

    def shows(self, key: str) -> str:
        """Say what stands at a signal or an edge."""
        if key in self.standing:
            look = self.standing[key].look
            return say("stands" if look.stands else "shows", key, look.said)
        edge = self.edges[key]
        return edge.phrase(dict(self.situation.beyond).get(key, edge.choices[0]))

    def clause(self, name: str) -> str:
        """Say the nearest reason."""
        stood = self.standing[name]
        if stood.restless:
            return say("restless")
        via = stood.via
        if via is None:
            found = self._closed(name)
        elif stood.ahead is None:
            found = say("unknown", listed(map(self.carrying.network.name, via.ahead)))
        elif stood.look.lack:
            found = say("lack", name, stood.look.lack)
        else:
            found = listed(self.shows(self.carrying.network.name(key)) for key in via.ahead)
        if via is not None and stood.waits:
            found = say("near" if stood.near else "far", found, self.controls.places.reached(via))
        return self._out(found, stood.look)

    def _out(self, found: str, look: Look) -> str:
        """Add the lamp that is out and proved."""
        return say("out", found, look.out) if look.out else found

    def _closed(self, name: str) -> str:
        """Say why a signal does not look ahead."""
        if self.carrying.looks[name].post.only_tells:
            return say("not-past", name)
        occupied = self.controls.places.all_of(self.situation.occupied)
        for number in sorted(self.situation.routes):
            control = self.controls.routes[number]
            if control.route.signal.name != name:
                continue
            if number in self.situation.passed:
                return say("passed", name, control.route.name)
            if taken := control.taken(occupied):
                what = "train" if control.runs & occupied else "overlap"
                return say(what, listed(map(label, taken)))
            return say("no-rule", control.route.name)
        return say("no-route", name)
