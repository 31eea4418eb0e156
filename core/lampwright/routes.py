"""What a route is, as the conditions of a rulebook ask for it; and where it leads."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.quantities import quantity
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.rulebooks.sequence import LINE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans import Route
    from lampwright.quantities import Quantity
    from lampwright.rulebooks import Rulebook

MAIN = "main"
STRAIGHT = "straight"
NOT_SAID = "not-said"
FLASHING = "flashing"


def route_class(route: Route) -> str:
    """Return the class of a route; one that says none is a main route."""
    return route.kind or MAIN


def beside(signal: BoundSignal, route: Route) -> list[Route]:
    """Return the signal's other routes of the same class that lead elsewhere."""
    if len(signal.entry.routes) == 1:
        return []
    return [other for other in signal.entry.routes if other.to != route.to and route_class(other) == route_class(route)]


def facts(signal: BoundSignal, route: Route) -> Mapping[str, Any]:
    """Return what is known of a route, by the names that conditions use; what the plan does not say is left out.

    ``pace`` and ``straight`` compare it with the signal's other routes of its class. Worked out once.
    """
    key = ("facts", route.path)
    if key not in signal.cache:
        signal.cache[key] = _facts(signal, route)
    known: Mapping[str, Any] = signal.cache[key]
    return known


def _facts(signal: BoundSignal, route: Route) -> dict[str, Any]:
    """Work out what is known of a route."""
    speed = route_speed(signal.layout, route)
    known = {"class": route_class(route), "pace": pace(signal, route, speed), STRAIGHT: straight(signal, route)}
    if route.turns:
        known["turns"] = route.turns
    if held := release(route):
        known["release"] = held
    overlap = route.rest.get("overlap")
    if isinstance(overlap, dict) and "kind" in overlap:
        known["overlap"] = as_text(overlap["kind"])
    if "distant-applies" in route.rest:
        known["distant-applies"] = route.rest["distant-applies"]
    if speed is not None:
        known["speed"] = LINE if _at_line_speed(signal, route, speed) else str(speed)
    return known


def release(route: Route) -> str:
    """Say how a signal is released as a train nears it: ``from-red``, ``from-yellow``, ``flashing``; empty if at once.

    It is ``flashing`` if the signals before it flash to tell of the turn.
    """
    held = as_text(route.release.get("from"))
    if held == FLASHING or route.release.get(FLASHING) is True:
        return FLASHING
    return f"from-{held}" if held else ""


def known_words(rulebook: Rulebook, fact: str) -> tuple[str, ...]:
    """Return the words of a fact of routes, as ``class`` or ``release``, that the rules of a rulebook ask for."""
    key = ("known words", fact)
    if key not in rulebook.cache:
        rulebook.cache[key] = _known_words(rulebook, fact)
    words: tuple[str, ...] = rulebook.cache[key]
    return words


def _known_words(rulebook: Rulebook, fact: str) -> tuple[str, ...]:
    """Work out the words of a fact."""
    rules = [rule for of_role in rulebook.sequence.values() for rule in of_role]
    tests = [rule.when.get(key, {}).get(fact) for rule in rules for key in ("route", "next-route")]
    return tuple(dict.fromkeys(word for test in tests if test is not None for word in as_words(test)))


def straight(signal: BoundSignal, route: Route) -> str:
    """Say where the straight route is: ``here``, ``beside``, ``none`` of them; ``not-said`` if one may be it."""
    turns = {other.turns for other in beside(signal, route)}
    if route.turns == STRAIGHT:
        return "here"
    if STRAIGHT in turns:
        return "beside"
    return NOT_SAID if "" in {*turns, route.turns} else "none"


def pace(signal: BoundSignal, route: Route, own: Quantity | None) -> str:
    """Compare a route's speed with those beside it: ``fastest``, ``equal`` to the fastest, ``slower``, ``not-said``."""
    if own is None:
        return NOT_SAID
    others = [route_speed(signal.layout, other) for other in beside(signal, route)]
    best = max((speed.amount for speed in others if speed is not None), default=None)
    if best is not None and best > own.amount:
        return "slower"
    if None in others:
        return NOT_SAID
    return "equal" if best == own.amount else "fastest"


def route_speed(layout: Layout, route: Route) -> Quantity | None:
    """Return the speed of a route as it says it; a straight one that says none has that of its line."""
    if route.speed:
        return _speed(route.speed)
    return line_speed(layout, route) if route.turns == STRAIGHT else None


def line_speed(layout: Layout, route: Route) -> Quantity | None:
    """Return the lowest speed of the sections a route runs over; None unless it is known of all of them."""
    speeds = [_section_speed(layout, name) for name in route.over]
    known = [speed for speed in speeds if speed is not None]
    if not known or len(known) < len(speeds):
        return None
    first = known[0]
    return first if all(speed is first for speed in known) else min(known, key=lambda speed: speed.amount)


def _at_line_speed(signal: BoundSignal, route: Route, speed: Quantity) -> bool:
    """Tell whether a route is run at the speed of the line: none of its sections, and no route beside it, is faster.

    One that leads from the line into a slow loop is not, though the loop itself allows no more.
    """
    if not route.speed:
        return True
    speeds = [_section_speed(signal.layout, name) for name in route.over]
    if not speeds or None in speeds:
        return False
    speeds += [route_speed(signal.layout, other) for other in beside(signal, route)]
    return all(other is None or other.amount <= speed.amount for other in speeds)


def line_known(signal: BoundSignal, route: Route) -> bool:
    """Tell whether it is known if a route is slower than the line: of the line's speed, or that another is faster."""
    layout, own = signal.layout, route_speed(signal.layout, route)
    if own is None or not route.speed or line_speed(layout, route) is not None:
        return True
    named = [layout.plan.lines.get(name) or {} for name in exit_lines(layout, route)]
    faster = [route_speed(layout, other) for other in beside(signal, route)]
    return any("speed" in line for line in named) or any(one is not None and one.amount > own.amount for one in faster)


def asks_of_line(condition: Mapping[str, Any]) -> bool:
    """Tell whether a condition compares a route's speed with that of the line."""
    speed = condition.get("route", {}).get("speed")
    return isinstance(speed, dict) and LINE in speed.values()


def exit_lines(layout: Layout, route: Route) -> frozenset[str]:
    """Return the line, or lines, that a route leads to; empty if nothing says them."""
    end = layout.plan.ends.get(route.to)
    signal = layout.plan.signals.get(route.to)
    section = layout.plan.sections.get(route.over[-1]) if route.over else None
    for said in (end, signal and signal.rest, section):
        if said and said.get("line") is not None:
            return frozenset(as_words(said["line"]))
    return frozenset()


def _section_speed(layout: Layout, name: str) -> Quantity | None:
    """Return the speed of a section; worked out once."""
    known: dict[str, Quantity | None] = layout.cache.setdefault("speeds of sections", {})
    if name not in known:
        known[name] = _slowest(layout, name)
    return known[name]


def _slowest(layout: Layout, name: str) -> Quantity | None:
    """Work out the speed of a section: its own, or that of its slowest line."""
    section = layout.plan.sections.get(name) or {}
    if "speed" in section:
        return _speed(section["speed"])
    lines = as_words(section["line"]) if "line" in section else ()
    speeds = [_speed(line["speed"]) for name in lines if (line := layout.plan.lines.get(name)) and "speed" in line]
    known = [speed for speed in speeds if speed is not None]
    return min(known, key=lambda speed: speed.amount, default=None)


def _speed(value: object) -> Quantity | None:
    """Return a speed, or None if the text is none."""
    try:
        return quantity(as_text(value), "speed")
    except ValueError:
        return None
