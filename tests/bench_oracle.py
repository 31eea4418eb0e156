"""Benches made at random, what is seen on them with faults, and every explanation there is: all by brute force.

Nothing here is shared with the diagnosis but how a bench and an explanation are written down. Light is a duty between 0
and 1 as an exact fraction, cell by cell.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import combinations, permutations, product
from typing import TYPE_CHECKING

from lampwright_proving.diagnosis.bench import Bench, Command, Drive, Light

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

    from lampwright_proving.diagnosis.faults import Explanation

HALF = Fraction(1, 2)
OFTEN = 0.25
"""How often a plug is one of the faults."""
OWN = ("turned", "dead", "stuck", "weak", "steady", "flickering")
"""Faults of one light, of which it has one at most."""
Fault = tuple[object, ...]
"""A fault of ``OWN`` with its light, ``("polarity"|"open"|"poor", group)``, ``("touch", light, other)``,
``("plug", lights, step)``, ``("exchanged", board, other)``."""


@dataclass(frozen=True)
class State:
    """A bench as it really is: which light's wire each light has, and faults."""

    wires: tuple[int, ...]
    faults: frozenset[Fault] = frozenset()

    @property
    def cost(self) -> int:
        """Wires less rings, and one for each fault; two for a plug."""
        return swaps(self.wires) + sum(map(weight, self.faults))


def weight(fault: Fault) -> int:
    """Return what one fault counts."""
    return 2 if fault[0] == "plug" else 1


def swaps(wires: tuple[int, ...]) -> int:
    """Return how many swaps bring wires into an order: their number less the number of rings."""
    left, rings = set(range(len(wires))), 0
    while left:
        light = left.pop()
        rings += 1
        while (light := wires[light]) in left:
            left.remove(light)
    return len(wires) - rings


def members(bench: Bench, group: tuple[str, str]) -> set[int]:
    """Return the lights of a signal, or those the plan has on a board."""
    kind, name = group
    return {
        number
        for number, light in enumerate(bench.lights)
        if name == (light.signal if kind == "signal" else light.output.partition(".")[0])
    }


def node(state: State, light: int) -> set[int]:
    """Return the lights whose wires touch, however many others are between."""
    found = {light}
    while True:
        more = {end for fault in state.faults if fault[0] == "touch" and found & set(fault[1:]) for end in fault[1:]}
        if more <= found:
            return found
        found |= more  # type: ignore[arg-type]


def sights(bench: Bench, state: State, light: int, command: Command) -> set[str]:
    """Return what may be seen of one light for one command."""
    faults = state.faults
    own = bench.lights[light]
    groups = [group for group in [("signal", own.signal), ("board", own.output.partition(".")[0])] if group[1]]
    if ("dead", light) in faults or any(("open", group) in faults for group in groups):
        return {"dark"}
    here = ("turned", light) in faults, ("polarity", ("signal", own.signal)) in faults
    each = [_at_end(bench, faults, other, state.wires[other], command, sum(here)) for other in node(state, light)]
    seen = {"lit"} if ("stuck", light) in faults else _together(each)
    if ("steady", light) in faults:
        seen = {"lit" if word == "flashing" else word for word in seen}
    if ("flickering", light) in faults:
        seen = {"flashing" if word == "lit" else word for word in seen}
    weak = ("weak", light) in faults or any(("poor", group) in faults for group in groups)
    return {"dim" if weak and word == "lit" else word for word in seen}


def driven(bench: Bench, faults: frozenset[Fault], light: int, wire: int) -> str:
    """Return the output by which a controller reaches the wire of a light: off its place, on another board."""
    board, dot, place = bench.lights[wire].output.partition(".")
    for fault in faults:
        if fault[0] == "plug" and light in fault[1]:  # type: ignore[operator]
            place = str(int(place) + int(str(fault[2]))) if dot else place
    other = {fault[1]: fault[2] for fault in faults if fault[0] == "exchanged"}
    other |= {fault[2]: fault[1] for fault in faults if fault[0] == "exchanged"}
    return f"{other.get(board, board)}{dot}{place}"


