"""Everything that signals can come to see and show while a layout is worked, followed back from stop."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

from lampwright.working.settling import told

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.working.faces import Face
    from lampwright.working.network import Via
    from lampwright.working.play.carrying import Carrying
    from lampwright.working.play.edges import Edge
    from lampwright.working.play.looks import Look, Looks

    Seen = tuple[Face | None, ...]


class Closing:
    """For every way of looking ahead: by what is seen there, the looks with no train near and with one, and ``second``.

    What is not known, or tells nothing, is left out: a signal that sees it stays at rest.
    """

    def __init__(self, carrying: Carrying, edges: Mapping[str, Edge]) -> None:
        self.carrying = carrying
        self.faces: dict[str, dict[Face | None, None]] = {
            key: {edge.face(aspect): None for aspect in edge.choices} for key, edge in edges.items()
        }
        self.rows: dict[Via, dict[Seen, tuple[Look, Look, str]]] = {}
        self._waiting: dict[Via, None] = {}
        for key in edges:
            for stand in carrying.network.of_signal.get(key, ()):
                self._wait(stand.key)
            self._wait(key)
        for name, looks in carrying.looks.items():
            self.faces[name] = {}
            for look in every(looks, looks.rest):
                self._new(name, carrying.still(name, look))
        while self._waiting:
            via = next(iter(self._waiting))
            del self._waiting[via]
            self._look(via)

    def _new(self, name: str, face: Face) -> None:
        """Enter a face, if it is new."""
        if face in self.faces[name]:
            return
        self.faces[name][face] = None
        for stand in self.carrying.network.of_signal[name]:
            self._wait(stand.key)

    def _wait(self, key: str) -> None:
        """Note that those who look at something have to look again."""
        behind = self.carrying.network.behind.get(key, ())
        self._waiting |= dict.fromkeys(via for via in behind if not via.loose)

    def _look(self, via: Via) -> None:
        """Look at everything ahead that has not been looked at this way."""
        rows = self.rows.setdefault(via, {})
        for seen in product(*(tuple(self.faces[self.carrying.network.name(key)]) for key in via.ahead)):
            if seen not in rows:
                ahead = told(self.carrying.asking, via, seen)
                if ahead is not None and ahead.aspect:
                    rows[seen] = self._answered(via, ahead)

    def _answered(self, via: Via, ahead: Face) -> tuple[Look, Look, str]:
        """Work out the looks, and enter their faces."""
        name = via.stand.name
        far, near = (self.carrying.look(name, via, ahead, near=near) for near in (False, True))
        second = ""
        for look in dict.fromkeys((far, near)):
            for shown in every(self.carrying.looks[name], look):
                face = self.carrying.face(via, shown, ahead)
                second = face.second or second
                self._new(name, face)
        return far, near, second


def every(looks: Looks, look: Look) -> Iterator[Look]:
    """Yield a look, and all that it falls to when lamps go out one after the other."""
    found = [look]
    for one in found:
        yield one
        fallen = (looks.fallen(one, light.lamp) for light in one.lights)
        found += [other for other in fallen if other is not None and other not in found]
