"""What a controller plays: tables in whole numbers as a C header; and the player, ``player.c`` and ``player.h``."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lampwright.layout import Layout


def c_header(layout: Layout) -> str:
    """Return the header of a plan. Raises ``numbers.Unplayable`` with what keeps it from being played."""
    from lampwright.tables import tables
    from lampwright.tables.asked import asked
    from lampwright_wiring.player.header import about, header
    from lampwright_wiring.player.scaled import programs

    wanted = {name: asked(layout, table) for name, table in tables(layout).signals.items()}
    return header(programs(layout), about(layout), wanted)