def _at_end(  # noqa: PLR0913, PLR0917
    bench: Bench, faults: frozenset[Fault], light: int, wire: int, command: Command, reversals: int
) -> set[str]:
    """Return what the wire of one light alone would show behind so many reversals."""
    output = driven(bench, faults, light, wire)
    if output != bench.lights[wire].output:
        wire = next((number for number, own in enumerate(bench.lights) if own.output == output), -1)
    drive = command.lit.get(wire)
    board = output.partition(".")[0]
    reversals += bool(board) and ("polarity", ("board", board)) in faults
    duty = Fraction(0) if drive is None else Fraction(1) if drive.full else HALF
    for _ in range(reversals):
        duty = 1 - duty
    if drive is not None and drive.flash:
        return {"flashing"}
    if duty in (0, 1):
        return {"lit"} if duty else {"dark"}
    return {"lit", "dim"} if reversals % 2 else {"lit"}


def _together(each: list[set[str]]) -> set[str]:
    """Return what is seen of a light on several wires: what they agree on, or anything between."""
    union = set().union(*each)
    if union in ({"dark"}, {"flashing"}) or union <= {"lit", "dim"}:
        return union
    return {"lit", "dim"} | union & {"flashing"}


def everything(bench: Bench, state: State) -> dict[tuple[int, int], set[str]]:
    """Return all that may be seen, by command and light; of an output without a lamp nothing is."""
    return {
        (number, light): sights(bench, state, light, command)
        for number, command in enumerate(bench.commands)
        for light in lamps(bench)
    }


def lamps(bench: Bench) -> list[int]:
    """Return the lights that are lamps."""
    return [number for number, light in enumerate(bench.lights) if light.name]


def seen(bench: Bench, state: State, luck: Random) -> dict[tuple[int, int], str]:
    """Return what somebody saw: of what may be seen, one thing."""
    return {cell: luck.choice(sorted(may)) for cell, may in everything(bench, state).items()}


def explains(bench: Bench, state: State, saw: dict[tuple[int, int], str]) -> bool:
    """Tell whether all that was seen may be seen in a state."""
    return all(word in sights(bench, state, light, bench.commands[number]) for (number, light), word in saw.items())


def tells_apart(bench: Bench, one: State, other: State) -> bool:
    """Tell whether looking at some command is sure to tell two states apart."""
    first, second = everything(bench, one), everything(bench, other)
    return any(not may & second[cell] for cell, may in first.items())


def single_faults(bench: Bench) -> list[Fault]:
    """Return every fault that is no swap."""
    lights = range(len(bench.lights))
    groups = {("signal", light.signal) for light in bench.lights if light.name}
    groups |= {("board", light.output.partition(".")[0]) for light in bench.lights if light.output}
    modes: list[Fault] = [(mode, light) for mode in OWN for light in lamps(bench)]
    whole: list[Fault] = [(kind, group) for kind in ("polarity", "open", "poor") for group in sorted(groups)]
    exchanged: list[Fault] = [("exchanged", *pair) for pair in bench.pairs]
    return [*modes, *whole, *exchanged, *(("touch", one, other) for one, other in combinations(lights, 2))]


def plugs(bench: Bench) -> list[Fault]:
    """Return every plug that may sit one or two places off, some wire still where one of its own should be."""
    found: list[Fault] = []
    homes = {output: light.signal for light in bench.lights if (output := light.output)}
    for start, signal in homes.items():
        board, _, first = start.partition(".")
        if homes.get(f"{board}.{int(first) - 1}") == signal:
            continue
        length = 1
        while homes.get(f"{board}.{int(first) + length}") == signal:
            length += 1
        run = {f"{board}.{int(first) + step}" for step in range(length)}
        lights = frozenset(number for number, light in enumerate(bench.lights) if light.output in run)
        found += [("plug", lights, step) for step in (-2, -1, 1, 2) if abs(step) < length]
    return found


@cache
def orders(number: int, most: int) -> dict[int, list[tuple[int, ...]]]:
    """Return the orders of wires by the swaps they take, up to a number of swaps."""
    found: dict[int, list[tuple[int, ...]]] = {cost: [] for cost in range(most + 1)}
    for wires in permutations(range(number)):
        if swaps(wires) <= most:
            found[swaps(wires)].append(wires)
    return found


