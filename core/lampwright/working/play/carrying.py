"""Signals carried to rest: from stop, all look ahead again and again until nothing changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from lampwright.tables import boxes as indicators
from lampwright.words import listed
from lampwright.working.asking import Asking
from lampwright.working.faces import Face
from lampwright.working.play.places import releasing
from lampwright.working.posts import Answer
from lampwright.working.settling import told, until_still

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.working.network import Network, Via
    from lampwright.working.play.controls import Controls
    from lampwright.working.play.looks import Look, Looks
    from lampwright.working.play.situation import Situation
    from lampwright.working.posts import Shows

    Faces = Mapping[str, Face | None]

LAID, OPEN, RUN = range(3)


class Stood(Struct, frozen=True):
    """How one signal came to stand: its look and face, the way it looks ahead (None if none is open), what it sees.

    ``near``: a train has released it; ``waits``: it would look otherwise if one had, or had not.
    """

    look: Look
    face: Face
    via: Via | None = None
    ahead: Face | None = None
    near: bool = False
    waits: bool = False
    restless: bool = False


class Watch(Struct, frozen=True):
    """A way a signal can look ahead: while a route is set (``number``), or ever (None).

    ``until`` says how long: ``LAID`` while it is set, ``OPEN`` while the signal it begins at may clear, ``RUN`` also
    after that, while the train is in it.
    """

    number: int | None
    until: int
    via: Via

    def active(self, routes: tuple[frozenset[int], ...]) -> bool:
        """Tell whether it is this way that the signal looks; the routes are by how long."""
        return self.number is None or self.number in routes[self.until]


def _until(via: Via, name: str) -> int:
    """Return how long a signal looks a way: while its own route is open, or one past it for which it clears is run.

    One that tells of another does so while the route past it is set: a train may be between its stop signal and it.
    """
    if via.route is None:
        return LAID
    return OPEN if via.owner == name else RUN


class Carrying:
    """Carries the signals of a network."""

    def __init__(self, network: Network, controls: Controls, looks: Mapping[str, Looks]) -> None:
        self.network = network
        self.controls = controls
        self.looks = looks
        self.asking = Asking(network.books)
        numbers = {id(control.route.entry): number for number, control in enumerate(controls.routes)}
        self.watches = {name: tuple(self._watches(name, numbers)) for name in looks}

    def _watches(self, name: str, numbers: Mapping[int, int]) -> list[Watch]:
        """Return the ways a signal can look ahead; routes of other plans are not set here."""
        vias = [via for stand in self.network.of_signal[name] for via in stand.vias]
        found = [Watch(numbers.get(id(via.held)), _until(via, name), via) for via in vias]
        return [watch for watch in found if watch.via.held is None or watch.number is not None]

    def rest(self, situation: Situation, beyond: Faces) -> dict[str, Stood]:
        """Return how every signal comes to stand; those that never would stay at rest."""
        looking = self._looking(situation)
        restless: set[str] = set()
        while len(moments := self._moments(looking, situation, beyond)) > 1:
            moving = {name for name in looking if len({moment[name] for moment in moments}) > 1}
            restless |= moving
            looking |= dict.fromkeys(moving)
        found = {name: self.stood(name, via, {**beyond, **moments[0]}, situation) for name, via in looking.items()}
        return {name: replace(stood, restless=name in restless) for name, stood in found.items()}

    def _looking(self, situation: Situation) -> dict[str, Via | None]:
        """Return the way that each signal looks ahead, if one is open to it."""
        opened = self.controls.open(situation)
        routes = (situation.routes, opened, opened | self.controls.running(situation))
        return {
            name: next((watch.via for watch in watches if watch.active(routes)), None)
            for name, watches in self.watches.items()
        }

    def _moments(self, looking: Mapping[str, Via | None], situation: Situation, beyond: Faces) -> list[Faces]:
        """Return what all signals show at last: one moment, or those they go round in for ever."""

        def step(now: Faces) -> Faces:
            seen = {**beyond, **now}
            return {name: self.stood(name, via, seen, situation).face for name, via in looking.items()}

        return until_still({name: self._at_rest(name, None, situation).face for name in looking}, step)

    def stood(self, name: str, via: Via | None, now: Faces, situation: Situation) -> Stood:
        """Return how a signal stands when all else stands as it does now."""
        ahead = told(self.asking, via, [now[self.network.name(key)] for key in via.ahead]) if via is not None else None
        if via is None or ahead is None or not ahead.aspect:
            return self._at_rest(name, via, situation)
        occupied = self.controls.places.all_of(situation.occupied)
        near = via.route is not None and occupied.issuperset(releasing(via))
        look, other = (self.look(name, via, ahead, near=which) for which in (near, not near))
        waits = look != other
        look = self.looks[name].after(look, situation.out(name))
        return Stood(look, self.face(via, look, ahead), via, ahead, near, waits)

    def look(self, name: str, via: Via, ahead: Face, *, near: bool) -> Look:
        """Return the look that the sequence asks of a signal; at rest if it cannot give it."""
        asks = dict(self.asking.asks(via, ahead))
        answer = asks.get(near, asks[False])[0]
        looks = self.looks[name]
        if answer.failed:
            wanted = dict.fromkeys(aspect for step in answer.steps if not step.must for aspect in step.wanted)
            return replace(looks.rest, lack=listed(wanted, "or") or "what no rule says")
        return looks.of(answer.shows, self._boxes(name, via, answer.shows))

    def face(self, via: Via, look: Look, ahead: Face) -> Face:
        """Return what is seen from behind of a look that answers what is ahead."""
        if look.lack:
            return self.still(via.stand.name, look)
        return replace(self.asking.face(via, Answer(look.shows), ahead, None), near=None)

    def _boxes(self, name: str, via: Via, shows: Shows) -> indicators.Boxes:
        """Return the indicators that a route lights beside what the signal shows."""
        looks = self.looks[name]
        if via.route is None or via.owner != name or not looks.post.cleared(shows):
            return ()
        lit = indicators.for_route(looks.signal, via.route)
        return tuple(box for box in lit if indicators.stands(looks.signal, box[0], shows))

    def _at_rest(self, name: str, via: Via | None, situation: Situation) -> Stood:
        """Return how a signal stands that sees nothing it could go by."""
        look = self.looks[name].after(self.looks[name].rest, situation.out(name))
        return Stood(look, self.still(name, look), via)

    def still(self, name: str, look: Look) -> Face:
        """Return the face of a signal that goes by nothing ahead."""
        post = self.looks[name].post
        return Face(look.seen, post.rulebook.id)
