"""Whether several lamps may hang on one output: only if they are always lit alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lampwright.layout import BoundSignal, Layout
    from lampwright_wiring.model import Feed, Used, WiredLamp


def strangers(layout: Layout, used: Used) -> tuple[WiredLamp, ...]:
    """Return the lamps on an output that are not always lit as the first one is; none if all may share it."""
    (first, feed), *others = used.lamps
    return tuple(
        dict.fromkeys(
            lamp for lamp, other in others if other.light != feed.light and not _alike(layout, first, feed, lamp, other)
        )
    )


def _alike(layout: Layout, one: WiredLamp, feed: Feed, other: WiredLamp, its: Feed) -> bool:
    """Tell whether two lamps may share an output."""
    if one.signal != other.signal:
        return False
    if one.names == other.names and feed.load.both_ways and its.load.both_ways:
        return one.colour != other.colour
    if one.indicator or other.indicator:
        return False
    return lit_alike(layout.signals[one.signal], one, other)


def lit_alike(signal: BoundSignal, one: WiredLamp, other: WiredLamp) -> bool:
    """Tell whether two lamps of a signal are lit alike in every display; if its form is not known, go by colour."""
    form = signal.reader
    if form is None:
        return one.colour == other.colour and one.names != other.names
    displays = [display for aspect in form.gives for display in form.displays(aspect)]
    states = [(one.state(display), other.state(display)) for display in displays]
    return any(mine for mine, _ in states) and all(mine == its for mine, its in states)
