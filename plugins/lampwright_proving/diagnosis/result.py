"""What follows from all that was seen: the least explanations, whether looking can tell more, and what would."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_proving.diagnosis.bench import SIGNAL, Circuit
from lampwright_proving.diagnosis.search import Found, by_signal, least
from lampwright_proving.diagnosis.sights import ANY, packed
from lampwright_proving.diagnosis.telling import best, looks, telling

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lampwright_proving.diagnosis.bench import Bench, Command
    from lampwright_proving.diagnosis.faults import Explanation
    from lampwright_proving.diagnosis.telling import Look

LARGE: Final = 60_000
"""Beyond so many combinations, explanations of one fault more than the least are not looked for."""


class Observation(Struct, frozen=True):
    """What was seen for one command: masks by light; lights that were not looked at are left out."""

    command: Command
    masks: Mapping[int, int]


class Diagnosis(Struct, frozen=True, dict=True):
    """What the observations of one bench mean.

    ``found`` are the least explanations, with those of one fault more if ``wary``: whoever decides what to look at next
    wants to know of them, too.
    """

    bench: Bench
    observations: tuple[Observation, ...]
    wary: bool = False

    @cached_property
    def seen(self) -> tuple[int, ...]:
        """What was seen, as rows over the commands that were given."""
        lights = range(len(self.bench.lights))
        return tuple(packed(one.masks.get(light, ANY) for one in self.observations) for light in lights)

    @cached_property
    def given(self) -> Circuit:
        """The bench over the commands that were given."""
        return Circuit(self.bench, [one.command for one in self.observations])

    @cached_property
    def found(self) -> Found:
        """What explains all that was seen, least first."""
        found = least(self.given, self.seen)
        if not found.explanations and sum(kind == SIGNAL for kind, _ in self.bench.groups) > 1:
            return by_signal(self.given, self.seen, found.looked)
        return least(self.given, self.seen, more=1) if self.wary and _affordable(self.bench, found) else found

    @cached_property
    def best(self) -> tuple[Explanation, ...]:
        """The least explanations."""
        return tuple(one for one in self.found.explanations if one.cost == self.found.cost)

    @cached_property
    def all_right(self) -> bool:
        """Whether nothing but what should be was seen."""
        return self.found.cost == 0

    @cached_property
    def circuit(self) -> Circuit:
        """The bench over everything that can be commanded."""
        return Circuit(self.bench, self.bench.commands)

    @cached_property
    def looks(self) -> dict[Look, list[Explanation]]:
        """The least explanations by what would be seen."""
        return looks(self.circuit, self.best)

    @cached_property
    def unique(self) -> bool:
        """Whether no command is sure to tell one of the least explanations from another."""
        return bool(self.best) and not telling(self.circuit, self.looks)

    @cached_property
    def next(self) -> Command | None:
        """The command to give next: it tells most of what can still be told; None if looking tells nothing more.

        Where it would take too long to reckon with one fault more, any command that is left may tell something.
        """
        considered = list(looks(self.circuit, self.found.explanations))
        looked = {one.command.key for one in self.observations if len(one.masks) == len(self.bench.lights)}
        blind = self.wary and not _affordable(self.bench, self.found)
        numbers = range(len(self.bench.commands)) if blind else telling(self.circuit, considered)
        left = [number for number in numbers if self.bench.commands[number].key not in looked]
        return self.bench.commands[best(considered, left)] if left else None

    @cached_property
    def next_output(self) -> Command | None:
        """The output to switch by hand that tells most of the least explanations apart; None if none tells anything."""
        circuit = Circuit(self.bench, self.bench.raw)
        considered = list(looks(circuit, self.best))
        looked = {one.command.key for one in self.observations}
        left = [number for number in telling(circuit, considered) if self.bench.raw[number].key not in looked]
        return self.bench.raw[best(considered, left)] if left else None


def _affordable(bench: Bench, found: Found) -> bool:
    """Tell whether there is time to look for explanations of one fault more than the least."""
    return bool(found.explanations) and 4 * len(bench.lights) ** (2 * found.cost) <= LARGE


def in_order(bench: Bench) -> tuple[Command, ...]:
    """Return the commands in the order that tells single faults apart soonest; what tells nothing more comes last."""
    nothing_seen = Diagnosis(bench, (), wary=True)
    considered = list(looks(nothing_seen.circuit, nothing_seen.found.explanations))
    left = list(range(len(bench.commands)))
    order = []
    groups = [considered]
    while left:
        command = min(left, key=lambda one: (sum(_size(group, one) for group in groups), left.index(one)))
        groups = [part for group in groups for part in _split(group, command)]
        order.append(command)
        left.remove(command)
    return tuple(bench.commands[number] for number in order)


def _split(group: Sequence[Look], command: int) -> list[list[Look]]:
    """Return the looks of a group by what is seen for a command."""
    parts: dict[tuple[int, ...], list[Look]] = {}
    for look in group:
        parts.setdefault(tuple(row >> 4 * command & ANY for row in look), []).append(look)
    return list(parts.values())


def _size(group: Sequence[Look], command: int) -> int:
    """Return how much is left of a group after a command, on average, as a sum over all of it."""
    return sum(len(part) ** 2 for part in _split(group, command))
