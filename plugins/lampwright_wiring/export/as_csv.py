"""The tables of plans as CSV: a line for every lamp under every command."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.tables import tables
from lampwright.tables.asked import asked, ever
from lampwright.tables.fingerprint import fingerprint
from lampwright_wiring.export.driven import driven, lagging, played
from lampwright_wiring.export.formats import Told
from lampwright_wiring.lists.printing import as_csv
from lampwright_wiring.lists.tables import COUNT, Column, Table
from lampwright_wiring.saying import number, percent

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout
    from lampwright.tables import Command, Shine, SignalTable
    from lampwright_wiring.export.driven import Driven
    from lampwright_wiring.export.formats import Wanted

COLUMNS: Final = (
    Column("signal", "signal"),
    Column("fingerprint", "fingerprint"),
    Column("number", "number", COUNT),
    Column("command", "command"),
    Column("failsafe", "failsafe"),
    Column("asked", "asked for"),
    Column("lamp", "lamp"),
    Column("colour", "colour"),
    Column("state", "state"),
    Column("lightness", "lightness"),
    Column("controller", "controller"),
    Column("output", "output"),
    Column("lit", "lit when"),
    Column("level", "level", COUNT),
    Column("between", "between flashes", COUNT),
    Column("full", "full level", COUNT),
    Column("rate", "flashes a minute"),
    Column("share", "lit share"),
    Column("phase", "phase", COUNT),
    Column("fades", "fades"),
)


def told(found: Sequence[Layout], wanted: Wanted) -> Told:
    """Return the tables of some plans."""
    remarks = tuple(one for layout in found for one in lagging(layout, played(layout)))
    return Told(as_csv((layout.plan.file, _table(layout, wanted)) for layout in found), remarks)


def _table(layout: Layout, wanted: Wanted) -> Table:
    """Return the table of one plan."""
    outputs = driven(played(layout))
    rows = [
        row
        for name, table in tables(layout).signals.items()
        if not wanted.signals or name in wanted.signals
        for row in _rows(layout, table, outputs)
    ]
    return Table("tables", "Tables", COLUMNS, tuple(rows))


def _rows(layout: Layout, table: SignalTable, outputs: dict[tuple[str, str], Driven]) -> Iterator[dict[str, Any]]:
    """Yield the lamps of a signal under each of its commands."""
    said = {"signal": table.signal, "fingerprint": fingerprint(layout, table.signal)}
    in_words = ever(asked(layout, table))
    for command in table.commands:
        failsafe = "yes" if command == table.failsafe else ""
        head = {**said, "number": command.number, "command": command.name, "failsafe": failsafe}
        head["asked"] = in_words(command.number)
        for shine in command.lamps:
            at = outputs.get((table.signal, shine.output or ""))
            yield {**head, **_lamp(table, shine), **(_output(command, at) if at else {})}


def _lamp(table: SignalTable, shine: Shine) -> dict[str, Any]:
    """Return what a lamp does."""
    flash = shine.flash
    return {
        "lamp": shine.lamp,
        "colour": shine.colour,
        "state": "dark" if not shine.lit else "flash" if flash else "lit",
        "lightness": percent(shine.level),
        "output": shine.output,
        "rate": number(flash.per_minute) if flash else None,
        "share": percent(flash.lit) if flash else None,
        "phase": flash.phase if flash else None,
        "fades": shine.fades or table.fades,
    }


def _output(command: Command, at: Driven) -> dict[str, Any]:
    """Return what its output does, which may light another lamp too."""
    way = at.ways[command.number]
    return {
        "controller": at.program.controller,
        "lit": "low" if at.place.lit_low else "high",
        "level": way.high,
        "between": way.low,
        "full": at.place.top,
    }
