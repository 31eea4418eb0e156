"""Which commands the routes of a plan can ever ask for; a controller knows the others too, for trying by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.boxes import FLASH
from lampwright.tables.boxes import for_route

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.layout import Layout
    from lampwright.tables.boxes import Boxes
    from lampwright.tables.model import Command, SignalTable
    from lampwright.working.posts import Shows
    from lampwright.working.reach import State


def asked(layout: Layout, table: SignalTable) -> frozenset[int] | None:
    """Return the numbers of the commands that routes can ask for; None of a signal of which the plan tells no route.

    What the plan leaves open may be anything; what it says may be seen at an end is taken for all there is.
    """
    from lampwright.working.reach import Beyond, reach

    seen = reach(layout, Beyond.ASSUMED)
    stands = seen.network.of_signal.get(table.signal, [])
    if not any(stand.vias for stand in stands):
        return None
    wanted = {_of(state) for stand in stands for state in seen.states.get(stand.key, ())}
    return frozenset(one.number for one in table.commands if any(_answers(one, *state) for state in wanted))


def ever(numbers: frozenset[int] | None) -> Callable[[int], str]:
    """Return what says of a command, by its number, whether it is asked for: yes, no, or nothing if that is open."""
    return lambda number: "" if numbers is None else "yes" if number in numbers else "no"


def _of(state: State) -> tuple[Shows, Boxes]:
    """Return what a state shows, and what its route lights beside that."""
    lit = state.route is not None and state.stand.post.cleared(state.answer.shows)
    return state.answer.shows, for_route(state.stand.signal, state.route) if lit and state.route is not None else ()


def _answers(command: Command, shows: Shows, boxes: Boxes) -> bool:
    """Tell whether a command is how a state is shown; what should be shown and cannot may be anything."""
    aspects = dict(command.aspects)
    lit = {(name, content.removeprefix(FLASH).strip()) for name, content in command.boxes}
    return lit == set(boxes) and all(aspects.get(part) == (aspect or DARK) for part, aspect in shows if aspect)
