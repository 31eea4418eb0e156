"""Indicators that stay dark: the speed that is told then, and the route that a driver takes the signal for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.quantities import Quantity
from lampwright.routes import route_class, route_speed
from lampwright.rulebooks.failing import LOST
from lampwright.rulebooks.speeds import faster, same, speed
from lampwright.tables.boxes import box, for_route
from lampwright.words import listed
from lampwright.working.units import meant
from lampwright_proving.failing.judging import Case, Outcome

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import BoundSignal
    from lampwright.plans import Route
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.speeds import Speed
    from lampwright.tables.boxes import Boxes

SPEEDS: Final = ("speed-now", "speed-next")
LEFT: Final = "all but the indicator"


def cases(signal: BoundSignal) -> Iterator[Case]:
    """Yield what is read while an indicator is dark: under every aspect whose speed it tells, and on every route."""
    if signal.rulebook is None or signal.reader is None:
        return
    lit = dict.fromkeys(one for route in signal.entry.routes for one in for_route(signal, route))
    for part, form in signal.reader.parts.items() or [("", signal.reader)]:
        for aspect in meant(signal, part, form):
            where = f"{part}.{aspect}" if part else aspect
            for indicator, content in lit:
                yield from _speeds(signal, signal.rulebook, where, aspect, indicator, content)
    for route in signal.entry.routes:
        yield from _routes(signal, signal.rulebook, route)


def _speeds(  # noqa: PLR0913, PLR0917  (one display, named in full)
    signal: BoundSignal, book: Rulebook, where: str, aspect: str, indicator: str, content: str
) -> Iterator[Case]:
    """Yield what an aspect tells of speeds without a box that tells one."""
    says, plates = book.aspects[aspect].says, signal.entry.plates
    for key in (key for key in SPEEDS if key in says):
        before = speed(book, says[key], {**plates, **box(signal, indicator, content)})
        after = speed(book, says[key], plates)
        if before is None or after is None or same(before, after):
            continue
        outcome, because = Outcome.SAFE, ""
        if faster(after, before):
            outcome, because = _freer(book, indicator)
        elif not faster(before, after):
            outcome, because = Outcome.APART, "which speed is the higher is not known"
        read = f"{key.replace('-', ' ')} {_text(after)}, not {_text(before)}"
        yield Case(where, (_named(indicator, content),), LEFT, read, outcome, LOST, because)


def _routes(signal: BoundSignal, book: Rulebook, route: Route) -> Iterator[Case]:
    """Yield what a route is taken for without each of its indicators; one that aspects ask for is judged with them."""
    boxes = for_route(signal, route)
    for number, (indicator, content) in enumerate(boxes):
        if _is_asked(signal, indicator, content):
            continue
        left = (*boxes[:number], *boxes[number + 1 :])
        others = [other for other in signal.entry.routes if _taken_for(signal, route, other, left)]
        outcome, because = _misled(signal, route, others)
        if outcome is Outcome.FREER:
            outcome, because = _freer(book, indicator)
        read = (
            f"the route to {listed(dict.fromkeys(other.to for other in others), 'or')}" if others else "no route told"
        )
        yield Case(f"route to {route.to}", (_named(indicator, content),), LEFT, read, outcome, LOST, because)


def _is_asked(signal: BoundSignal, indicator: str, content: str) -> bool:
    """Tell whether an aspect of the signal is one only beside an indicator: without it another is read."""
    form = signal.reader
    inner = () if form is None else form.parts.values() or (form,)
    names = {indicator, *box(signal, indicator, content)}
    return any(names & dict(item.tests).keys() for part in inner for item in part.meanings)


def _misled(signal: BoundSignal, route: Route, others: list[Route]) -> tuple[Outcome, str]:
    """Judge the routes that one is taken for: freer if one of them is run faster."""
    if not others:
        return Outcome.SAFE, ""
    own, speeds = route_speed(signal.layout, route), [route_speed(signal.layout, other) for other in others]
    if own is not None and any(one is not None and faster(one, own) for one in speeds):
        return Outcome.FREER, ""
    known = own is not None and None not in speeds
    return Outcome.APART, "another route, run no faster" if known else "another route, and a speed that is not said"


def _taken_for(signal: BoundSignal, route: Route, other: Route, left: Boxes) -> bool:
    """Tell whether a route shows what is left of another's indicators, and leads elsewhere."""
    return other.to != route.to and route_class(other) == route_class(route) and for_route(signal, other) == left


def _freer(book: Rulebook, indicator: str) -> tuple[Outcome, str]:
    """Return what a freer reading without an indicator comes to, and what covers it or would."""
    if indicator in book.indicators and book.indicators[indicator].proved:
        return Outcome.COVERED, "it is proved lit"
    return Outcome.FREER, f"needs proving, as `proved: true` of {indicator}"


def _named(indicator: str, content: str) -> str:
    """Return the fault of a dark indicator."""
    return " ".join(filter(None, (indicator, content, "dark")))


def _text(value: Speed) -> str:
    """Return a speed in words."""
    return value.text if isinstance(value, Quantity) else {"line": "of the line"}.get(value, value)
