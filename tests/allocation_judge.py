"""Judges a plan in which lamps have been given outputs, by itself: plain values in, no electrics of the program's."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

from ruamel.yaml import YAML

if TYPE_CHECKING:
    from collections.abc import Iterator

OUTPUTS: Final = {"pwm-16": 16, "shift-register-8": 8}
LIMITS: Final = {"pwm-16": (25, 10, 400), "shift-register-8": (35, 35, 70)}
"""mA that an output may take in, may give, and all of a board together (data sheets; see the parts data)."""
WAY: Final = {"common-anode": "sink", "common-cathode": "source"}
TOGETHER: Final = {
    "two-aspect-stop": ((0,), (1,)),
    "three-aspect": ((0,), (1,), (2,)),
    "four-aspect": ((0,), (1,), (2,), (0, 2), (3,)),
}
"""Which lamps of a list, from the top down, are lit at one time: British colour lights (memory)."""
Wire = tuple[str, int, str, int]
"""Signal, place in its list of lamps, board, output."""


def values(text: str) -> dict[str, Any]:
    """Return the values of a plan as another reader of YAML has them."""
    found: dict[str, Any] = YAML(typ="safe", pure=True).load(text)
    return found


def wires(plan: dict[str, Any]) -> list[Wire]:
    """Return every lamp of a list that has an output."""
    return [
        (name, place, output.split(".")[0], int(output.split(".")[1]))
        for name, signal in plan["signals"].items()
        for place, output in enumerate(map(_output, signal.get("lamps", [])))
        if output
    ]


def faults(before: str, after: str, milliamps: dict[str, Fraction], *, anew: bool = False) -> list[str]:
    """Return everything that is wrong with a plan as it is after; ``milliamps`` is what a lamp of a colour takes.

    ``anew`` lets lamps be moved that are neither built nor pinned.
    """
    old, new = values(before), values(after)
    return [
        *_moved(old, new, anew=anew),
        *_unlit(new),
        *_outputs(new),
        *_polarity(new),
        *_addresses(new),
        *_currents(new, milliamps),
    ]


def _output(lamp: Any) -> str:
    """Return the output of a lamp of a list; empty if it has none."""
    said = next(iter(lamp.values())) if isinstance(lamp, dict) else ""
    return str(said.get("output", "") if isinstance(said, dict) else said)


def _moved(old: dict[str, Any], new: dict[str, Any], *, anew: bool) -> Iterator[str]:
    """Nothing that was wired is elsewhere now, and no board is another."""
    for name, place, board, output in set(wires(old)) - set(wires(new)):
        signal = old["signals"][name]
        said = next(iter(signal["lamps"][place].values()))
        pinned = isinstance(said, dict) and said.get("pinned")
        if not anew or pinned or signal.get("stage") in ("built", "proved"):
            yield f"{name} {place} was moved from {board}.{output}"
    for name, board in (old.get("boards") or {}).items():
        if new["boards"][name] != board:
            yield f"board {name} was changed"


def _unlit(new: dict[str, Any]) -> Iterator[str]:
    """Every lamp has an output."""
    told = {(name, place) for name, place, *_ in wires(new)}
    for name, signal in new["signals"].items():
        yield from (f"{name} {place} has none" for place in range(len(signal["lamps"])) if (name, place) not in told)


def _outputs(new: dict[str, Any]) -> Iterator[str]:
    """No output lights two lamps, is not there, or is kept for something else."""
    seen = set()
    for name, place, board, output in wires(new):
        said = new["boards"][board]
        if (board, output) in seen:
            yield f"{board}.{output} is used twice"
        seen.add((board, output))
        if not 0 <= output < OUTPUTS[said["kind"]]:
            yield f"{board}.{output} is not there, for {name} {place}"
        if output in said.get("reserved", ()) or output in said.get("servos", ()):
            yield f"{board}.{output} is kept"


def _polarity(new: dict[str, Any]) -> Iterator[str]:
    """Boards drive one way, and that is how their heads are wired."""
    ways: dict[str, set[str]] = {name: {said["drive"]} for name, said in new["boards"].items() if "drive" in said}
    for name, _, board, _ in wires(new):
        if "wiring" in new["signals"][name]:
            ways.setdefault(board, set()).add(WAY[new["signals"][name]["wiring"]])
    yield from (f"board {board} drives {found}" for board, found in ways.items() if len(found) > 1)


def _addresses(new: dict[str, Any]) -> Iterator[str]:
    """Boards on the bus have addresses of their own that they may have: 0x40 to 0x77 without 0x70 (data sheet)."""
    told = [int(str(said["address"]), 16) for said in new["boards"].values() if said["kind"] == "pwm-16"]
    if len(set(told)) < len(told) or any(not 0x40 <= one <= 0x77 or one == 0x70 for one in told):
        yield f"addresses {told}"


def _currents(new: dict[str, Any], milliamps: dict[str, Fraction]) -> Iterator[str]:
    """No output and no board carries more than it may: all signals at their worst, one of them tested."""
    on: dict[str, dict[str, dict[int, Fraction]]] = {}
    for name, place, board, output in wires(new):
        takes = milliamps[_colour(new["signals"][name]["lamps"][place])]
        on.setdefault(board, {}).setdefault(name, {})[place] = takes
        said = new["boards"][board]
        way = said.get("drive") or WAY.get(new["signals"][name].get("wiring", ""), "source")
        if takes > LIMITS[said["kind"]][way == "source"]:
            yield f"{board}.{output} carries {takes}"
    for board, signals in on.items():
        total = worst([(new["signals"][name]["form"], takes) for name, takes in signals.items()])
        if total > LIMITS[new["boards"][board]["kind"]][2]:
            yield f"board {board} carries {total}"


def worst(signals: list[tuple[str, dict[int, Fraction]]]) -> Fraction:
    """Return the most that signals on a board take, by form and lamps on it; one of them is tested."""
    stands = [
        max(sum((takes.get(lamp, Fraction(0)) for lamp in lit), Fraction(0)) for lit in TOGETHER[form])
        for form, takes in signals
    ]
    gains = [sum(takes.values(), Fraction(0)) - most for (_, takes), most in zip(signals, stands, strict=True)]
    return sum(stands, Fraction(0)) + max(gains, default=Fraction(0))


def _colour(lamp: Any) -> str:
    """Return the colour of a lamp of a list."""
    return str(next(iter(lamp))) if isinstance(lamp, dict) else str(lamp)


def boards_by_outputs(sink: int, source: int, either: int, size: int = 16) -> int:
    """Return the fewest new boards for lamps of heads that want to be driven one way, the other, or either."""
    return min(-(-(sink + a) // size) - (-(source + either - a) // size) for a in range(either + 1))


def boards_by_current(signals: list[tuple[str, list[Fraction]]], size: int, limit: int) -> int:
    """Return the fewest boards of one kind for signals, by trying every way of giving each lamp a board."""
    lamps = [(number, place) for number, (_, takes) in enumerate(signals) for place in range(len(takes))]
    number = 1
    while not _fit(signals, lamps, [], number, (size, limit)):
        number += 1
    return number


def _fit(
    signals: list[tuple[str, list[Fraction]]],
    lamps: list[tuple[int, int]],
    boards: list[list[tuple[int, int]]],
    number: int,
    most: tuple[int, int],
) -> bool:
    """Tell whether the lamps that are left go on so many boards beside what is on them, of so many lamps and mA."""
    if not lamps:
        return True
    first, *others = lamps
    for board in [*boards, *([[]] if len(boards) < number else [])]:
        there = [*board, first]
        by_signal: dict[int, dict[int, Fraction]] = {}
        for signal, place in there:
            by_signal.setdefault(signal, {})[place] = signals[signal][1][place]
        total = worst([(signals[signal][0], takes) for signal, takes in by_signal.items()])
        rest = [one for one in boards if one is not board]
        if len(there) <= most[0] and total <= most[1] and _fit(signals, others, [*rest, there], number, most):
            return True
    return False
