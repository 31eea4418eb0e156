"""Tables of amounts, apart from how they are printed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Mapping

TEXT, COUNT, AMPS, OHMS, WATTS = "", "number", "mA", "ohm", "mW"
DATA: Final = "data"
"""What a text for people has elsewhere in the row."""
SCALE: Final = {AMPS: 1000, OHMS: 1, WATTS: 1000}
"""Units that columns are told in, and how many of them make the base unit."""


class Column(Struct, frozen=True):
    """A column: the key of its values, what stands above it, and what they are (text, number or unit).

    People are not shown it where all rows say what is ``usual``; ``means`` is told to them before the table.
    """

    key: str
    head: str
    kind: str = TEXT
    usual: str = ""
    means: str = ""


class Table(Struct, frozen=True):
    """Rows by column; amounts are exact and in base units, what is not known is left out of its row.

    ``note`` tells how the figures are meant.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Mapping[str, Any], ...]
    note: str = ""

    def told(self) -> tuple[Column, ...]:
        """Return the columns in which any row says something that is not usual."""
        return tuple(
            column
            for column in self.columns
            if column.kind != DATA and any(row.get(column.key) not in (None, "", column.usual) for row in self.rows)
        )
