"""The layout worked, as data: a script that only looks up in it makes the same moves and shows the same.

Things are numbered by their places in lists. Faces, what is seen of a signal from behind, are texts of three numbers:
what it is seen to show, what of its route matters, and what it sees itself where that matters; ``-1`` is not known.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.working.play.closing import Closing
from lampwright.working.play.drawers import Drawers
from lampwright.working.play.places import label, releasing
from lampwright.working.play.saying import WORDS

if TYPE_CHECKING:
    from lampwright.working.network import Via
    from lampwright.working.play.carrying import Watch
    from lampwright.working.play.controls import Control
    from lampwright.working.play.edges import Edge
    from lampwright.working.play.play import Play


def table(play: Play) -> dict[str, Any]:
    """Return the table of a layout; each key is told at what makes it."""
    return _Table(play).whole()


class _Table:
    """Numbers everything of a layout and writes it down."""

    def __init__(self, play: Play) -> None:
        self.play = play
        self.carrying = play.carrying
        self.signals = {name: number for number, name in enumerate(self.carrying.watches)}
        self.edges = {key: number for number, key in enumerate(play.edges)}
        self.closing = Closing(self.carrying, play.edges)
        self.drawers = Drawers()
        places = dict.fromkeys((*play.places.names, *play.places.implied))
        self.places = {place: number for number, place in enumerate(places)}

    def whole(self) -> dict[str, Any]:
        """Return everything; ``named`` are the places a train can be put in, the first of all."""
        signals = [self._signal(name) for name in self.signals]
        return {
            "words": WORDS,
            "signals": signals,
            "edges": [self._edge(edge) for edge in self.play.edges.values()],
            "routes": [self._route(control) for control in self.play.controls.routes],
            "against": self._against(),
            "places": [[place, label(place)] for place in self.places],
            "named": len(self.play.places.names),
            "implied": self._implied(),
            "points": {
                points: self.places[section]
                for points, section in self.play.controls.sections.items()
                if section in self.places
            },
            **self.drawers.contents,
        }

    def _signal(self, name: str) -> list[Any]:
        """Return a signal: name, its look at rest, the ways it looks ahead, whether it only tells of others."""
        looks = self.carrying.looks[name]
        ways = [self._way(watch) for watch in self.carrying.watches[name]]
        return [name, self.drawers.look(looks, looks.rest), ways, int(looks.post.only_tells)]

    def _way(self, watch: Watch) -> list[Any]:
        """Return a way of looking ahead.

        Its route (-1: always), how long (see ``Watch``), what is ahead (edges are -1, -2, ...), what of
        the route is seen, the rows, the places that release the signal, and these in words.
        """
        via = watch.via
        ahead = [self._ahead(key) for key in via.ahead]
        number = -1 if watch.number is None else watch.number
        near = self._releasing(via)
        reached = [self.play.places.reached(via)] if near else []
        return [number, watch.until, ahead, self._facts(via), self._rows(via), near, *reached]

    def _ahead(self, key: str) -> int:
        """Return the number of what a key means."""
        name = self.carrying.network.name(key)
        return self.signals[name] if name in self.signals else -1 - self.edges[name]

    def _facts(self, via: Via) -> int:
        """Return the number of what is seen of a route from behind."""
        if via.route is None:
            return self.drawers.facts(None)
        return self.drawers.facts(self.carrying.asking.seen_of(via))

    def _rows(self, via: Via) -> int:
        """Return the number of the rows: by faces ahead the look, that with a train near if it is another, second."""
        looks, drawers = self.carrying.looks[via.stand.name], self.drawers
        rows = {}
        for seen, (far, near, second) in self.closing.rows.get(via, {}).items():
            row = [drawers.look(looks, far)]
            if near != far or second:
                row.append(drawers.look(looks, near))
            rows["+".join(map(drawers.face, seen))] = [*row, drawers.word(second)] if second else row
        return drawers.number("rows", rows)

    def _releasing(self, via: Via) -> list[int]:
        """Return the places that release a signal; none if no train matters."""
        if via.route is None or all(near == far for far, near, _ in self.closing.rows.get(via, {}).values()):
            return []
        return [self.places[place] for place in releasing(via) if place in self.places]

    def _edge(self, edge: Edge) -> list[Any]:
        """Return an edge: its name, and what may stand there with its face and the words for it."""
        return [
            edge.key,
            [[aspect, self.drawers.face(edge.face(aspect)), edge.phrase(aspect)] for aspect in edge.choices],
        ]

    def _route(self, control: Control) -> list[Any]:
        """Return a route: what it is called, its signal, its places, whether these must be clear, and so on.

        After these: whether it clears by itself after a train, its overlaps, its points (1: reverse), the places that
        lock it, for how long, and where it leads.
        """
        return [
            str(control.route),
            control.route.name,
            self.signals.get(control.route.signal.name, -1),
            [self.places[place] for place in sorted(control.runs) if place in self.places],
            int(control.clear),
            int(control.again),
            [[self.places[place] for place in lap] for lap in control.laps],
            [[points, int(lie == "reverse")] for points, lie in control.lies.items()],
            [self.places[place] for place in sorted(control.locked) if place in self.places],
            control.after,
            control.route.entry.to,
        ]

    def _against(self) -> list[list[Any]]:
        """Return by route those of greater number that exclude it, each with the number of the reasons in words."""
        controls, found = self.play.controls, []
        for number, control in enumerate(controls.routes):
            others = (other for other in controls.beside(number) if other > number)
            pairs = ((other, controls.between(control, controls.routes[other])) for other in sorted(others))
            found.append([[other, self.drawers.number("reasons", why)] for other, why in pairs if why])
        return found

    def _implied(self) -> list[list[Any]]:
        """Return places that are taken to be occupied when all others of a list are."""
        return [
            [self.places[place], [self.places[section] for section in sorted(sections)]]
            for place, said in self.play.places.implied.items()
            for sections in said
        ]
