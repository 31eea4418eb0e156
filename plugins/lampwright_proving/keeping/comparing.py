"""What is different between two plans of one layout: wires, tables, and what has to be proved again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct, field

from lampwright.tables import tables
from lampwright.tables.fingerprint import fingerprint

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright.tables import SignalTable


class Moved(Struct, frozen=True):
    """A lamp whose wire goes to another output; None where there is none."""

    signal: str
    lamp: str
    colour: str
    old: str | None
    new: str | None


class Changes(Struct, frozen=True):
    """What to do after a change: wires to move, controllers to load, signals to prove again."""

    wires: tuple[Moved, ...] = ()
    controllers: tuple[str, ...] = ()
    prove: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    gone: tuple[str, ...] = field(default=())

    def __bool__(self) -> bool:
        """Whether anything is to be done."""
        return bool(self.wires or self.controllers or self.prove or self.new or self.gone)


def changes(old: Layout, new: Layout) -> Changes:
    """Compare two plans; a signal is to be proved again if its fingerprint differs."""
    before, after = tables(old).signals, tables(new).signals
    both = [name for name in after if name in before]
    differing = [name for name in both if fingerprint(old, name) != fingerprint(new, name)]
    fresh = [name for name in after if name not in before]
    gone = [name for name in before if name not in after]
    touched = [
        *(board for name in (*differing, *fresh) for board in _boards(after[name])),
        *(board for name in (*differing, *gone) for board in _boards(before[name])),
    ]
    controllers = dict.fromkeys(_controller(new, board) or _controller(old, board) for board in touched)
    return Changes(
        tuple(moved for name in both for moved in _moved(name, before[name], after[name])),
        tuple(sorted(filter(None, controllers))),
        tuple(differing),
        tuple(fresh),
        tuple(gone),
    )


def _moved(name: str, before: SignalTable, after: SignalTable) -> list[Moved]:
    """Return the lamps of a signal whose outputs differ."""
    old, new = _wires(before), _wires(after)
    return [
        Moved(name, *lamp, old.get(lamp), new.get(lamp))
        for lamp in dict.fromkeys((*old, *new))
        if old.get(lamp) != new.get(lamp)
    ]


def _wires(table: SignalTable) -> dict[tuple[str, str], str]:
    """Return the output of every lamp in each of its colours; several in one text."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    for command in table.commands:
        for shine in command.lamps:
            if shine.output is not None:
                found.setdefault((shine.lamp, shine.colour), {})[shine.output] = None
    return {lamp: " and ".join(outputs) for lamp, outputs in found.items()}


def _boards(table: SignalTable) -> list[str]:
    """Return the boards of a signal."""
    return [output.partition(".")[0] for output in table.outputs]


def _controller(layout: Layout, board: str) -> str:
    """Return the controller of a board; the board itself if none is said, nothing if it is not there."""
    said = (layout.plan.values.get("boards") or {}).get(board)
    return "" if said is None else str((said or {}).get("controller", board))
