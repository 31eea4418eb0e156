"""Faults, what each costs, and explanations made of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from lampwright_proving.diagnosis.bench import Group

TURNED, DEAD, STUCK, WEAK = "turned", "dead", "stuck", "weak"
STEADY, FLICKERING = "steady", "flickering"
"""What can be wrong with a single light."""
OPEN, POOR = "open", "poor"
"""What can be wrong with a common wire: off, or of bad contact."""
MODES: Final = (TURNED, DEAD, STUCK, WEAK, STEADY, FLICKERING)
COMMONS: Final = (OPEN, POOR)
PLUG: Final = 2
"""What a plug off its place costs: more than one lamp that is dead, less than moving its wires one by one."""
STEPS: Final = (-2, -1, 1, 2)
"""How many outputs a plug may sit further on."""
COSTS: Final = (
    "Each fault counts 1: two wires swapped (a ring of n wires is n - 1 swaps), a lamp the other way round, dead, "
    "always lit, too dim, steady where it should flash or the reverse, two wires that touch, a whole signal or a whole "
    "board of the other polarity, a common wire off or of bad contact, two boards exchanged. A plug off its place "
    "counts 2."
)
"""What every fault costs, as a person is told."""


class Explanation(Struct, frozen=True):
    """Faults that are there together; lights and channels by number.

    ``feeds`` is the channel that feeds each light. ``modes`` are faults of single lights, ``turned`` groups of the
    other polarity, ``commons`` faults of a group's common wire, ``touching`` sets of lights whose wires touch.
    ``plugs`` are lights all of whose wires are some outputs further on, ``exchanged`` boards that answer for each
    other.
    """

    feeds: tuple[int, ...]
    cost: int = 0
    modes: frozenset[tuple[int, str]] = frozenset()
    turned: frozenset[Group] = frozenset()
    commons: frozenset[tuple[Group, str]] = frozenset()
    touching: frozenset[frozenset[int]] = frozenset()
    plugs: frozenset[tuple[frozenset[int], int]] = frozenset()
    exchanged: frozenset[tuple[str, str]] = frozenset()

    def mode(self, light: int) -> str:
        """Return what is wrong with a single light, or an empty text."""
        return next((mode for number, mode in self.modes if number == light), "")

    def on_node(self, light: int) -> frozenset[int]:
        """Return the lights whose wires touch this one's, itself included."""
        return next((lights for lights in self.touching if light in lights), frozenset((light,)))
