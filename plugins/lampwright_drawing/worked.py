"""What signals show with routes set and sections occupied, worked out as the layout is worked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.working.play import Occupy, Play, Refusal, Set
from lampwright_drawing.subjects import Lit, Shown

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from lampwright.layout import BoundSignal, Layout
    from lampwright.working.play import Situation
    from lampwright.working.play.play import Shown as Worked


def worked(
    layout: Layout, routes: Collection[str], occupied: Collection[str]
) -> tuple[dict[str, Shown], dict[str, str]]:
    """Return what each signal shows with routes set, then sections occupied; and why routes cannot be set, by name."""
    play = Play(layout)
    now = play.start()
    refused = {}
    for name in routes:
        now, why = _set(play, now, name)
        if why:
            refused[name] = why
    for section in occupied:
        after = play.after(now, Occupy(section)) if section in play.places.names else now
        now = now if isinstance(after, Refusal) else after
    shown = play.shown(now)
    return {name: _shown(layout.signals[name], one) for name, one in shown.items()}, refused


def _set(play: Play, now: Situation, name: str) -> tuple[Situation, str]:
    """Set the first route of a name that can be; return why none can if so."""
    why = ""
    for number, control in enumerate(play.controls.routes):
        if name in (control.route.name, control.route.ends) and number not in now.routes:
            after = play.after(now, Set(number))
            if not isinstance(after, Refusal):
                return after, ""
            why = why or str(after)
    return now, why


def _shown(signal: BoundSignal, worked_out: Worked) -> Shown:
    """Return what a signal shows as it is drawn."""
    lamps = {
        name: Lit(light.colour, "flash" if light.beat else "", light.beat)
        for light in worked_out.lit
        for name in light.names
    }
    return Shown(worked_out.said, lamps, dict(_boxes(signal, worked_out)))


def _boxes(signal: BoundSignal, worked_out: Worked) -> Iterator[tuple[str, str]]:
    """Yield what stands in each box, and which arm is lit."""
    for name, content in worked_out.boxes:
        indicator, position = signal.indicator(name) or (name, "")
        yield indicator, position or content
