"""What stands on the bench: lights, the outputs meant to feed them, and what can be commanded."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright_proving.diagnosis.sights import DARK, DIM, FLASH, LIT, Rows, packed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from lampwright_proving.diagnosis.faults import Explanation

SIGNAL, BOARD = "signal", "board"


class Light(Struct, frozen=True):
    """One lamp of a signal in one colour, and the output the plan feeds it from (empty if it says none)."""

    signal: str
    name: str
    colour: str = ""
    output: str = ""

    @property
    def vacant(self) -> bool:
        """Whether it stands for an output that feeds no lamp by the plan: some wire may be found there."""
        return not self.signal

    @property
    def board(self) -> str:
        """The board of its output."""
        return self.output.rpartition(".")[0]

    @property
    def label(self) -> str:
        """What a person calls it: ``HF3 upper-yellow``."""
        return f"output {self.output}" if self.vacant else f"{self.signal} {self.name}"


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


Pin = tuple[str, int | str]
"""An output as its board and its number, or its name if that is no number."""


def pin_of(output: str) -> Pin:
    """Return an output as its board and its number."""
    board, _, name = output.rpartition(".")
    return board, int(name) if name.isdecimal() else name


class Bench(Struct, frozen=True, dict=True):
    """Lights and commands. ``feeds`` of a light is the number of its channel: lights on one output share one.

    ``pairs`` are boards that could be taken for each other, by their plugs or their addresses; ``others`` outputs
    that are lit by signals which are not here, and stand at their failsafe.
    """

    lights: tuple[Light, ...]
    commands: tuple[Command, ...]
    pairs: tuple[tuple[str, str], ...] = ()
    others: Mapping[str, Drive] = {}

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
            if not light.vacant:
                found.setdefault((SIGNAL, light.signal), set()).add(number)
            if light.output:
                found.setdefault((BOARD, light.board), set()).add(number)
        return {group: frozenset(lights) for group, lights in found.items()}

    @cached_property
    def pins(self) -> tuple[Pin, ...]:
        """Each channel as board and number."""
        return tuple(map(pin_of, self.channels))

    def pin(self, explanation: Explanation, light: int) -> Pin:
        """Return where the wire of a light is: its plug may sit some places off."""
        board, number = self.pins[explanation.feeds[light]]
        step = next((step for lights, step in explanation.plugs if light in lights), 0)
        return (board, number + step) if step and board and isinstance(number, int) else (board, number)

    @cached_property
    def plugs(self) -> tuple[frozenset[int], ...]:
        """The lights of a signal on outputs that follow each other: they may be in one plug."""
        runs: list[set[int]] = []
        last: tuple[str, str, int] | None = None
        for signal, board, number, light in sorted(self._numbered()):
            if last is None or (signal, board) != last[:2] or number > last[2] + 1:
                runs.append(set())
            runs[-1].add(light)
            last = signal, board, number
        return tuple(frozenset(run) for run in runs if self.places(run) > 1)

    def _numbered(self) -> Iterator[tuple[str, str, int, int]]:
        """Yield signal, board, number of the output, and number of each light whose output has one."""
        for light, own in enumerate(self.lights):
            board, number = self.pins[self.feeds[light]]
            if board and isinstance(number, int) and not own.vacant:
                yield own.signal, board, number, light

    def places(self, lights: Iterable[int]) -> int:
        """Return how many outputs are meant to feed some lights."""
        return len({self.feeds[light] for light in lights})

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
            [*(self._row(light, turned=False) for light in lights), self.rows.dark, *self._others(turned=False)],
            [*(self._row(light, turned=True) for light in lights), self.rows.lit, *self._others(turned=True)],
        )
        self.boards = [bench.lights[light].board for light in lights]
        self.nowhere = len(lights)
        self._channel = {pin_of(output): self.nowhere + number for number, output in enumerate(bench.others, 1)}
        self._channel |= {pin: channel for channel, pin in enumerate(bench.pins)}

    def reached(self, explanation: Explanation, light: int) -> tuple[int, str]:
        """Return the channel that feeds a light, and the board that the controller takes it to be on.

        An output that no command is about is ``nowhere``: it is never switched on. Behind that are those of others.
        """
        feed = explanation.feeds[light]
        if not explanation.plugs and not explanation.exchanged:
            return feed, self.boards[feed]
        board, number = self.bench.pin(explanation, light)
        for one, other in explanation.exchanged:
            if board in {one, other}:
                board = other if board == one else one
                break
        return self._channel.get((board, number), self.nowhere), board

    def _others(self, *, turned: bool) -> Iterator[int]:
        """Yield what the outputs of others show: always the same, but for outputs switched by hand."""
        for drive in self.bench.others.values():
            yield packed(_sight(None if command.raw else drive, turned=turned) for command in self.commands)

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
