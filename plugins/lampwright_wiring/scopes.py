"""What the checks of this plugin look at, one at a time: outputs, boards, supplies; and what they ask of a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from msgspec import Struct

from lampwright.checks import Check, Scope

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path, Spot
    from lampwright.layout import Layout
    from lampwright_wiring.model import Wiring

T = TypeVar("T")
FORM_FIRST = ("unknown-form", "unknown-lamp", "missing-lamp", "surplus-lamp", "wrong-lamp-colour")
"""Checks that leave the form in doubt: which lamps are to be wired is not known then."""


class About(Struct, Generic[T], frozen=True):
    """One thing of a plan's electrics, with all that stands around it; ``path`` is where the plan says it."""

    thing: T
    path: Path
    layout: Layout
    wiring: Wiring

    def spot(self, *steps: str | int, label: str = "", on_key: bool = False) -> Spot:
        """Return the place of something the thing says, or of its own key."""
        return self.layout.spot(*self.path, *steps, label=label, on_key=on_key or not steps)


def _outputs(layout: Layout) -> Iterator[About[Any]]:
    from lampwright_wiring.model import bind  # only a plan with electrics pays for it

    wiring = bind(layout)
    for used in wiring.used:
        yield About(used, ("boards", used.output.board, used.output.name), layout, wiring)


def _boards(layout: Layout) -> Iterator[About[Any]]:
    from lampwright_wiring.model import bind

    wiring = bind(layout)
    for board in wiring.boards.values():
        yield About(board, board.path, layout, wiring)


def _supplies(layout: Layout) -> Iterator[About[Any]]:
    from lampwright_wiring.model import bind

    wiring = bind(layout)
    for supply in wiring.supplies.values():
        yield About(supply, supply.path, layout, wiring)


OUTPUT = Scope("output", "plan", _outputs)
"""Every output that something hangs on, as ``About[Used]``; its path is that of its board and its name."""
BOARD = Scope("board", "plan", _boards)
"""Every board, as ``About[Board]``."""
SUPPLY = Scope("supply", "plan", _supplies)
"""Every supply, as ``About[Supply]``."""


class ElectricalCheck(Check):
    """A check that looks only at plans with some of their electrics told: ``asks`` names the sections."""

    asks: ClassVar[tuple[str, ...]] = ("boards",)

    def missing(self, whole: Layout) -> str:
        """Return what the plan does not give."""
        lacking = [section for section in self.asks if not whole.plan.values.get(section)]
        return f"no {lacking[0]} given" if lacking else ""
