"""The commands of a plan as accessory packets, a line for each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.tables import tables
from lampwright.tables.asked import asked, ever
from lampwright.words import counted, listed
from lampwright_wiring.export.addresses import addressed
from lampwright_wiring.export.formats import Told
from lampwright_wiring.export.packets import BROADCAST, MOST_ASPECT, extended, in_hex
from lampwright_wiring.lists.printing import as_csv
from lampwright_wiring.lists.tables import COUNT, Column, Table

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from lampwright.layout import Layout
    from lampwright.tables import SignalTable
    from lampwright_wiring.export.formats import Wanted

COLUMNS: Final = (
    Column("signal", "signal"),
    Column("address", "address", COUNT),
    Column("aspect", "aspect", COUNT),
    Column("command", "command"),
    Column("asked", "asked for"),
    Column("packet", "packet"),
)
EVERY: Final = {"signal": "(every signal)", "aspect": 0, "command": "(most restrictive)"}
"""The line for the packet that every signal listens to."""


def told(found: Sequence[Layout], wanted: Wanted) -> Told:
    """Return the packets of some plans as CSV."""
    whole = [(layout, *_chosen(layout, wanted)) for layout in found]
    text = as_csv((layout.plan.file, _table(layout, signals, given, wanted)) for layout, signals, given in whole)
    return Told(text, tuple(one for _, signals, given in whole for one in _remarks(signals, given)))


def _chosen(layout: Layout, wanted: Wanted) -> tuple[list[SignalTable], dict[str, int]]:
    """Return the signals that are asked for, and the addresses of all, so that these depend on no choice."""
    signals = tables(layout).signals
    chosen = [table for name, table in signals.items() if not wanted.signals or name in wanted.signals]
    return chosen, addressed(signals.values(), wanted)


def _table(layout: Layout, signals: Sequence[SignalTable], given: dict[str, int], wanted: Wanted) -> Table:
    """Return the packets of one plan, the broadcast last."""
    rows = [row for table in signals for row in _rows(table, given[table.signal], wanted, ever(asked(layout, table)))]
    last = {**EVERY, "packet": in_hex(extended(BROADCAST, 0))}
    return Table("packets", "Packets", COLUMNS, (*rows, last))


def _rows(table: SignalTable, address: int, wanted: Wanted, ever: Callable[[int], str]) -> Iterator[dict[str, Any]]:
    """Yield the commands of a signal; one whose number no packet holds has none."""
    for command in table.commands:
        fits = command.number <= MOST_ASPECT
        packet = in_hex(extended(address + wanted.offset, command.number)) if fits else ""
        yield {
            "signal": table.signal,
            "address": address,
            "aspect": command.number,
            "command": command.name,
            "asked": ever(command.number),
            "packet": packet,
        }


def _remarks(signals: Sequence[SignalTable], given: dict[str, int]) -> Iterator[str]:
    """Yield what is to be known of the packets of one plan."""
    numbered = [table.signal for table in signals if table.address is None]
    if numbered:
        yield (
            f"{counted(len(numbered), 'signal')} without an address got the next that was free, beginning with "
            f"{numbered[0]}: {given[numbered[0]]}; write `address` into the plan to keep them"
        )
    for table in signals:
        if beyond := [command.name for command in table.commands if command.number > MOST_ASPECT]:
            yield f"{table.signal}: a packet has aspects 0 to {MOST_ASPECT}, so there is none for {listed(beyond)}"
