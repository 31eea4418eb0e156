"""Two rulebooks side by side: displays that mean the same in both, or another thing, or that only one of them knows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.indications import meaning
from lampwright.rulebooks.lights import sights

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.rulebooks.lights import Known, Sight
    from lampwright.rulebooks.model import Rulebook
    from lampwright.years import Years


class Seen(Struct, frozen=True):
    """A display with the aspects it is in the one rulebook and in the other; none where that one does not know it."""

    sight: Sight
    here: tuple[Known, ...]
    there: tuple[Known, ...]


class Comparison(Struct, frozen=True):
    """All displays of two rulebooks, each in one of four lists."""

    different: tuple[Seen, ...]
    alike: tuple[Seen, ...]
    only_here: tuple[Seen, ...]
    only_there: tuple[Seen, ...]


def compare(here: Rulebook, there: Rulebook, years: Years | None = None) -> Comparison:
    """Compare what is seen lit and what it tells a driver, by no names; forms and aspects in use in the years.

    A display that several forms show with several meanings means the same only if all of them are the same. What a
    rulebook does not say is never the same.
    """
    ours, theirs = sights(here, years), sights(there, years)
    every = sorted({*ours, *theirs}, key=_plainest)
    seen = [Seen(sight, ours.get(sight, ()), theirs.get(sight, ())) for sight in every]
    both = [one for one in seen if one.here and one.there]
    alike = [one for one in both if _meanings(here, one.here) == _meanings(there, one.there)]
    return Comparison(
        tuple(one for one in both if one not in alike),
        tuple(alike),
        tuple(one for one in seen if not one.there),
        tuple(one for one in seen if not one.here),
    )


def _meanings(rulebook: Rulebook, known: Iterable[Known]) -> frozenset[tuple[str, ...]]:
    """Return what aspects tell; what is not established tells something that is only this rulebook's."""
    return frozenset(meaning(rulebook, one.aspect) or (rulebook.id, one.aspect) for one in known)


def _plainest(sight: Sight) -> tuple[int, int, list[str], Sight]:
    """Return what displays are listed by: fewest lights first, then their colours."""
    return len(sight.lights), len(sight.beside), [light.colour for light in sight.lights], sight
