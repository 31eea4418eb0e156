"""The least explanations of what was seen: every one of them, found by following what the last guess gets wrong.

A light that an explanation gets wrong needs one more fault among those that reach this light: only these are tried. A
swap puts the light onto the wire it is then taken to have, so each further swap brings the explanation one step nearer
to what it becomes. The number of faults grows by one at a time, so all that are least are found, and none is missed.
"""

from __future__ import annotations

from itertools import count, islice, product
from typing import TYPE_CHECKING, Final

from msgspec import Struct
from msgspec.structs import replace

from lampwright_proving.diagnosis.bench import BOARD, SIGNAL
from lampwright_proving.diagnosis.faults import COMMONS, MODES, PLUG, STEPS, Explanation
from lampwright_proving.diagnosis.model import row

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright_proving.diagnosis.bench import Circuit, Group

WORK: Final = 60_000
"""Most steps of one round of the search; a round that could take more is not begun."""
SEVERAL: Final = 100
"""Most ways to join what explains each signal by itself."""


class Found(Struct, frozen=True):
    """Explanations, least first; empty if none has ``looked`` faults or fewer.

    ``apart`` tells that each signal was looked at by itself: a fault that several share counts once for each.
    """

    explanations: tuple[Explanation, ...]
    looked: int
    apart: bool = False

    @property
    def cost(self) -> int:
        """What the least of them costs; one more than what was looked at if there is none."""
        return self.explanations[0].cost if self.explanations else self.looked + 1


def least(circuit: Circuit, seen: Sequence[int], more: int = 0, lights: frozenset[int] | None = None) -> Found:
    """Return the least explanations of what was seen, a row for each light, and those of up to ``more`` faults more.

    A command that was not looked at is a mask that allows everything. Given ``lights``, only faults of these count.
    """
    for cost in count():
        search = _Search(circuit, seen, within=cost, lights=lights)
        found = search.all()
        if found:
            return Found(_with_more(circuit, seen, found, cost, more), cost)
        if search.steps * search.width > WORK:
            return Found((), cost)
    raise AssertionError


def by_signal(circuit: Circuit, seen: Sequence[int], looked: int) -> Found:
    """Return the least explanations of each signal by itself, joined; for where all of them together are too many."""
    whole = [Explanation(circuit.bench.feeds)]
    for (kind, _), lights in sorted(circuit.bench.groups.items()):
        if kind == SIGNAL:
            own = [row_ if light in lights else circuit.rows.any for light, row_ in enumerate(seen)]
            found = least(circuit, own, lights=lights).explanations
            whole = [_joined(circuit.bench.feeds, one, other) for one, other in islice(product(whole, found), SEVERAL)]
    return Found(tuple(whole), looked, apart=True)


def _joined(homes: Sequence[int], one: Explanation, other: Explanation) -> Explanation:
    """Return the faults of two explanations that are about different lights."""
    feeds = zip(homes, one.feeds, other.feeds, strict=True)
    return Explanation(
        tuple(first if second == home else second for home, first, second in feeds),
        one.cost + other.cost,
        one.modes | other.modes,
        one.turned | other.turned,
        one.commons | other.commons,
        one.touching | other.touching,
        one.plugs | other.plugs,
        one.exchanged | other.exchanged,
    )


def _with_more(
    circuit: Circuit, seen: Sequence[int], found: tuple[Explanation, ...], cost: int, more: int
) -> tuple[Explanation, ...]:
    """Add explanations of a few faults more than the least have."""
    if not more:
        return found
    every = _Search(circuit, seen, within=cost + more, beyond=True).all()
    return tuple(sorted(every, key=lambda explanation: explanation.cost))


