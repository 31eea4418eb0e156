"""Which address a signal is told by: the plan's, else the next that is free."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

from lampwright_wiring.export.formats import Refused
from lampwright_wiring.export.packets import MOST

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.tables import SignalTable
    from lampwright_wiring.export.formats import Wanted


def addressed(tables: Iterable[SignalTable], wanted: Wanted) -> dict[str, int]:
    """Return the address of every signal; those that say none get free ones from the first on, in the given order.

    Raises Refused for two signals of one address, and for one that no packet holds.
    """
    signals = list(tables)
    said = {table.signal: table.address for table in signals if table.address is not None}
    taken: dict[int, str] = {}
    for name, address in said.items():
        if address in taken:
            raise Refused(f"{taken[address]} and {name} both have address {address}: give one of them another")
        taken[address] = name
    free = (number for number in count(wanted.first) if number not in taken)
    found = {table.signal: said.get(table.signal) for table in signals}
    given = {name: next(free) if address is None else address for name, address in found.items()}
    for name, address in given.items():
        if not 0 <= address + wanted.offset <= MOST:
            raise Refused(f"{name} would have address {address}, and packets have 0 to {MOST}" + _shifted(wanted))
    return given


def _shifted(wanted: Wanted) -> str:
    """Say what addresses are moved by."""
    return f", {wanted.offset} added to each" if wanted.offset else ""
