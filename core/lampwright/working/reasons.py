"""Why two routes exclude each other, one pair at a time; every rule says the same of (a, b) and (b, a)."""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.working.uses import Overlap, Uses
    from lampwright.working.ways import Step

SIGNAL: Final = "signal"
EXIT: Final = "exit"
POINTS: Final = "points"
SECTION: Final = "section"
OPPOSING: Final = "opposing"
CROSSING: Final = "crossing"
OVERLAP: Final = "overlap"
FLANK: Final = "flank"
DECLARED: Final = "declared"

PHRASES: Final = {
    SIGNAL: "both begin at {}",
    EXIT: "both lead to {}",
    POINTS: "{} would have to lie both ways",
    SECTION: "both run over {}",
    OPPOSING: "they run towards each other over {}",
    CROSSING: "they cross in {}",
    OVERLAP: "the overlap of one of them needs {}, which the other takes",
    FLANK: "the flank of one of them needs {}, which the other takes",
    DECLARED: "the plan says so",
}
"""What is said of a reason in a sentence."""


class Reason(Struct, frozen=True):
    """One reason: its kind, and the signal, points, sections or crossing it is about."""

    kind: str
    on: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Return the reason as a table has it: ``section AB``."""
        return " ".join((self.kind, *self.on))

    @property
    def sentence(self) -> str:
        """The reason in words: ``both run over AB and AC``."""
        return PHRASES[self.kind].format(listed(self.on))


class Claim(Struct, frozen=True, dict=True):
    """A route as the rules look at it.

    ``exit_kind`` is that of the end it leads to, empty for a signal; ``steps`` are its way over the track, if the plan
    gives one; ``leads`` tells which points move together.
    """

    signal: str
    exit: str
    exit_kind: str
    uses: Uses
    leads: Mapping[str, str]
    steps: tuple[Step, ...] = ()

    @cached_property
    def sections(self) -> frozenset[str]:
        """The sections it runs over."""
        return frozenset(self.uses.over)

    @cached_property
    def pieces(self) -> frozenset[str]:
        """The pieces of track it runs over."""
        return frozenset(step.piece for step in self.steps)

    @cached_property
    def come(self) -> frozenset[tuple[str, int]]:
        """The sides it enters pieces by."""
        return frozenset((step.piece, step.passage.come) for step in self.steps)

    @cached_property
    def gone(self) -> frozenset[tuple[str, int]]:
        """The sides it leaves pieces by."""
        return frozenset((step.piece, step.passage.go) for step in self.steps)

    def lie(self, lies: Mapping[str, str]) -> Mapping[str, str]:
        """Return how points must lie, by the points that stand for all that move with them."""
        if not self.leads:
            return lies
        return {self.leads.get(points, points): lie for points, lie in lies.items()}


def follows(first: Claim, second: Claim) -> bool:
    """Tell whether a train that runs through needs both: the second begins where the first ends."""
    return first.exit == second.signal


def crossed(claim: Claim, lap: Overlap) -> tuple[str, ...]:
    """Return the points that would have to lie both ways for one route with one of its overlaps."""
    used = claim.uses
    if not (used.flank or lap.lies or claim.leads):
        return ()  # what a route says of its own way, it says once
    found: dict[str, dict[str, list[str]]] = {}
    for lies in (used.lies, used.flank, lap.lies):
        for points, lie in lies.items():
            found.setdefault(claim.leads.get(points, points), {}).setdefault(lie, []).append(points)
    return tuple(points for lies in found.values() if len(lies) > 1 for names in lies.values() for points in names)


def reasons(one: Claim, other: Claim) -> tuple[Reason, ...]:
    """Return all reasons that follow from what two routes use; none if both may be set.

    Of routes that follow each other only points that would lie both ways, and running back over the same track, count.
    """
    found = [*_track(one, other), *_flank(one, other)]
    if one.signal == other.signal:
        found.insert(0, Reason(SIGNAL, (one.signal,)))
    elif not found and _same_exit(one, other):
        found.append(Reason(EXIT, (one.exit,)))
    return (*found, *_overlap(one, other))


def _same_exit(one: Claim, other: Claim) -> bool:
    """Tell whether both lead to one signal, or to one end on tracks that nothing tells apart.

    A yard may have many tracks; an end that goes on beyond, or stops, has one unless the sections say otherwise.
    """
    if one.exit != other.exit or one.exit_kind == "unsignalled":
        return False
    return not (one.exit_kind and one.sections and other.sections)


def _track(one: Claim, other: Claim) -> Iterator[Reason]:
    """Yield reasons in the way itself: points, then track that both run over."""
    if both := both_ways(one.lie(one.uses.lies), other.lie(other.uses.lies)):
        yield Reason(POINTS, both)
    shared = tuple(section for section in one.uses.over if section in other.sections)
    pieces = one.pieces & other.pieces
    if not shared and not pieces:
        return
    on = tuple(dict.fromkeys(shared)) or tuple(sorted(pieces))
    if _opposing(one, other):
        yield Reason(OPPOSING, on)
    elif not follows(one, other) and not follows(other, one):
        yield Reason(CROSSING if _crossing(one, other, pieces) else SECTION, on)


def both_ways(lies: Mapping[str, str], others: Mapping[str, str]) -> tuple[str, ...]:
    """Return the points that lie otherwise in the two."""
    return tuple(points for points, lie in lies.items() if others.get(points, lie) != lie)


def _opposing(one: Claim, other: Claim) -> bool:
    """Tell whether two routes over the same track run towards each other.

    Where the track is not given, the order of the sections tells, if at least two are shared.
    """
    if one.steps and other.steps:
        return bool(one.gone & other.come or one.come & other.gone)
    shared = one.sections & other.sections
    return _pairs(one.uses.over, shared) & {pair[::-1] for pair in _pairs(other.uses.over, shared)} != set()


def _pairs(over: Iterable[str], shared: frozenset[str]) -> set[tuple[str, str]]:
    """Return the shared sections as pairs of one and the next."""
    row = [section for section in over if section in shared]
    return set(pairwise(row))


def _crossing(one: Claim, other: Claim, pieces: frozenset[str]) -> bool:
    """Tell whether all that two ways share are crossings that each runs through from other sides."""
    return bool(pieces) and not (one.come | one.gone) & (other.come | other.gone)


def _flank(one: Claim, other: Claim) -> Iterator[Reason]:
    """Yield reasons at the flank: points kept away that would lie otherwise, a signal kept at stop."""
    for keeper, runner in ((one, other), (other, one)):
        lies = runner.lie(runner.uses.lies)
        if points := both_ways(keeper.lie(keeper.uses.flank), lies):
            yield Reason(FLANK, points)
        if runner.signal in keeper.uses.at_stop:
            yield Reason(FLANK, (runner.signal,))
    if points := both_ways(one.lie(one.uses.flank), other.lie(other.uses.flank)):
        yield Reason(FLANK, points)


def _overlap(one: Claim, other: Claim) -> tuple[Reason, ...]:
    """Return the reasons in the overlaps; none if the routes have a pair of overlaps that do not meet.

    Two trains may stop short of the same overlap; and the train that goes on from the exit takes the overlap over.
    """
    least: tuple[Reason, ...] | None = None
    for lap in one.uses.overlaps:
        for beyond in other.uses.overlaps:
            found = tuple(dict.fromkeys(_meeting(one, lap, other, beyond)))
            if not found:
                return ()
            least = least or found
    return least or ()


def _meeting(one: Claim, lap: Overlap, other: Claim, beyond: Overlap) -> Iterator[Reason]:
    """Yield where one overlap of each of two routes meets the other route."""
    gone, taken = follows(one, other), follows(other, one)
    if not gone:
        yield from _reaching(one, lap, other)
    if not taken:
        yield from _reaching(other, beyond, one)
    if not gone and not taken and (points := both_ways(one.lie(lap.lies), other.lie(beyond.lies))):
        yield Reason(OVERLAP, points)


def _reaching(keeper: Claim, lap: Overlap, runner: Claim) -> Iterator[Reason]:
    """Yield where an overlap reaches into another route."""
    if sections := tuple(section for section in lap.over if section in runner.sections):
        yield Reason(OVERLAP, sections)
    lies = keeper.lie(lap.lies)
    wanted = (runner.lie(runner.uses.lies), runner.lie(runner.uses.flank))
    if points := tuple(dict.fromkeys(name for others in wanted for name in both_ways(lies, others))):
        yield Reason(OVERLAP, points)
