"""What stands where on a track diagram: how wide strands are, on which side signals stand, where names have room."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from lampwright.rulebooks.codec import as_text
from lampwright_drawing.miniatures import Miniature, miniature
from lampwright_drawing.placing import place
from lampwright_drawing.strands import CROSSING, END, POINTS, strands

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from lampwright.layout import BoundSignal, Layout
    from lampwright_drawing.placing import Span
    from lampwright_drawing.strands import Place, Strand, Strands
    from lampwright_drawing.subjects import Shown

LEAST: Final = {END: 30.0, POINTS: 34.0, CROSSING: 44.0}
SECTION: Final = 64.0
LETTER: Final = 7.4
LEFT: Final = "left"
END_LETTER: Final = 6.2
POINTS_LETTER: Final = 6.0
PAST: Final = 18.0
"""How far a signal stands off the end of its section where a line to another row runs past its head."""


class Room:
    """The track of one layout, laid out on paper."""

    def __init__(
        self,
        layout: Layout,
        routes: Collection[str] = (),
        occupied: Collection[str] = (),
        shown: Mapping[str, Shown] = MappingProxyType({}),
    ) -> None:
        """Take what is to be shown: routes set, by name, sections occupied, and what signals show then."""
        self.layout = layout
        self.set = frozenset(routes)
        self.occupied = frozenset(occupied)
        self.made: Strands = strands(layout.plan)
        small = {name: miniature(layout, name, shown.get(name)) for name in self.made.places}
        self.small: dict[str, Miniature] = {name: made for name, made in small.items() if made is not None}
        self.standing: dict[str, list[tuple[str, Place]]] = {}
        for name, at in self.made.places.items():
            self.standing.setdefault(at.strand, []).append((name, at))
        self.spans: Mapping[str, Span] = place(self.made, {name: self._width(name) for name in self.made.strands})

    def _width(self, name: str) -> float:
        """Return how wide a strand has to be for its name and the signals on either side."""
        strand = self.made.strands[name]
        sides = {True: 0.0, False: 0.0}
        for signal, at in self.standing.get(name, ()):
            sides[at.rightward] += self.takes(signal)
        least = LEAST.get(strand.kind, max(SECTION, LETTER * len(name) + 36))
        if strand.kind == POINTS:
            least = max(least, POINTS_LETTER * len(called(strand)))
        named = END_LETTER * len(strand.name) if strand.kind == END else 0
        past = PAST if self._parts_beside(name) else 0
        return max(least, sides[True] + past + 8, sides[False] + past + 8) + named

    def _parts_beside(self, name: str) -> bool:
        """Tell whether track parts at an end of a strand, so that a line may run past there."""
        return any(len(self.made.after(one)) > 1 for one in self.made.before(name)) or any(
            len(self.made.before(one)) > 1 for one in self.made.after(name)
        )

    def takes(self, signal: str) -> float:
        """Return how much of the track a signal takes."""
        small = self.small.get(signal)
        return max(small.length if small else 20, LETTER * (len(signal) + 2)) + 8

    def track(self, name: str) -> tuple[float, float]:
        """Return from where to where a strand has track: an end has its name beyond that."""
        span, strand = self.spans[name], self.made.strands[name]
        named = END_LETTER * len(strand.name) if strand.kind == END else 0
        return (span.left, span.right - named) if not self.made.after(name) else (span.left + named, span.right)

    def past(self, name: str, *, at_right: bool, aside: int) -> bool:
        """Tell whether a line to another row runs past an end of a strand, on one side of the track (1: below)."""
        spans, span = self.spans, self.spans[name]
        if at_right:
            there = [one for one in self.made.after(name) if spans[one].left - span.right < PAST]
            rows = [spans[other].row for one in there for other in self.made.before(one)]
        else:
            there = [one for one in self.made.before(name) if span.left - spans[one].right < PAST]
            rows = [spans[other].row for one in there for other in self.made.after(one)]
        return any((row - span.row) * aside > 0 for row in rows)

    def free(self, name: str, *, at_right: bool) -> int:
        """Return the side of the track (1: below) on which there is room for a name at an end of a strand."""
        usual = -1 if at_right else 1
        taken = {self.aside(signal, at) for signal, at in self.standing.get(name, ())}
        ways = [usual, -usual]
        return min(ways, key=lambda way: (way in taken) + self.past(name, at_right=at_right, aside=way))

    def aside(self, name: str, at: Place) -> int:
        """Return the side of the track, as drawn, that a signal stands on: -1 above, 1 below."""
        signal = self.layout.signals.get(name)  # the track may name one that the plan does not have
        left = side(signal) == LEFT if signal is not None else True
        return -1 if at.rightward is left else 1

    def shift(self, name: str, at: Place) -> float:
        """Return how far a signal stands off the end of its strand, for a line that runs past there."""
        return PAST if self.past(at.strand, at_right=at.at_right, aside=self.aside(name, at)) else 0


def side(signal: BoundSignal) -> str:
    """Return on which side of its track a signal stands, as trains run: as the plan or the rulebook says, else left."""
    book = signal.rulebook
    usual: Any = book.parameters.get("side") if book is not None else None
    usual = usual.get("value") if isinstance(usual, dict) else usual
    return as_text(signal.entry.rest.get("side")) or as_text(usual) or LEFT


def called(strand: Strand) -> str:
    """Return the name of a strand, with that of the section it lies in."""
    return f"{strand.name} ({strand.lies_in})" if strand.lies_in else strand.name
