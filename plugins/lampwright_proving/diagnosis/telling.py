"""What looking can tell: which explanations a command is sure to tell apart, and which command tells most."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from typing import TYPE_CHECKING

from lampwright_proving.diagnosis.model import row, rows
from lampwright_proving.diagnosis.sights import at

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lampwright_proving.diagnosis.bench import Circuit
    from lampwright_proving.diagnosis.faults import Explanation

Look = tuple[int, ...]
"""The rows of all lights, if an explanation is true."""


def looks(circuit: Circuit, explanations: Iterable[Explanation]) -> dict[Look, list[Explanation]]:
    """Return explanations by what would be seen: those of one look are told apart by no command."""
    found: dict[Look, list[Explanation]] = {}
    for explanation in explanations:
        found.setdefault(tuple(rows(circuit, explanation)), []).append(explanation)
    return found


def apart(circuit: Circuit, one: Look, other: Look) -> int:
    """Return a 1 (see ``sights.Rows``) for each command that is sure to tell two looks apart."""
    told = 0
    for first, second in zip(one, other, strict=True):
        told |= circuit.rows.empty(first & second)
    return told


def telling(circuit: Circuit, found: Iterable[Look]) -> list[int]:
    """Return the commands that are sure to tell some of these looks from others, in the order of the bench."""
    told = 0
    for one, other in combinations(found, 2):
        told |= apart(circuit, one, other)
    return [number for number in range(len(circuit.commands)) if at(told, number)]


def best(found: Sequence[Look], commands: Sequence[int]) -> int:
    """Return the command that leaves the fewest looks on average; of equals the first."""
    return min(commands, key=lambda command: (_left(found, command), commands.index(command)))


def _left(found: Sequence[Look], command: int) -> int:
    """Return how many looks are left after a command, on average, as a sum over all of them."""
    counts = Counter(tuple(at(line, command) for line in look) for look in found)
    return sum(count * count for count in counts.values())


def disagree(circuit: Circuit, explanation: Explanation, seen: Sequence[int]) -> list[tuple[int, int]]:
    """Return the commands and lights of which something else was seen."""
    return [
        (command, light)
        for light, mask in enumerate(seen)
        for command in range(len(circuit.commands))
        if not at(row(circuit, explanation, light) & mask, command)
    ]