class _Search:
    """One round: everything that explains what was seen by at most ``within`` faults.

    Unless ``beyond``, what explains it is not added to.
    """

    def __init__(
        self,
        circuit: Circuit,
        seen: Sequence[int],
        *,
        within: int,
        beyond: bool = False,
        lights: frozenset[int] | None = None,
    ) -> None:
        self.circuit = circuit
        self.seen = seen
        self.within = within
        self.beyond = beyond
        self.lights = sorted(lights if lights is not None else range(len(circuit.bench.lights)))
        self.groups = {group: held for group, held in circuit.bench.groups.items() if held <= {*self.lights}}
        self.pairs = circuit.bench.pairs if lights is None else ()
        self.width = 2 * len(self.lights) + len(MODES) + 2 * len(COMMONS) + 1
        self.steps = 0
        self.reached: set[tuple[Explanation, frozenset[int]]] = set()
        self.found: dict[Explanation, None] = {}

    def all(self) -> tuple[Explanation, ...]:
        """Return what was found, each once."""
        self._from(Explanation(self.circuit.bench.feeds), frozenset())
        return tuple(self.found)

    def _from(self, explanation: Explanation, placed: frozenset[int]) -> None:
        """Go on from an explanation; lights that are ``placed`` stay on their wires."""
        self.steps += 1
        left = self.within - explanation.cost
        wrong = self._wrong(explanation, whole=left == 1)
        if not wrong:
            self.found[explanation] = None
        if not left or not (wrong or self.beyond):
            return
        last = frozenset(wrong) if left == 1 else frozenset[int]()
        for light in wrong[:1] or self.lights:
            for more, now_placed in self._more(explanation, placed, light, last):
                if (more, now_placed) not in self.reached:
                    self.reached.add((more, now_placed))
                    self._from(more, now_placed)

    def _wrong(self, explanation: Explanation, *, whole: bool) -> list[int]:
        """Return the lights of which something else was seen: the first of them, or the ``whole`` list."""
        rows, found = self.circuit.rows, []
        for light in self.lights:
            if rows.filled(row(self.circuit, explanation, light) & self.seen[light]) != rows.ones:
                found.append(light)
                if not whole:
                    break
        return found

    def _more(
        self, explanation: Explanation, placed: frozenset[int], light: int, all_of: frozenset[int]
    ) -> Iterator[tuple[Explanation, frozenset[int]]]:
        """Yield explanations with one fault more that reaches a light; one of a few lights must reach ``all_of``."""
        more = replace(explanation, cost=explanation.cost + 1)
        node = explanation.on_node(light)
        lamp = not self.circuit.bench.lights[light].vacant
        if lamp and not explanation.mode(light) and all_of <= {light}:
            for mode in MODES:
                yield replace(more, modes=more.modes | {(light, mode)}), placed
        for group in self._groups(explanation, light, node):
            if group in self.groups and group not in more.turned:
                yield replace(more, turned=more.turned | {group}), placed
        for group, lights in self.groups.items():
            if light in lights and all_of <= lights and not any(group == known for known, _ in more.commons):
                for fault in COMMONS:
                    yield replace(more, commons=more.commons | {(group, fault)}), placed
        for other in self.lights:
            both = node | explanation.on_node(other)
            if other not in node and all_of <= both:
                kept = frozenset(one for one in more.touching if not one & both)
                yield replace(more, touching=kept | {both}), placed
        yield from ((elsewhere, placed) for elsewhere in self._elsewhere(explanation, node))
        yield from self._swapped(more, placed, node, all_of)

    def _elsewhere(self, explanation: Explanation, node: frozenset[int]) -> Iterator[Explanation]:
        """Yield explanations in which a plug that reaches a node sits off its place, or boards are exchanged."""
        bench = self.circuit.bench
        boards = {bench.pin(explanation, light)[0] for light in node}
        taken = {board for pair in explanation.exchanged for board in pair}
        for pair in self.pairs:
            if boards & {*pair} and not taken & {*pair}:
                yield replace(explanation, cost=explanation.cost + 1, exchanged=explanation.exchanged | {pair})
        known = {lights for lights, _ in explanation.plugs}
        for plug in bench.plugs if explanation.cost + PLUG <= self.within else ():
            if plug & node and plug not in known and plug <= {*self.lights}:
                for step in STEPS:
                    if abs(step) < bench.places(plug):
                        plugs = explanation.plugs | {(plug, step)}
                        yield replace(explanation, cost=explanation.cost + PLUG, plugs=plugs)

    def _groups(self, explanation: Explanation, light: int, node: frozenset[int]) -> Iterator[Group]:
        """Yield the groups whose polarity reaches a light: its signal, and the boards its wires come from."""
        yield SIGNAL, self.circuit.bench.lights[light].signal
        for board in dict.fromkeys(self.circuit.reached(explanation, other)[1] for other in sorted(node)):
            if board:
                yield BOARD, board

    def _swapped(
        self, more: Explanation, placed: frozenset[int], node: frozenset[int], all_of: frozenset[int]
    ) -> Iterator[tuple[Explanation, frozenset[int]]]:
        """Yield explanations in which a light on the node has the wire of another that may still be moved."""
        for light in sorted(node - placed):
            for other in self.lights:
                moved = other not in placed and more.feeds[other] != more.feeds[light]
                lamp = not (self.circuit.bench.lights[light].vacant and self.circuit.bench.lights[other].vacant)
                if moved and lamp and all_of <= node | more.on_node(other):
                    feeds = list(more.feeds)
                    feeds[light], feeds[other] = feeds[other], feeds[light]
                    yield replace(more, feeds=tuple(feeds)), placed | {light}
