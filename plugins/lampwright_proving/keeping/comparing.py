"""What is different between two plans of one layout: wires, parts, boards, tables, and what has to be proved again."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from msgspec import Struct, field

from lampwright.tables import tables
from lampwright.tables.fingerprint import fingerprint
from lampwright_proving.keeping.fitted import boards, parts

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from lampwright.layout import Layout
    from lampwright.tables import SignalTable
    from lampwright_proving.keeping.fitted import Fitted


class Moved(Struct, frozen=True):
    """A lamp whose wire goes to another output; None where there is none."""

    signal: str
    lamp: str
    colour: str
    old: str | None
    new: str | None


class Renamed(Struct, frozen=True):
    """A signal that is the same in all that is told to it, under another name."""

    old: str
    new: str


class Changes(Struct, frozen=True):
    """What to do after a change: wires to move, controllers to load, signals to prove again.

    ``parts`` are to be exchanged, ``boards`` to be set or exchanged. ``routes`` are signals whose routes are said
    otherwise: what that means is for others to say.
    """

    wires: tuple[Moved, ...] = ()
    parts: tuple[Fitted, ...] = ()
    boards: tuple[Fitted, ...] = ()
    controllers: tuple[str, ...] = ()
    prove: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    gone: tuple[str, ...] = field(default=())
    renamed: tuple[Renamed, ...] = ()
    routes: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        """Whether anything is to be done."""
        return self != Changes()


def changes(old: Layout, new: Layout) -> Changes:
    """Compare two plans; a signal is to be proved again if its fingerprint differs."""
    before, after = tables(old).signals, tables(new).signals
    renamed = _renamed(old, new)
    both = [name for name in after if name in before and name not in renamed]
    differing = [name for name in both if fingerprint(old, name) != fingerprint(new, name)]
    fresh = [name for name in after if name not in before and name not in renamed]
    gone = [name for name in before if name not in after and name not in renamed.values()]
    touched = [
        *(board for name in (*differing, *fresh) for board in _boards(after[name])),
        *(board for name in (*differing, *gone) for board in _boards(before[name])),
    ]
    controllers = dict.fromkeys(_controller(new, board) or _controller(old, board) for board in touched)
    same = {name: renamed.get(name, name) for name in after if name in before or name in renamed}
    return Changes(
        tuple(moved for name in both for moved in _moved(name, before[name], after[name])),
        tuple(part for name, was in same.items() for part in parts(old.signals[was], new.signals[name])),
        tuple(boards(old, new)),
        tuple(sorted(filter(None, controllers))),
        tuple(differing),
        tuple(fresh),
        tuple(gone),
        tuple(Renamed(was, name) for name, was in renamed.items()),
        tuple(name for name, was in same.items() if _routes(new, name, {}) != _routes(old, was, renamed)),
    )


def _renamed(old: Layout, new: Layout) -> dict[str, str]:
    """Return the old names of signals by their new ones: those of one fingerprint, which no other changed one has.

    A name may go on to another signal (1 is 3 now, and 3 is 5), as long as in the end one name is gone and one is new:
    where two signals only change places, their wires do.
    """
    before, after = ({name: fingerprint(plan, name) for name in tables(plan).signals} for plan in (old, new))
    was, now = (
        {name: mark for name, mark in here.items() if there.get(name) != mark}
        for here, there in ((before, after), (after, before))
    )
    counts = [Counter(marks.values()) for marks in (was, now)]
    links = {mark: name for name, mark in was.items() if all(count[mark] == 1 for count in counts)}
    found = {name: links[mark] for name, mark in now.items() if mark in links}
    return dict(link for name in found if name not in before for link in _chain(name, found, after))


def _chain(name: str, found: Mapping[str, str], after: Collection[str]) -> list[tuple[str, str]]:
    """Return a new name with the old one, then that one with its own, until one is gone; nothing if none is."""
    chain = [(name, found[name])]
    while (last := chain[-1][1]) in after:
        if last not in found:
            return []
        chain.append((last, found[last]))
    return chain


def _routes(layout: Layout, name: str, renamed: Mapping[str, str]) -> Any:
    """Return what a plan says of the routes of a signal, with the names that signals have now."""
    value: Any = layout.plan.values
    for step in layout.signals[name].entry.at("routes"):
        value = (value or {}).get(step)
    return _named(value, {was: now for now, was in renamed.items()})


def _named(value: Any, names: Mapping[str, str]) -> Any:
    """Return values in which signals have their new names."""
    if isinstance(value, dict):
        return {key: _named(held, names) for key, held in value.items()}
    if isinstance(value, list):
        return [_named(held, names) for held in value]
    return names.get(value, value) if isinstance(value, str) else value


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
