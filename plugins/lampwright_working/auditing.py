"""What all comparisons of routes with the track have in common."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.checks import Check
from lampwright.working.trails import track_of
from lampwright_working.saying import no_track

if TYPE_CHECKING:
    from lampwright.findings import Spot
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute

TORN: Final = "a piece of track leads nowhere"
LAID: Final = ("one-sided-joint", "misplaced-signal")
"""What must be right with the track before anything is compared with it."""


class Audit(Check):
    """A check that compares something with the track."""

    def missing(self, whole: Layout) -> str:
        """Ask for a track all of whose pieces join something: what is nowhere has a finding of its own."""
        return no_track(whole) or ("the track names what is nowhere" if _torn(whole) else "")


def _torn(layout: Layout) -> bool:
    """Tell whether a piece of track leads to a name that is no piece and no end."""
    if TORN not in layout.cache:
        there = {*track_of(layout).pieces, *layout.plan.ends}
        layout.cache[TORN] = any(not there.issuperset(one.neighbours) for one in track_of(layout).pieces.values())
    return bool(layout.cache[TORN])


def standing_spot(route: BoundRoute, name: str, label: str = "on the track") -> Spot:
    """Return where a signal stands on the track."""
    return route.layout.spot(*track_of(route.layout).signals[name].path, label=label, on_key=True)
