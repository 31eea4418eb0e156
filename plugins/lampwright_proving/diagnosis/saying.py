"""Explanations in words, and what by hand tells those apart that looking cannot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.words import listed
from lampwright_proving.diagnosis.bench import SIGNAL
from lampwright_proving.diagnosis.faults import DEAD, FLICKERING, OPEN, STEADY, STUCK, TURNED, WEAK

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lampwright_proving.diagnosis.bench import Bench, Group, Pin
    from lampwright_proving.diagnosis.faults import Explanation

MODES = {
    TURNED: "is the other way round: dark when it should be lit, and lit when it should be dark",
    DEAD: "is dead, or an LED put in the wrong way round",
    STUCK: "is lit whatever is commanded",
    WEAK: "is too dim",
    STEADY: "does not flash",
    FLICKERING: "flashes where it should be steady",
}
NOWHERE = "lights for nothing: its wire is on none of these outputs, or it is dead"
"""What is to be said of a lamp whose wire must have been moved, but that was never seen lit."""
HANDS = {
    TURNED: "take {} off its output: one that is the other way round goes dark or stays lit with its own wire alone",
    DEAD: "turn {} round if it is an LED; then hang it on an output that is known to work: a dead one stays dark there",
    STUCK: "take the wire of {} off its output: if it stays lit, the wire touches another or the supply",
    WEAK: "measure the resistor and the joints of {}",
    STEADY: "load the tables anew, then look at {} again: the controller makes it flash",
    FLICKERING: "move the wires and joints of {}: a loose one flickers without a beat",
}
SWITCH = "switch outputs of that board by hand, one by one, and see which of them lights {}"
NOTHING = "all is as it should be"


def rings(bench: Bench, explanation: Explanation) -> list[list[int]]:
    """Return the lights whose wires are swapped: in each ring, every light has the wire of the next."""
    moved = [light for light, feed in enumerate(explanation.feeds) if feed != bench.feeds[light]]
    found = []
    while moved:
        ring = [moved.pop(0)]
        while (nxt := _owner(bench, explanation.feeds[ring[-1]], moved)) is not None:
            moved.remove(nxt)
            ring.append(nxt)
        found.append(ring)
    return found


def _owner(bench: Bench, feed: int, among: Iterable[int]) -> int | None:
    """Return the light that is meant to be fed by a channel, if it is among some."""
    return next((light for light in among if bench.feeds[light] == feed), None)


def clauses(bench: Bench, explanation: Explanation) -> list[str]:
    """Return what is wrong, a clause for each fault; a single one if nothing is."""
    return [clause for clause, _ in _told(bench, explanation)] or [NOTHING]


def by_hand(bench: Bench, explanations: Sequence[Explanation]) -> list[str]:
    """Return what to measure or to change over: each decides one fault that not all of these explanations have."""
    told = [dict(_told(bench, explanation)) for explanation in explanations]
    everywhere = set.intersection(*map(set, told)) if told else set()
    hints = {hint: None for faults in told for clause, hint in faults.items() if clause not in everywhere}
    return list(hints)


def _told(bench: Bench, explanation: Explanation) -> Iterator[tuple[str, str]]:
    """Yield each fault in a clause, with what can be done by hand to see if it is there."""
    for group in sorted(explanation.turned):
        yield _polarity(group)
    for group, fault in sorted(explanation.commons):
        yield _common(group, fault)
    for plug, step in sorted(explanation.plugs, key=lambda one: min(one[0])):
        yield _plug(bench, explanation, sorted(plug), step)
    for one, other in sorted(explanation.exchanged):
        yield (
            f"boards {one} and {other} are exchanged: each lights what is meant for the other",
            f"read the addresses set on boards {one} and {other}, and follow their plugs: one way or the other",
        )
    moved = rings(bench, explanation)
    for ring in moved:
        yield _swapped(bench, explanation, ring)
    for lights in sorted(map(sorted, explanation.touching)):
        names = listed(bench.lights[light].label for light in lights)
        yield (
            f"the wires of {names} touch",
            f"with the power off, measure between the wires of {names}: none may conduct",
        )
    for light, mode in sorted(explanation.modes):
        label = bench.lights[light].label
        if mode == DEAD and any(light in ring for ring in moved):
            yield f"{label} {NOWHERE}", SWITCH.format(label)
        else:
            yield f"{label} {MODES[mode]}", HANDS[mode].format(label)


def _polarity(group: Group) -> tuple[str, str]:
    """Return the clause and the hint of a whole group of the other polarity."""
    kind, name = group
    if kind == SIGNAL:
        return (
            f"the whole of {name} is of the other polarity: dark lamps are lit, and lit ones dark",
            f"measure whether the common wire of {name} is on the positive side of the supply (common anode) or not",
        )
    return (
        f"board {name} drives the other way: all its outputs are on when they should be off",
        f"look at another signal on board {name}: if it is right, the board is; or measure an output switched off",
    )


def _common(group: Group, fault: str) -> tuple[str, str]:
    """Return the clause and the hint of a fault of a common wire."""
    kind, name = group
    how = "is off" if fault == OPEN else "has a bad contact"
    if kind == SIGNAL:
        hint = f"measure from the common wire of {name} to the supply while lamps should be lit: no voltage may be lost"
        return f"the common wire of {name} {how}", hint
    hint = f"look at another signal on board {name}: if it is right, the common wire of the board is"
    if fault == OPEN:
        why = "the common wire of its lamps is off, it gets no power, or it answers to another address"
        dark = f"if it is dark too, measure the supply of board {name}, and read the address set on it"
        return f"board {name} lights nothing: {why}", f"{hint}; {dark}"
    return f"the common wire of the lamps on board {name} {how}", hint


def _plug(bench: Bench, explanation: Explanation, lights: Sequence[int], step: int) -> tuple[str, str]:
    """Return the clause and the hint of a plug off its place."""
    signal = bench.lights[lights[0]].signal
    places = "one place" if abs(step) == 1 else f"{abs(step)} places"
    way = "up" if step > 0 else "down"
    pins = {light: pin_name(bench.pin(explanation, light)) for light in lights}
    now = listed(f"{bench.lights[light].name} as if on {pin or 'none'}" for light, pin in pins.items())
    return (
        f"all wires of {signal} are {places} {way}, as when its plug sits {places} off: {now}",
        f"look how the plug of {signal} sits",
    )


def pin_name(pin: Pin) -> str:
    """Return an output as the plan writes it; empty for one before the first."""
    if isinstance(pin[1], int) and pin[1] < 0:
        return ""
    return f"{pin[0]}.{pin[1]}" if pin[0] else str(pin[1])


def _swapped(bench: Bench, explanation: Explanation, ring: Sequence[int]) -> tuple[str, str]:
    """Return the clause and the hint of swapped wires."""
    lit = [light for light in ring if not bench.lights[light].vacant and explanation.mode(light) != DEAD]
    labels = listed(bench.lights[light].label for light in lit)
    outputs = listed(f"{bench.lights[light].label} is on {bench.channels[explanation.feeds[light]]}" for light in lit)
    if len(lit) < len(ring):
        homes = listed(bench.channel_name(light) for light in lit)
        moved = outputs if len(lit) == 1 else f"the wires of {labels} are moved: {outputs}"
        return f"{moved}, and the plan has {homes}", f"follow the wires of {labels} to their outputs"
    return f"the wires of {labels} are swapped: {outputs}", f"follow the wires of {labels} to their outputs"
