"""What a signal's tables, outputs and polarity hash to: the number on the bench card and in the controller."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.tables.building import tables

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.layout import Layout
    from lampwright.tables.model import Beat, Command, Shine, SignalTable

DIGITS: Final = 8
OF_BOARDS: Final = ("address", "after", "controller", "drive")
"""What is said of a board that decides which lamp a controller reaches, and what lights it."""


def fingerprint(layout: Layout, signal: str) -> str:
    """Return eight hexadecimal digits for a signal: the same as long as what it is told, and how, is the same.

    Raises KeyError if the signal has no table.
    """
    return _digest(_of_signal(layout, tables(layout).signals[signal]))


def plan_fingerprint(layout: Layout) -> str:
    """Return eight hexadecimal digits for all signals of a plan that have tables; worked out once."""
    if "fingerprint" not in layout.cache:
        found = tables(layout).signals
        layout.cache["fingerprint"] = _digest([[name, _of_signal(layout, table)] for name, table in found.items()])
    return str(layout.cache["fingerprint"])


def _of_signal(layout: Layout, table: SignalTable) -> list[Any]:
    """Return everything that counts for a signal, as plain values."""
    boards = {output.partition(".")[0] for output in table.outputs}
    said: Mapping[str, Any] = layout.plan.values.get("boards") or {}
    return [
        table.address,
        table.fades,
        table.failsafe.number,
        sorted(table.polarity.items()),
        [_of_command(command) for command in table.commands],
        [[name, _of_board(said.get(name) or {})] for name in sorted(boards)],
    ]


def _of_board(said: Mapping[str, Any]) -> list[str]:
    """Return what counts of a board; an address is the same however it is written."""
    return [
        str(int(str(said.get(key)), 0)) if key == "address" and key in said else str(said.get(key, ""))
        for key in OF_BOARDS
    ]


def _of_command(command: Command) -> list[Any]:
    """Return what counts of a command."""
    return [command.number, command.name, [_of_shine(shine) for shine in command.lamps]]


def _of_shine(shine: Shine) -> list[Any]:
    """Return what counts of a lamp under a command."""
    return [shine.lamp, shine.colour, shine.output, str(shine.level), _of_beat(shine.flash), shine.fades]


def _of_beat(beat: Beat | None) -> list[str] | None:
    """Return what counts of a way of flashing."""
    return None if beat is None else [str(one) for one in (beat.per_minute, beat.lit, beat.phase, beat.floor)]


def _digest(values: object) -> str:
    """Return the first digits of the hash of plain values."""
    import hashlib
    import json

    text = json.dumps(values, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:DIGITS]
