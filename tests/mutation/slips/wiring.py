"""Slips in how lamps are wired: outputs, boards and their addresses, polarity."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from mutation.plans import Mutant, put, slip, spread, without
from mutation.signals import lamps

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values

GROUP = "wiring"
POLARITY = {"common-anode": "common-cathode", "common-cathode": "common-anode"}
DRIVE = {"sink": "source", "source": "sink"}


@slip(GROUP, blind="which wire hangs where the plan says once; proving on the bench finds it, and no plan")
def channels_swapped(values: Values) -> Iterator[Mutant]:
    """Swap the outputs of two lamps of one signal."""
    for one, other in combinations(lamps(values), 2):
        if one[0] == other[0]:
            made = put(put(values, one[1], other[3]), other[1], one[3])
            yield Mutant(f"{one[0]}: {one[3]} and {other[3]}", made, ("signals", one[0], "lamps"), held=False)


@slip(GROUP)
def channel_twice(values: Values) -> Iterator[Mutant]:
    """Hang a lamp on the output of another: of its own signal, and of another one."""
    found = list(lamps(values))
    for number, (signal, place, colour, output) in enumerate(found):
        others = [one for one in found[:number] if one[0] == signal][:1] + [one for one in found if one[0] != signal][
            :1
        ]
        for other in others:
            yield Mutant(f"{signal} {colour}: {other[3]} for {output}", put(values, place, other[3]), place)


@slip(GROUP, blind="the plan does not say what board it is")
def channel_out_of_range(values: Values) -> Iterator[Mutant]:
    """Hang a lamp on an output that is one too far, or far too far."""
    for signal, place, colour, output in lamps(values):
        board = output.partition(".")[0]
        for number in (16, 99):
            made = put(values, place, f"{board}.{number}")
            yield Mutant(f"{signal} {colour}: {number}", made, place, held=board in values.get("boards", {}))


@slip(GROUP, blind="no board says which way its outputs drive")
def polarity_flipped(values: Values) -> Iterator[Mutant]:
    """Give a signal the other polarity."""
    for name, signal in values["signals"].items():
        if (said := (signal or {}).get("wiring")) in POLARITY:
            place = ("signals", name, "wiring")
            boards = {output.partition(".")[0] for owner, _, _, output in lamps(values) if owner == name}
            held = any("drive" in values.get("boards", {}).get(board, {}) for board in boards)
            yield Mutant(name, put(values, place, POLARITY[said]), place, held)


@slip(GROUP)
def drive_flipped(values: Values) -> Iterator[Mutant]:
    """Let the outputs of a board drive the other way."""
    for name, board in values.get("boards", {}).items():
        if board.get("drive") in DRIVE:
            place = ("boards", name, "drive")
            yield Mutant(name, put(values, place, DRIVE[board["drive"]]), place)


@slip(GROUP)
def address_twice(values: Values) -> Iterator[Mutant]:
    """Set two boards of one controller to one address."""
    boards = values.get("boards", {})
    for one, other in combinations(boards, 2):
        if boards[one].get("controller") == boards[other].get("controller") and "address" in boards[one]:
            place = ("boards", other, "address")
            yield Mutant(f"{one} and {other}", put(values, place, boards[one]["address"]), place)


@slip(GROUP)
def address_out_of_range(values: Values) -> Iterator[Mutant]:
    """Set a board to an address that its kind cannot have."""
    for name, board in values.get("boards", {}).items():
        for wrong in ("0x20", "0x70", "0x7C") if "address" in board else ():
            place = ("boards", name, "address")
            yield Mutant(f"{name}: {wrong}", put(values, place, wrong), place)


@slip(GROUP)
def kind_misspelt(values: Values) -> Iterator[Mutant]:
    """Misspell a kind of board, controller, supply or LED."""
    for group in ("boards", "controllers", "supplies", "leds"):
        for name, said in values.get(group, {}).items():
            if isinstance(said, dict) and "kind" in said:
                place = (group, name, "kind")
                yield Mutant(f"{group} {name}", put(values, place, f"{said['kind']}x"), place)


@slip(GROUP, blind="one board without a controller of its own is no contradiction")
def board_dropped(values: Values) -> Iterator[Mutant]:
    """Leave out a board that lamps hang on."""
    for name in spread(list(values.get("boards", {})), 9):
        yield Mutant(name, without(values, ("boards", name)), ("signals",))
