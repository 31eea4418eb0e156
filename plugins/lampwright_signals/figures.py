"""Figures beside a signal against the speed that the plan gives the route."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.quantities import Quantity, quantity
from lampwright.rulebooks.codec import as_words
from lampwright.rulebooks.speeds import faster, speed
from lampwright_signals.lights import book_spot, lit, record, why

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal
    from lampwright.plans import Route
    from lampwright.rulebooks import Rulebook
    from lampwright_signals.lights import Light


class FigureAgainstSpeed(Check):
    """Finds a route that lights a figure which is not its own speed.

    The figure is the speed over the points. One too high sends a train into a curve faster than it may run; one too
    low is a slip of the plan, or a speed that is out of date.

    Wrong:

        plan: 1
        rulebook: ch-n
        year: 2003
        ends: {north: {kind: off-stage, assume: [halt, fahrt]}}
        signals:
          HF1:
            form: main
            carries: [number]
            gives: [halt, warnung, ausfuehrung]
            from: off-stage
            routes:
              - to: north
                turns: left
                speed: 60 km/h
                indicator: {number: 9}    # expect: figure-against-speed "shows 9 to north, which is 90 km/h"

    Right:

        plan: 1
        rulebook: ch-n
        year: 2003
        ends: {north: {kind: off-stage, assume: [halt, fahrt]}}
        signals:
          HF1:
            form: main
            carries: [number]
            gives: [halt, warnung, ausfuehrung]
            from: off-stage
            routes:
              - to: north
                turns: left
                speed: 60 km/h
                indicator: {number: 6}

    Limits: only boxes by which an aspect tells the speed at its own signal. A figure below the route's speed by less
    than one step of the box is that speed, rounded down; one further below is a warning, for something else may ask
    for it. A route without a speed contradicts none.
    """

    name = "figure-against-speed"
    scope = that_say("routes")
    needs = ("unknown-form", "unshowable-character")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare every figure that a route lights."""
        book = subject.rulebook
        if book is None or subject.form is None:
            return
        for route in subject.entry.routes:
            own = _quantity(route.speed)
            for item in lit(subject, route) if own else ():
                told = _told(book, item)
                freer = _astray(told, own, _step(subject, item)) if told and own else None
                if told and freer is not None:
                    yield self._wrong(subject, route, item, told, freer=freer)

    def _wrong(self, signal: BoundSignal, route: Route, item: Light, told: Quantity, *, freer: bool) -> Finding:
        """Return the finding for one figure."""
        shown = f"{signal.name} shows {item.content} to {route.to}, which is {told.text}"
        return self.finding(
            f"{shown}, and the route is run at {route.speed}",
            signal.layout.spot(*item.path),
            related=(
                signal.layout.spot(*route.path, "speed", label="its speed"),
                *book_spot(signal, item.indicator, "times", label="what a figure counts"),
            ),
            citations=why(signal, item.indicator, "times"),
            level=Level.ERROR if freer else Level.WARNING,
        )


def _told(book: Rulebook, item: Light) -> Quantity | None:
    """Return the speed that a box tells for its own signal; None if it tells none there."""
    speaks = any(item.indicator in as_words(aspect.says.get("speed-now", "")) for aspect in book.aspects.values())
    told = speed(book, item.indicator, {item.indicator: item.content}) if speaks and item.content else None
    return told if isinstance(told, Quantity) else None


def _astray(told: Quantity, own: Quantity, step: Quantity | None) -> bool | None:
    """Tell whether a figure is above the speed of the route; None if it is that speed, as far as it can be shown."""
    if faster(told, own):
        return True
    return False if step is not None and own.amount - told.amount >= step.amount else None


def _step(signal: BoundSignal, item: Light) -> Quantity | None:
    """Return what one more in a box is worth; None if it has no figures."""
    return _quantity(record(signal, item.indicator).times)


def _quantity(text: str) -> Quantity | None:
    """Return a speed, or None where there is none."""
    try:
        return quantity(text, "speed") if text else None
    except ValueError:
        return None
