"""What the controllers of a plan play, found by signal and output; and how far whole steps are off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.tables import tables
from lampwright_wiring.export.formats import Refused
from lampwright_wiring.levels import duty
from lampwright_wiring.model import bind
from lampwright_wiring.player.numbers import Unplayable, count
from lampwright_wiring.player.scaled import programs
from lampwright_wiring.pulses import refresh_time
from lampwright_wiring.saying import seconds

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright.layout import Layout
    from lampwright_wiring.player.numbers import Place, Program, Way


class Driven(Struct, frozen=True):
    """An output of a signal with the controller that drives it, and what it does under each command by number."""

    program: Program
    place: Place
    ways: dict[int, Way]


class Step(Struct, frozen=True):
    """A share of lightness (L* / 100) on a board of ``top`` steps: its ``light``, exact, and the ``level`` taken."""

    lightness: Fraction
    top: int
    light: Fraction
    level: int


def played(layout: Layout) -> tuple[Program, ...]:
    """Return what each controller plays; nothing if no lamp has an output. Raises Refused if that cannot be told."""
    if not any(table.outputs for table in tables(layout).signals.values()):
        return ()
    try:
        return programs(layout)
    except Unplayable as trouble:
        raise Refused(str(trouble)) from trouble


def driven(found: tuple[Program, ...]) -> dict[tuple[str, str], Driven]:
    """Return every output by its signal and name."""
    return {
        (signal.table.signal, str(place.output)): Driven(
            program,
            place,
            {row.command.number: program.ways[row.ways[index]] for row in signal.rows},
        )
        for program in found
        for signal in program.signals
        for index, place in enumerate(signal.places)
    }


def steps(layout: Layout, found: tuple[Program, ...]) -> tuple[Step, ...]:
    """Return every share of lightness in use on each sort of board, least first."""
    used = {
        (shine.level, one.place.top)
        for (signal, output), one in driven(found).items()
        for command in tables(layout).signals[signal].commands
        if (shine := command.outputs[output]).lit
    }
    return tuple(Step(level, top, duty(level), count(level, top)) for level, top in sorted(used))


def lagging(layout: Layout, found: tuple[Program, ...]) -> Iterator[str]:
    """Say which controllers fade in steps that their bus cannot keep up with."""
    wiring = bind(layout)
    for program in found:
        takes = refresh_time(wiring, program.controller)
        if takes is not None and takes * 1000 > program.step and len(program.fades) > 1:
            yield (
                f"fades of {program.controller} step every {program.step} ms, and its bus takes {seconds(takes)} to "
                "set all outputs: give it a longer `step`, or a faster `bus`"
            )
