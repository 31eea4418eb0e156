"""What keeps a plan from being played, apart from numbers that do not fit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.tables import tables
from lampwright.words import listed
from lampwright_wiring.player.numbers import Unplayable

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright_wiring.model import Wiring


def know_boards(wiring: Wiring, outputs: list[str]) -> None:
    """Refuse boards that the plan does not tell enough of."""
    names = dict.fromkeys(output.partition(".")[0] for output in outputs)
    unknown = [name for name in names if name not in wiring.boards or wiring.boards[name].kind is None]
    if unknown:
        raise Unplayable(
            f"the plan does not say of which kind {listed(unknown)} is: boards: {{{unknown[0]}: {{kind: pwm-16, ...}}}}"
        )


def once_each(layout: Layout) -> None:
    """Refuse an output that two signals use: no player could light it for one and keep it dark for the other."""
    users: dict[str, str] = {}
    for table in tables(layout).signals.values():
        for output in table.outputs:
            if output in users:
                raise Unplayable(f"{output} is used by {users[output]} and by {table.signal}: give one another output")
            users[output] = table.signal
