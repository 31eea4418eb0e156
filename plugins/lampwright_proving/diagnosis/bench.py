"""What stands on the bench: lights, the outputs meant to feed them, and what can be commanded."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright_proving.diagnosis.sights import DARK, DIM, FLASH, LIT, Rows, packed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

SIGNAL, BOARD = "signal", "board"


class Light(Struct, frozen=True):
    """One lamp of a signal in one colour, and the output the plan feeds it from (empty if it says none)."""

    signal: str
    name: str
    colour: str = ""
    output: str = ""

    @property
    def board(self) -> str:
        """The board of its output."""
        return self.output.rpartition(".")[0]

    @property
    def label(self) -> str:
        """What a person calls it: ``HF3 upper-yellow``."""
        return f"{self.signal} {self.name}"


class Drive(Struct, frozen=True):
    """How a light is to be lit: its share of full lightness above 0, or dark at 0; steady or flashing."""

    full: bool = True
    flash: bool = False


class Command(Struct, frozen=True):
    """Something that can be commanded, with the lights it lights (by number); all others are dark.

    ``key`` names it in a file of what was seen: a signal with an aspect, or ``outputs`` with the outputs switched on.
    """

    key: tuple[str, str]
    lit: Mapping[int, Drive]
    number: int | None = None
    raw: bool = False


Group = tuple[str, str]
"""Lights that share a fault: ``("signal", "HF3")``, ``("board", "A")``."""


class Bench(Struct, frozen=True, dict=True):
    """Lights and commands. ``feeds`` of a light is the number of its channel: lights on one output share one."""

    lights: tuple[Light, ...]
    commands: tuple[Command, ...]

    @cached_property
    def channels(self) -> tuple[str, ...]:
        """The outputs that feed the lights, each once; a light without one has a channel of its own."""
        return tuple(dict.fromkeys(self.channel_name(number) for number in range(len(self.lights))))

    @cached_property
    def feeds(self) -> tuple[int, ...]:
        """The channel that is meant to feed each light."""
        return tuple(self.channels.index(self.channel_name(number)) for number in range(len(self.lights)))

    def channel_name(self, light: int) -> str:
        """Return the output of a light; its own name, which no output has, if there is none."""
        return self.lights[light].output or f"the output of {self.lights[light].label}"

    @cached_property
    def groups(self) -> dict[Group, frozenset[int]]:
        """The lights of each signal, and of each board by the plan."""
        found: dict[Group, set[int]] = {}
        for number, light in enumerate(self.lights):
            found.setdefault((SIGNAL, light.signal), set()).add(number)
            if light.output:
                found.setdefault((BOARD, light.board), set()).add(number)
        return {group: frozenset(lights) for group, lights in found.items()}

    @cached_property
    def raw(self) -> tuple[Command, ...]:
        """Outputs switched by hand: none of them, then each alone."""
        wired = [name for name in self.channels if any(light.output == name for light in self.lights)]
        alone = [
            Command(
                ("outputs", name),
                {number: Drive() for number, light in enumerate(self.lights) if light.output == name},
                raw=True,
            )
            for name in wired
        ]
        return (Command(("outputs", "none"), {}, raw=True), *alone)


class Circuit:
    """A bench over a list of commands: what every channel shows, the right way round and the other way."""

    def __init__(self, bench: Bench, commands: Sequence[Command]) -> None:
        self.bench = bench
        self.commands = tuple(commands)
        self.rows = Rows(len(self.commands))
        first = {channel: number for number, channel in reversed(list(enumerate(bench.feeds)))}
        lights = [first[channel] for channel in range(len(bench.channels))]
        self.shown = (
            [self._row(light, turned=False) for light in lights],
            [self._row(light, turned=True) for light in lights],
        )
        self.boards = [bench.lights[light].board for light in lights]

    def _row(self, light: int, *, turned: bool) -> int:
        """Return what a light shows if nothing but perhaps its polarity is wrong."""
        return packed(_sight(command.lit.get(light), turned=turned) for command in self.commands)


def _sight(drive: Drive | None, *, turned: bool) -> int:
    """Return what is seen of one light; one that is only partly on glows when it is turned round."""
    if drive is not None and drive.flash:
        return FLASH
    if not turned:
        return DARK if drive is None else LIT
    if drive is None:
        return LIT
    return DARK if drive.full else LIT | DIM
