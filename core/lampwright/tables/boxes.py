"""What indicators can show beside aspects: positions, characters, figures."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

from lampwright.rulebooks.anatomy import LIT
from lampwright.rulebooks.boxes import FLASH, NOT_THERE, holds

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.layout import BoundSignal
    from lampwright.plans import Route
    from lampwright.rulebooks.displays import Display
    from lampwright.tables.lamps import Told
    from lampwright.working.posts import Shows

Boxes = tuple[tuple[str, str], ...]
"""Indicators that are lit, each with its position or what stands in it (empty if it can only be lit)."""


def for_route(signal: BoundSignal, route: Route) -> Boxes:
    """Return what the indicators show for a route."""
    shown = []
    for item in route.indications:
        indicator, position = signal.indicator(item.name) or (item.name, "")
        shown.append((indicator, position or item.content))
    return tuple(shown)


def display(signal: BoundSignal, boxes: Iterable[tuple[str, str]]) -> Display:
    """Return what indicators show by all the names of their boxes."""
    shown: Display = {}
    for indicator, content in boxes:
        shown.update({indicator: LIT, **box(signal, indicator, content)})
    return shown


def beside(signal: BoundSignal, asked: Mapping[str, str], lit: Boxes) -> Display | None:
    """Return what indicators show beside lamps whose display asks something of boxes; None if that does not fit."""
    shown: Display = {}
    for indicator, content in lit:
        one = display(signal, ((indicator, content),))
        flashes = any(asked.get(name, "").startswith(FLASH) for name in one)
        shown |= {name: _flashing(state) for name, state in one.items()} if flashes else one
    return shown if holds(tuple(asked.items()), shown) else None


def asked_for(signal: BoundSignal, asked: Mapping[str, str]) -> Boxes:
    """Return the boxes that a display asks to be lit, with what must stand in them if it says so."""
    found = []
    for name, state in asked.items():
        if state not in NOT_THERE:
            indicator, position = signal.indicator(name) or (name, "")
            content = state.removeprefix(FLASH).strip()
            found.append((indicator, position or ("" if content in (LIT, "present") else content)))
    return tuple(sorted(found))


def _flashing(state: str) -> str:
    """Return a state of a box as it is while that flashes."""
    return FLASH if state == LIT else f"{FLASH} {state}"


def box(signal: BoundSignal, indicator: str, content: str) -> Display:
    """Return what one indicator shows: a position of it, or what stands in its box."""
    book = signal.rulebook
    if book is not None and indicator in book.indicators and content in book.indicators[indicator].positions:
        return {f"{indicator}.{content}": LIT, content: LIT}
    return {indicator: content or LIT}


def stands(signal: BoundSignal, indicator: str, shows: Shows) -> bool:
    """Tell whether an indicator may be lit beside aspects; one that is not known may."""
    from lampwright.rulebooks.sequence import fits

    book = signal.rulebook
    wanted = book.indicators[indicator].stands_with if book is not None and indicator in book.indicators else None
    if book is None or not wanted:
        return True
    return any(fits(book, {"here": wanted}, {"here": aspect}) for _, aspect in shows if aspect)


def carried(signal: BoundSignal, lamps: Iterable[Told]) -> tuple[Boxes, ...]:
    """Return everything the indicators of a signal can show: nothing, one alone, several together.

    Several are told by the routes that light them; a signal without routes may show one of each beside all others.
    """
    contents = _contents(signal, lamps)
    singles = [((name, content),) for name, each in contents.items() for content in each]
    several = _of_routes(signal, contents) if signal.entry.routes else _any(contents)
    return tuple(dict.fromkeys(((), *sorted(singles), *sorted(several, key=lambda boxes: (len(boxes), boxes)))))


def _contents(signal: BoundSignal, lamps: Iterable[Told]) -> dict[str, tuple[str, ...]]:
    """Return what each indicator that is carried can show; one that says nothing of it shows what routes ask of it."""
    found: dict[str, set[str]] = {}
    for lamp in lamps:
        if lamp.indicator:
            position = lamp.names[-1] if len(lamp.names) > 1 else ""
            found.setdefault(lamp.indicator, set()).add(position or lamp.content)
    for route in signal.entry.routes:
        for indicator, content in for_route(signal, route):
            if "" in found.get(indicator, ()):
                found[indicator].add(content)
    return {name: tuple(sorted(each - {""} or each)) for name, each in sorted(found.items())}


def _of_routes(signal: BoundSignal, contents: dict[str, tuple[str, ...]]) -> Iterator[Boxes]:
    """Yield what routes light together, as far as the signal carries it."""
    for route in signal.entry.routes:
        boxes = tuple(sorted(for_route(signal, route)))
        if len(boxes) > 1 and all(content in contents.get(name, ()) for name, content in boxes):
            yield boxes


def _any(contents: dict[str, tuple[str, ...]]) -> Iterator[Boxes]:
    """Yield one content each of several indicators."""
    either = [[None, *((name, content) for content in each)] for name, each in contents.items()]
    for several in product(*either):
        boxes = tuple(box for box in several if box is not None)
        if len(boxes) > 1:
            yield boxes
