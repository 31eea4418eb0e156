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

LAID: Final = ("one-sided-joint", "misplaced-signal")
"""What must be right with the track before anything is compared with it."""


class Audit(Check):
    """A check that compares something with the track."""

    def missing(self, whole: Layout) -> str:
        """Ask for a track."""
        return no_track(whole)


def standing_spot(route: BoundRoute, name: str, label: str = "on the track") -> Spot:
    """Return where a signal stands on the track."""
    return route.layout.spot(*track_of(route.layout).signals[name].path, label=label, on_key=True)
