"""The bench as the plan has it: the lights of some signals, and every command that a controller knows."""

from __future__ import annotations

from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from lampwright.rulebooks.codec import as_text
from lampwright.tables import tables
from lampwright.tables.lamps import told
from lampwright.tables.outputs import of_board
from lampwright_proving.diagnosis.bench import Bench, Command, Drive, Light

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lampwright.layout import BoundSignal, Layout
    from lampwright.tables import Command as Told
    from lampwright.tables import LeftOut, Shine, SignalTable
    from lampwright.tables.lamps import Told as ToldLamp

Key = tuple[str, str, str]
"""A light of a signal: its lamp, and the output that feeds it; its colour where no output is said."""


class Standing(Struct, frozen=True, dict=True):
    """Signals of one plan on the bench; where one is commanded, all others stand at their failsafe.

    A lens that can change is one light for each of its LEDs, and a mixed colour is several of them at once. ``spare``
    are outputs that feed none of them, and were switched by hand.
    """

    layout: Layout
    names: tuple[str, ...]
    spare: tuple[str, ...] = ()

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
        vacant = (Light("", "", "", output) for output in self.spare)
        return Bench((*self._lights(), *vacant), tuple(commands), self._pairs, self._others)

    @property
    def _others(self) -> dict[str, Drive]:
        """The outputs that are lit by signals which are not here, at their failsafe."""
        others = (table for name, table in tables(self.layout).signals.items() if name not in self.tables)
        lit = (one for table in others for one in table.failsafe.outputs.items() if one[1].lit)
        return {output: Drive(shine.level == 1, shine.flash is not None) for output, shine in lit}

    @property
    def _pairs(self) -> tuple[tuple[str, str], ...]:
        """Boards that one controller drives, two by two."""
        boards: Mapping[str, Any] = self.layout.plan.values.get("boards") or {}
        used = sorted({light.board for light in self._lights() if light.board})
        controllers = {name: as_text((boards.get(name) or {}).get("controller")) for name in used}
        return tuple(pair for pair in combinations(used, 2) if controllers[pair[0]] == controllers[pair[1]])

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


def standing(layout: Layout, names: Sequence[str], switched: Sequence[str] = ()) -> Standing:
    """Return signals of a plan on the bench; all it has if none is named.

    Of outputs that were switched by hand, those are kept that boards of the plan have and no lamp here is meant for.
    """
    stands = Standing(layout, tuple(names or layout.signals))
    spare = [name for name in switched if name not in stands.bench.channels and _exists(layout, name)]
    return replace(stands, spare=tuple(spare)) if spare else stands


def _exists(layout: Layout, output: str) -> bool:
    """Tell whether a board of the plan has an output; of a kind that is not known, any may be there."""
    board = output.rpartition(".")[0]
    known = of_board(layout, board)
    return board in (layout.plan.values.get("boards") or {}) and (known is None or output in known)


def command_of(bench: Bench, signal: str, said: str) -> Command | None:
    """Return a command by its name or its number; None if there is none."""
    for command in bench.commands:
        if command.key[0] == signal and said in (command.key[1], str(command.number)):
            return command
    return None
