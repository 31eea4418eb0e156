"""What a diagnosis comes to: the ways to explain it, what would decide between them, what puts each right."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.words import counted, listed
from lampwright_proving.diagnosis.bench import Circuit
from lampwright_proving.diagnosis.faults import COSTS
from lampwright_proving.diagnosis.model import row
from lampwright_proving.diagnosis.saying import by_hand, clauses
from lampwright_proving.diagnosis.sights import DARK, at, words
from lampwright_proving.diagnosis.telling import disagree
from lampwright_proving.mending import Mending, mending

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright_proving.diagnosis.bench import Command
    from lampwright_proving.diagnosis.faults import Explanation
    from lampwright_proving.diagnosis.result import Diagnosis
    from lampwright_proving.standing import Standing

FORMAT: Final = "lampwright-diagnosis/1"
MANY: Final = 12
"""Most explanations that are told one by one."""


class Verdict(Struct, frozen=True, dict=True):
    """A diagnosis with its signals."""

    standing: Standing
    diagnosis: Diagnosis

    @cached_property
    def explanations(self) -> list[Explanation]:
        """The least explanations: those with one look behind each other, a signal's polarity before a board's."""
        return [one for held in self.diagnosis.looks.values() for one in sorted(held, key=_first)]

    @cached_property
    def next(self) -> Command | None:
        """The command that would tell most about the least explanations; None if none is left that would."""
        return None if self.diagnosis.unique else self.diagnosis.next

    def mending(self, explanation: Explanation) -> Mending:
        """Return what puts an explanation right."""
        return mending(self.standing, explanation, self._lit)

    @cached_property
    def _lit(self) -> frozenset[int]:
        """The lights that were seen to be lit by something."""
        looks = [one.masks for one in self.diagnosis.observations]
        return frozenset(light for masks in looks for light, mask in masks.items() if not mask & DARK)

    def chosen(self, take: int | None) -> Explanation | None:
        """Return the explanation to go by: the one taken, or the only one; None if that leaves a choice.

        Of several that differ only in whose polarity is wrong, a signal's is read first.
        """
        if take is not None:
            return self.explanations[take - 1] if 1 <= take <= len(self.explanations) else None
        only_polarity = self.diagnosis.unique and all(one.cost == len(one.turned) for one in self.explanations)
        return self.explanations[0] if len(self.explanations) == 1 or only_polarity else None

    def expected(self, command: Command) -> list[str]:
        """Return what would be seen for a command, a text for each explanation: only what differs."""
        circuit = Circuit(self.diagnosis.bench, [command])
        lights = self.diagnosis.bench.lights
        rows = [[at(row(circuit, one, light), 0) for light in range(len(lights))] for one in self.explanations]
        lamps = [light for light, own in enumerate(lights) if not own.vacant]
        differs = [light for light in lamps if len({masks[light] for masks in rows}) > 1]
        return [listed(f"{lights[light].label} {words(masks[light])}" for light in differs) for masks in rows]

    def unexplained(self) -> list[str]:
        """Return what was seen and should not have been, if nothing explains it."""
        diagnosis = self.diagnosis
        from lampwright_proving.diagnosis.faults import Explanation

        right = Explanation(diagnosis.bench.feeds)
        lights, given = diagnosis.bench.lights, diagnosis.given
        return [
            f"{called(given.commands[command])}: {lights[light].label} {words(at(diagnosis.seen[light], command))}, "
            f"and must be {words(at(row(given, right, light), command))}"
            for command, light in disagree(given, right, diagnosis.seen)
        ]

    def lines(self) -> Iterator[str]:
        """Yield the verdict in words, line by line."""
        diagnosis = self.diagnosis
        if diagnosis.all_right:
            yield f"All that was seen is as it should be ({counted(len(diagnosis.observations), 'command')})."
            yield from self._further()
        elif not self.explanations:
            yield f"No {counted(diagnosis.found.looked, 'fault')} or fewer explain all that was seen; what is wrong:"
            yield from (f"  {text}" for text in self.unexplained())
        else:
            yield from self._explained()

    def _further(self) -> Iterator[str]:
        """Yield what was not looked at, if anything."""
        looked = {one.command.key for one in self.diagnosis.observations}
        signals = {key[0] for key in looked}
        left = [one for one in self.diagnosis.bench.commands if one.key not in looked and one.key[0] in signals]
        if left:
            yield f"Not looked at: {listed(called(one) for one in left)}."

    def _explained(self) -> Iterator[str]:
        """Yield the explanations, and what would decide between them."""
        explanations = self.explanations
        cost = self.diagnosis.found.cost
        explain = f"{counted(cost, 'fault')} explain{'s' if cost == 1 else ''} all that was seen"
        if self.diagnosis.found.apart:
            yield "So much is wrong that each signal was looked at by itself: a fault they share is told of each."
        alone = len(explanations) == 1 and not self.diagnosis.found.apart
        yield f"{explain}, and nothing else does with so few:" if alone else f"{explain}, in {_ways(explanations)}:"
        for number, explanation in enumerate(explanations[:MANY], 1):
            first, *others = clauses(self.diagnosis.bench, explanation)
            yield f"  {number}. {first}"
            yield from (f"     {clause}" for clause in others)
        if len(explanations) > MANY:
            yield f"  and {len(explanations) - MANY} more"
        yield COSTS
        if len(explanations) > 1:
            yield "Looking cannot tell these apart." if self.diagnosis.unique else "Looking can tell more."
            yield from self._deciding()

    def _deciding(self) -> Iterator[str]:
        """Yield the command, the output and what by hand would decide."""
        if self.next is not None:
            yield from self._if("Command", self.next)
        if (output := self.diagnosis.next_output) is not None:
            yield from self._if("Switch by hand", output)
        if self.next is None:
            yield "By hand:"
            yield from (f"  {hint}" for hint in by_hand(self.diagnosis.bench, self.explanations[:MANY]))

    def _if(self, how: str, command: Command) -> Iterator[str]:
        """Yield what would be seen for a command by the number of each explanation."""
        yield f"{how} {called(command)}, and look:"
        by_sight: dict[str, list[str]] = {}
        for number, sight in enumerate(self.expected(command)[:MANY], 1):
            by_sight.setdefault(sight, []).append(str(number))
        for sight, numbers in by_sight.items():
            yield f"  {listed(numbers, 'or')} if {sight}"

    def record(self) -> dict[str, Any]:
        """Return the verdict for programs."""
        diagnosis = self.diagnosis
        looks = {id(one): number for number, held in enumerate(diagnosis.looks.values(), 1) for one in held}
        output = diagnosis.next_output if len(self.explanations) > 1 else None
        return {
            "format": FORMAT,
            "signals": list(self.standing.tables),
            "all_right": diagnosis.all_right,
            "faults": diagnosis.found.cost if self.explanations else None,
            "unique": diagnosis.unique,
            "explanations": [self._record(one, looks[id(one)]) for one in self.explanations],
            "unexplained": [] if self.explanations else self.unexplained(),
            "next_command": None if self.next is None else dict(zip(("signal", "command"), self.next.key, strict=True)),
            "next_output": None if output is None else output.key[1],
            "by_hand": by_hand(diagnosis.bench, self.explanations) if len(self.explanations) > 1 else [],
            "costs": COSTS,
        }

    def _record(self, explanation: Explanation, look: int) -> dict[str, Any]:
        """Return one explanation; those of one ``look`` are told apart by no command."""
        mends = self.mending(explanation)
        return {
            "look": look,
            "faults": clauses(self.diagnosis.bench, explanation),
            "plan": [_change(change) for change in mends.changes],
            "plan_cannot_say": list(mends.untold),
            "rewire": list(mends.rewiring),
            "repair": list(mends.repairs),
        }


def _change(change: Any) -> dict[str, Any]:
    """Return a change of the plan as plain values."""
    path = [*change.path, change.key] if change.key else [*change.path]
    return {"path": path, "value": change.value}


def _first(explanation: Explanation) -> tuple[bool, bool, bool, int]:
    """Return what explanations of one look are sorted by: polarity alone first, and of that a signal's; then plugs."""
    boards = sum(kind == "board" for kind, _ in explanation.turned)
    elsewhere = explanation.plugs or explanation.exchanged
    return not explanation.turned, explanation.cost > len(explanation.turned), not elsewhere, boards


def _ways(explanations: Sequence[Explanation]) -> str:
    """Return how many ways there are."""
    return "one way" if len(explanations) == 1 else f"{len(explanations)} ways"


def called(command: Command) -> str:
    """Return a command as a person is told it: ``HF3 clear (3)``, ``output A.0 alone``, ``no output``."""
    if command.raw:
        return "no output at all" if not command.lit else f"output {command.key[1]} alone"
    number = f" ({command.number})" if command.number is not None else ""
    return f"{' '.join(command.key)}{number}"
