"""What is to have outputs: lamps and indicators without, each with the outputs it takes and what must go with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from lampwright_wiring.current.loads import fades
from lampwright_wiring.model import WAY_OF

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.layout import BoundSignal, Layout
    from lampwright_wiring.model import Load, WiredLamp, Wiring


class Need(Struct, frozen=True, eq=False):
    """Outputs that belong together: those of one lamp, or of both colours of an LED between two outputs.

    ``lights`` are its LEDs with the lamp that shows by each, ``size`` how many outputs they take. ``way`` is how its
    head must be driven, if that is said. ``dimmed`` lamps do not go beside servos. ``together`` names what else flashes
    with it.
    """

    lamps: tuple[WiredLamp, ...]
    lights: tuple[tuple[WiredLamp, Load], ...]
    size: int
    way: str
    dimmed: bool
    together: frozenset[str] = frozenset()

    @property
    def signal(self) -> str:
        """The signal it belongs to."""
        return self.lamps[0].signal

    @property
    def both_ways(self) -> bool:
        """Whether it is an LED between two outputs."""
        return self.lights[0][1].both_ways

    def __str__(self) -> str:
        """Return what a person calls it."""
        return self.lamps[0].label


def needs(layout: Layout, wiring: Wiring) -> tuple[Need, ...]:
    """Return everything that lacks outputs, signal by signal, in the order in which the plan tells it."""
    return tuple(
        need
        for name, lamps in wiring.by_signal.items()
        for need in _of_signal(layout, layout.signals[name], [lamp for lamp in lamps if not (lamp.dummy or lamp.fibre)])
    )


def loosened(wiring: Wiring) -> Wiring:
    """Return the electrics of a plan with all taken off its outputs that may be; what shares one stays on it."""
    shared = {
        lamp.path
        for on in wiring.by_output.values()
        for lamp, feed in on
        if any(feed.light != other.light for _, other in on) and not feed.load.both_ways
    }
    return replace(wiring, lamps=tuple(_loose(lamp) if lamp.path not in shared else lamp for lamp in wiring.lamps))


def _loose(lamp: WiredLamp) -> WiredLamp:
    """Return a lamp without outputs, unless it must stay where it is."""
    if lamp.pinned or lamp.built:
        return lamp
    return replace(lamp, feeds=tuple(replace(feed, output=None, returns=None) for feed in lamp.feeds))


def _of_signal(layout: Layout, signal: BoundSignal, lamps: list[WiredLamp]) -> Iterator[Need]:
    """Yield the needs of one signal."""
    lenses: set[tuple[str, ...]] = set()
    flashes = list(_flashes(signal, lamps))
    for lamp in lamps:
        if not lamp.feeds or any(feed.output is not None for feed in lamp.feeds) or _comes_along(lamp, lamps):
            continue
        group = _between_two(lamp, lamps)
        if group and lamp.names in lenses:
            continue
        lenses.add(lamp.names)
        together = frozenset(f"{lamp.signal} {n}" for n, names in enumerate(flashes) if names.intersection(lamp.names))
        yield _need(layout, group or (lamp,), together)


def _need(layout: Layout, lamps: tuple[WiredLamp, ...], together: frozenset[str]) -> Need:
    """Return one need."""
    lights = tuple((lamp, feed.load) for lamp in lamps for feed in lamp.feeds)
    lamp, load = lights[0]
    dimmed = any(one.level < 1 for _, one in lights) or any(fades(layout, one) for one in lamps)
    way = "" if load.both_ways else WAY_OF.get(lamp.polarity) or WAY_OF.get(load.polarity, "")
    return Need(lamps, lights, 2 if load.both_ways else len(lights), way, dimmed, together)


def _between_two(lamp: WiredLamp, lamps: Iterable[WiredLamp]) -> tuple[WiredLamp, ...]:
    """Return the lamps of a lens whose LED stands between two outputs; none if its does not."""
    if not lamp.feeds[0].load.both_ways:
        return ()
    same = (one for one in lamps if one.names == lamp.names and one.feeds and one.feeds[0].load.both_ways)
    return tuple(same) if lamp.names else (lamp,)


def _comes_along(lamp: WiredLamp, lamps: Iterable[WiredLamp]) -> bool:
    """Tell whether a mixed colour is made by LEDs of the same lens that have outputs of their own, or will have."""
    mixed = lamp.detail.get("mix")
    plain = {one.colour for one in lamps if one.names == lamp.names and "mix" not in one.detail}
    return isinstance(mixed, dict) and plain.issuperset(mixed)


def _flashes(signal: BoundSignal, lamps: list[WiredLamp]) -> Iterator[frozenset[str]]:
    """Yield the names of the lamps that flash together, for each display in which several do."""
    form = signal.reader
    for aspect in form.gives if form is not None else ():
        for display in form.displays(aspect) if form is not None else ():
            names = {name for lamp in lamps if lamp.state(display) not in ("", "lit") for name in lamp.names}
            if len(names) > 1:
                yield frozenset(names)
