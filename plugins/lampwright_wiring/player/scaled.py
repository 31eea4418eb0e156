"""From the tables of a plan to whole numbers: what one controller plays, in the steps of its boards."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.tables import tables
from lampwright.tables.fingerprint import fingerprint, plan_fingerprint
from lampwright.words import listed
from lampwright_wiring.model import SINK, Output, bind
from lampwright_wiring.player.curves import fade
from lampwright_wiring.player.numbers import Place, Played, Program, Row, Turn, Unplayable, Way, count, fit, turn
from lampwright_wiring.player.refusals import know_boards, once_each

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lampwright.layout import Layout
    from lampwright.tables import Beat, Command, Shine, SignalTable
    from lampwright_wiring.model import Board, Wiring

USUAL_STEP: Final = 20
"""Milliseconds between two steps where the plan does not say."""


def programs(layout: Layout) -> tuple[Program, ...]:
    """Return what each controller plays that reaches a lamp, in the order of the plan.

    Raises Unplayable if nothing is wired, a board is not known well enough, or a number does not fit.
    """
    wiring = bind(layout)
    outputs = [output for table in tables(layout).signals.values() for output in table.outputs]
    know_boards(wiring, outputs)
    once_each(layout)
    names = dict.fromkeys(wiring.boards[_board(output)].controller for output in outputs)
    found = tuple(_Builder(layout, wiring, name).program() for name in sorted(names, key=_order(wiring)))
    if not found:
        raise Unplayable("no lamp of the plan has an output: `lampwright wire` helps to give them some")
    return found


class _Builder:
    """Builds the program of one controller."""

    def __init__(self, layout: Layout, wiring: Wiring, name: str) -> None:
        self.layout = layout
        self.wiring = wiring
        self.name = name
        self.boards = tuple(board for board in wiring.boards.values() if board.controller == name)
        self.ways: dict[Way, int] = {Way(): 0}
        self.beats: dict[Beat | None, int] = {None: 0}
        self.kinds: dict[str, int] = {"": 0}

    def program(self) -> Program:
        """Return the program."""
        controller = self.wiring.controllers.get(self.name)
        step = max(1, round(controller.step * 1000)) if controller and controller.step else USUAL_STEP
        signals = tuple(self._signals())
        beats = (Turn(), *(turn(beat) for beat in self.beats if beat is not None))
        made = Program(
            self.name,
            plan_fingerprint(self.layout),
            step,
            self.boards,
            signals,
            tuple(self.ways),
            beats,
            tuple(fade(kind, step) for kind in self.kinds),
        )
        fit(made)
        return made

    def _signals(self) -> Iterator[Played]:
        """Yield the signals that have a lamp here."""
        for table in tables(self.layout).signals.values():
            outputs = [one for one in table.outputs if self.wiring.boards[_board(one)] in self.boards]
            if outputs:
                rows = tuple(Row(one, tuple(self._way(one, output) for output in outputs)) for one in table.commands)
                places = tuple(self._place(table, rows, index, output) for index, output in enumerate(outputs))
                failsafe = table.commands.index(table.failsafe)
                yield Played(table, fingerprint(self.layout, table.signal), places, rows, failsafe)

    def _way(self, command: Command, output: str) -> int:
        """Return the number of what an output does under a command."""
        shine = command.outputs[output]
        top = _top(self.wiring.boards[_board(output)])
        way = Way()
        if shine.lit:
            low = count(shine.level * shine.flash.floor, top) if shine.flash and top > 1 else 0
            way = Way(count(shine.level, top), low, self.beats.setdefault(shine.flash, len(self.beats)))
        return self.ways.setdefault(way, len(self.ways))

    def _place(self, table: SignalTable, rows: tuple[Row, ...], index: int, name: str) -> Place:
        """Return an output of a signal."""
        board = self.wiring.boards[_board(name)]
        output = Output(board.name, name.partition(".")[2])
        hung = [shine for shine in table.failsafe.lamps if shine.output == name]
        ways = tuple(self.ways)
        return Place(
            output,
            self.boards.index(board),
            board.address,
            _channel(board, output),
            _lit_low(self.wiring, output),
            _top(board),
            max(ways[row.ways[index]].high for row in rows) or _top(board),
            self._fade(table, hung, _top(board)),
            tuple(dict.fromkeys(_lamp(shine) for shine in hung)),
        )

    def _fade(self, table: SignalTable, hung: list[Shine], top: int) -> int:
        """Return the number of how an output fades: as its lamp, else its signal; not where the board cannot dim."""
        said = next((shine.fades for shine in hung if shine.fades), table.fades) if top > 1 else ""
        return self.kinds.setdefault(said, len(self.kinds))


def _board(output: str) -> str:
    """Return the board of an output as a plan writes it."""
    return output.partition(".")[0]


def _lamp(shine: Shine) -> str:
    """Return what a lamp is called, its colour added where its name does not tell."""
    return shine.lamp if not shine.colour or shine.colour in shine.lamp else f"{shine.lamp} {shine.colour}"


def _top(board: Board) -> int:
    """Return the level of full light: the last step of a board that dims, else 1."""
    return board.kind.pwm.steps - 1 if board.kind and board.kind.pwm else 1


def _channel(board: Board, output: Output) -> int:
    """Return the number of an output: its name; those called otherwise come after all numbers, in the kind's order."""
    names = board.kind.outputs if board.kind else ()
    if output.name.isdecimal():
        return int(output.name)
    if output.name not in names:
        raise Unplayable(f"board {board.name} has no output {output.name}: it has {listed(names)}")
    last = max((int(name) for name in names if name.isdecimal()), default=-1)
    return last + 1 + [name for name in names if not name.isdecimal()].index(output.name)


def _lit_low(wiring: Wiring, output: Output) -> bool:
    """Tell whether an output is low when what hangs on it is lit."""
    return any(feed.draw.output_way == SINK for _, feed in wiring.by_output.get(output, ()))


def _order(wiring: Wiring) -> Callable[[str], int]:
    """Return a key by which controllers come as in the plan."""
    names = list(wiring.controllers)
    return lambda name: names.index(name) if name in names else len(names)
