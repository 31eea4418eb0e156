"""The bench as the plan has it: the lights of some signals, and every command that a controller knows."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.tables import tables
from lampwright.tables.lamps import told
from lampwright_proving.diagnosis.bench import Bench, Command, Drive, Light

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import BoundSignal, Layout
    from lampwright.tables import Command as Told
    from lampwright.tables import LeftOut, Shine, SignalTable
    from lampwright.tables.lamps import Told as ToldLamp

Key = tuple[str, str, str]
"""A light of a signal: its lamp, and the output that feeds it; its colour where no output is said."""


class Standing(Struct, frozen=True, dict=True):
    """Signals of one plan on the bench; where one is commanded, all others stand at their failsafe.

    A lens that can change is one light for each of its LEDs, and a mixed colour is several of them at once.
    """

    layout: Layout
    names: tuple[str, ...]

    @cached_property
    def tables(self) -> dict[str, SignalTable]:
        """The tables of the signals, in the order of the plan."""
        known = tables(self.layout).signals
        return {name: known[name] for name in self.layout.signals if name in self.names and name in known}

    @cached_property
    def left_out(self) -> list[LeftOut]:
        """Signals that cannot be proved, and why."""
        return [one for one in tables(self.layout).left_out if one.signal in self.names]

    @cached_property
    def keys(self) -> dict[Key, int]:
        """The number of each light."""
        shines = (_key(name, shine) for name, table in self.tables.items() for shine in table.failsafe.lamps)
        return {key: number for number, key in enumerate(dict.fromkeys(shines))}

    @cached_property
    def bench(self) -> Bench:
        """The lights with everything that can be commanded, in the order of the tables."""
        commands = (self._command(name, command) for name, table in self.tables.items() for command in table.commands)
        return Bench(tuple(self._lights()), tuple(commands))

    @cached_property
    def by_name(self) -> dict[tuple[str, str], tuple[int, ...]]:
        """The lights that a name stands for: a lamp, a lamp with its colour; of a mixed colour they are several."""
        found: dict[tuple[str, str], dict[int, None]] = {}
        for name, table in self.tables.items():
            for shine in table.failsafe.lamps:
                number = self.keys[_key(name, shine)]
                found.setdefault((name, f"{shine.lamp} {shine.colour}"), {})[number] = None
                found.setdefault((name, self.bench.lights[number].name), {})[number] = None
        return {key: tuple(numbers) for key, numbers in found.items()}

    def signal(self, light: int) -> BoundSignal:
        """Return the signal of a light."""
        return self.layout.signals[self.bench.lights[light].signal]

    def lamps(self, light: int) -> list[ToldLamp]:
        """Return where the plan tells the lamps of a light."""
        own = self.bench.lights[light]
        fitting = [one for one in told(self.signal(light)) if own.name in (one.label, f"{one.label} {one.colour}")]
        return [one for one in fitting if own.output in one.outputs or not own.output]

    def _lights(self) -> Iterator[Light]:
        """Yield the lights by their numbers; the colour is that of a lamp lit by this one alone."""
        outputs: dict[tuple[str, str, str], set[str]] = {}
        colours: dict[Key, list[str]] = {key: [] for key in self.keys}
        for name, table in self.tables.items():
            for shine in table.failsafe.lamps:
                outputs.setdefault((name, shine.lamp, shine.colour), set()).add(shine.output or "")
                colours[_key(name, shine)].append(shine.colour)
        lamps = [(signal, lamp) for signal, lamp, _ in self.keys]
        for signal, lamp, output in self.keys:
            held = colours[signal, lamp, output]
            alone = [one for one in held if len(outputs[signal, lamp, one]) == 1] or held
            several = lamps.count((signal, lamp)) > 1
            wired = output if "." in output else ""
            yield Light(signal, f"{lamp} {alone[0]}" if several else lamp, alone[0], wired)

    def _command(self, signal: str, command: Told) -> Command:
        """Return a command with what it lights, on its own signal and on those that stand beside it."""
        others = ((name, table.failsafe) for name, table in self.tables.items() if name != signal)
        lit: dict[int, Drive] = {}
        for name, shown in ((signal, command), *others):
            outputs = shown.outputs
            for shine in shown.lamps:
                asked = outputs.get(shine.output or "", shine)
                if asked.lit:
                    lit[self.keys[_key(name, shine)]] = Drive(asked.level == 1, asked.flash is not None)
        return Command((signal, command.name), lit, command.number)


def _key(signal: str, shine: Shine) -> Key:
    """Return what tells one light from others."""
    return signal, shine.lamp, shine.output or f"in {shine.colour}"


def standing(layout: Layout, names: Sequence[str]) -> Standing:
    """Return signals of a plan on the bench; all it has if none is named."""
    return Standing(layout, tuple(names or layout.signals))


def command_of(bench: Bench, signal: str, said: str) -> Command | None:
    """Return a command by its name or its number; None if there is none."""
    for command in bench.commands:
        if command.key[0] == signal and said in (command.key[1], str(command.number)):
            return command
    return None