def states(bench: Bench, cost: int) -> Iterator[State]:
    """Yield every state of a cost; one light has one fault of its own at most."""
    faults, off = single_faults(bench), plugs(bench)
    for swapped, all_wires in orders(len(bench.lights), cost).items():
        left = cost - swapped
        for number in range(left // 2 + 1):
            for chosen in product(combinations(off, number), combinations(faults, left - 2 * number)):
                together = (*chosen[0], *chosen[1])
                if possible(together):
                    yield from (State(wires, frozenset(together)) for wires in all_wires)


def possible(chosen: tuple[Fault, ...]) -> bool:
    """Tell whether faults can be there together: a light, a common wire, a plug, a board have one of a kind."""
    only = [[fault[1] for fault in chosen if fault[0] in kinds] for kinds in (OWN, ("open", "poor"), ("plug",))]
    only.append([board for fault in chosen if fault[0] == "exchanged" for board in fault[1:]])
    return all(len(set(held)) == len(held) for held in only)


def written(explanation: Explanation, bench: Bench) -> State:
    """Return an explanation as a state: channels become the lights whose wires they are, in any order that fits."""
    free = list(range(len(bench.lights)))
    wires = []
    for light, feed in enumerate(explanation.feeds):
        fitting = [other for other in free if bench.feeds[other] == feed]
        wires.append(light if light in fitting else fitting[0])
        free.remove(wires[-1])
    faults: set[Fault] = set(explanation.modes)
    faults = {(mode, light) for light, mode in explanation.modes}
    faults |= {("polarity", group) for group in explanation.turned}
    faults |= {(fault, group) for group, fault in explanation.commons}
    faults |= {("plug", *plug) for plug in explanation.plugs} | {("exchanged", *one) for one in explanation.exchanged}
    for lights in explanation.touching:
        first, *others = sorted(lights)
        faults |= {("touch", first, other) for other in others}
    return State(tuple(wires), frozenset(faults))


def random_bench(luck: Random, most: int = 6) -> Bench:
    """Return a bench of one or two signals on one or two boards, with commands that light something."""
    number = luck.randint(2, most)
    signals = ["HF1"] * number if luck.random() < 0.8 else ["HF1"] * (number - 1) + ["HF3"]
    boards = luck.choice(["A", "A", "AB", ""])
    lights = tuple(
        Light(signal, f"lamp-{index}", "red", f"{luck.choice(boards)}.{index}" if boards else "")
        for index, signal in enumerate(signals)
    )
    commands = []
    for index in range(luck.randint(2, number + 2)):
        lit = luck.sample(range(number), luck.choice([1, 1, 1, 2]))
        drives = {light: Drive(full=luck.random() < 0.8, flash=luck.random() < 0.15) for light in lit}
        commands.append(Command(("HF1", f"aspect-{index}"), drives))
    pairs = (("A", "B"),) if {light.board for light in lights} == {"A", "B"} else ()
    if not boards or luck.random() > OFTEN:
        return Bench(lights, tuple(commands), pairs)
    switched = (*lights, Light("", "", "", f"{boards[0]}.{luck.choice([number, 9])}"))
    return Bench(switched, (*commands, *Bench(switched, ()).raw), pairs)


def random_state(luck: Random, bench: Bench, faults: int) -> State:
    """Return a state with so many faults."""
    number = len(bench.lights)
    swapped = min(luck.choice([0, 0, 1, faults]), faults, number - 1)
    wires = luck.choice(orders(number, faults)[swapped])
    off = luck.sample(known, 1) if (known := plugs(bench)) and faults - swapped > 1 and luck.random() < OFTEN else []
    while True:
        chosen = luck.sample(single_faults(bench), faults - swapped - 2 * len(off))
        own = [fault[1] for fault in chosen if fault[0] in (*OWN, "open", "poor")]
        if len(set(own)) == len(own):
            return State(wires, frozenset((*off, *chosen)))
