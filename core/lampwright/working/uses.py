"""What a route takes for itself while it is set: track to run over, an overlap, points and signals at its flank."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, field

from lampwright.rulebooks.codec import as_text, as_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.layout import Layout
    from lampwright.plans import Route

GANGS: Final = "points that move together"
Lies = dict[str, str]
"""Points with the way they must lie."""


class Overlap(Struct, frozen=True):
    """Track kept free beyond the exit."""

    over: tuple[str, ...] = ()
    lies: Mapping[str, str] = field(default_factory=dict)


class Uses(Struct, frozen=True):
    """What a route uses.

    Of several ``overlaps`` one is enough; ``at_stop`` are the signals kept at stop at its flank.
    """

    over: tuple[str, ...]
    lies: Mapping[str, str]
    overlaps: tuple[Overlap, ...]
    flank: Mapping[str, str]
    at_stop: tuple[str, ...]


def uses(route: Route) -> Uses:
    """Return what a route uses, as far as the plan says."""
    flank = route.rest.get("flank") or {}
    return Uses(
        route.over,
        route.points,
        _overlaps(route.rest.get("overlap")),
        _lies(flank.get("points")),
        as_words(flank["signals"]) if "signals" in flank else (),
    )


def _overlaps(said: Any) -> tuple[Overlap, ...]:
    """Read an overlap: sections, a map, or several maps."""
    if said is None:
        return (Overlap(),)
    if isinstance(said, list) and said and isinstance(said[0], dict):
        return tuple(map(_overlap, said))
    return (_overlap(said) if isinstance(said, dict) else Overlap(as_words(said)),)


def _overlap(said: Mapping[str, Any]) -> Overlap:
    """Read one overlap written as a map."""
    return Overlap(as_words(said["over"]) if "over" in said else (), _lies(said.get("points")))


def _lies(said: Mapping[str, Any] | None) -> Lies:
    """Read a map of points."""
    return {points: as_text(lie) for points, lie in (said or {}).items()}


def gangs(layout: Layout) -> dict[str, str]:
    """Return, of points that move together as the two ends of a crossover do, which stand for all of them.

    It is enough that one of them says so.
    """
    found: dict[str, str] | None = layout.cache.get(GANGS)
    if found is None:
        known: dict[str, str] = {}
        for name, said in layout.plan.points.items():
            for partner in as_words(said["works-with"]) if said and "works-with" in said else ():
                known[_lead(known, partner)] = _lead(known, name)
        found = layout.cache[GANGS] = {points: _lead(known, points) for points in known}
    return found


def _lead(known: Mapping[str, str], points: str) -> str:
    """Follow points to those that stand for them."""
    while (lead := known.get(points, points)) != points:
        points = lead
    return points
