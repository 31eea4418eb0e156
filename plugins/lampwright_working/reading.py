"""What drivers can make of signals at speed: time to read them, and distants that never clear."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import SIGNAL, Check, that_say
from lampwright.findings import Level
from lampwright.working.measures import Yardstick
from lampwright.working.parameters import parameter
from lampwright_working.cautions import always_warns
from lampwright_working.demands import compared, in_figures
from lampwright_working.stretches import arriving, leaving, section_speed
from lampwright_working.trains import ANY_KIND
from lampwright_working.units import Units, number
from lampwright_working.unmeasured import no_full_size

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright_working.stretches import Stretch


class ShortSighting(Check):
    """Finds a signal that a driver sees too late to read it.

    Between the place where a signal comes into view and the signal itself the driver must find it, read it and be sure
    of it. How long that takes does not depend on his speed; how far he runs meanwhile does.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 60 mph}}
        sections: {AA: {line: main, length: 3 m}}
        signals:
          HF1: {form: three-aspect, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, sighting: 60 cm}    # expect: short-sighting "HF3 is in sight for"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 60 mph}}
        sections: {AA: {line: main, length: 3 m}}
        signals:
          HF1: {form: three-aspect, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, sighting: 75 cm}

    Limits: the speed is that of the line before the signal; a banner repeater that helps the driver is not counted.
    """

    name = "short-sighting"
    level = Level.WARNING
    scope = that_say("sighting")

    def missing(self, whole: Layout) -> str:
        """Ask for sighting distances, and what track stands for."""
        yard = Yardstick.of(whole)
        said = (signal.entry.rest.get("sighting") for signal in whole.signals.values())
        lengths = [yard.length(length) for length in said if length]
        return no_full_size(whole, lengths)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare the time a signal is in sight with the time to read it."""
        layout = subject.layout
        length = Yardstick.of(layout).length(subject.entry.rest.get("sighting"))
        if length.stands is None:
            return
        figure = parameter(layout, "reading-time", "time", subject.rulebook)
        speed = approach_speed(subject)
        if figure is None or speed is None:
            return
        breach = compared(length.stands / speed, in_figures(figure, at_least=True))
        if breach is not None:
            units = Units.of(layout)
            far = Yardstick.of(layout).standing(breach.asked * speed)
            yield self.finding(
                f"{subject.name} is in sight for {number(breach.amount, 1)} s at {units.fast(speed)}, "
                f"and a driver needs {number(breach.asked, 1).removesuffix('.0')} s to read it",
                subject.spot("sighting"),
                related=breach.demand.spots,
                citations=breach.citations,
                because=breach.dispute,
                tip=f"{units.both(far)} would do; or a repeater before it",
                level=breach.level,
            )


class FixedDistantOnFastLine(Check):
    """Finds a distant that never clears where trains run fast and do not all stop.

    A fixed distant tells every driver to be ready to stop at the next signal. Where trains stop anyway, or creep, that
    is no loss. Elsewhere every train brakes for nothing, and drivers learn to pass a caution without heed.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        lines: {main: {speed: 60 mph}}
        sections: {AA: {line: main}, AB: {line: main}}
        ends: {down-main: {kind: off-stage}}
        signals:
          HF1: {form: two-aspect-stop, routes: [{to: HF3, passes: [HF3R], over: [AA]}]}
          HF3R: {form: fixed-distant, repeats: HF3}    # expect: fixed-distant-on-fast-line "60 mph"
          HF3: {form: two-aspect-stop, routes: [{to: down-main, over: [AB]}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        lines: {branch: {speed: 15 mph}}
        sections: {AA: {line: branch}, AB: {line: branch}}
        ends: {yard: {kind: off-stage}}
        signals:
          HF1: {form: two-aspect-stop, routes: [{to: HF3, passes: [HF3R], over: [AA]}]}
          HF3R: {form: fixed-distant, repeats: HF3}
          HF3: {form: two-aspect-stop, routes: [{to: yard, over: [AB]}]}

    Limits: that all trains stop is known only where every route beyond the next signal ends at buffers.
    """

    name = "fixed-distant-on-fast-line"
    level = Level.WARNING
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare the speed at a fixed distant with the rulebook's."""
        figure = parameter(subject.layout, "fixed-distant-speed", "speed", subject.rulebook)
        aspect = always_warns(subject) if figure is not None else ""
        speed = approach_speed(subject) if aspect else None
        if figure is None or speed is None or _all_stop(subject):
            return
        breach = compared(speed, in_figures(figure))
        if breach is not None and not breach.short:
            units = Units.of(subject.layout)
            yield self.finding(
                f"{subject.name} never shows anything but {aspect}, and trains pass it at {units.fast(speed)}",
                subject.spot("gives") if subject.entry.gives else subject.spot("form"),
                related=breach.demand.spots,
                citations=breach.citations,
                because=breach.dispute,
                tip=f"let it clear, unless all trains stop or run at {units.fast(breach.asked)} at most",
                level=breach.level,
            )


def approach_speed(signal: BoundSignal) -> Fraction | None:
    """Return the highest speed at which trains come to a signal, as far as the plan says; None if it does not."""
    speeds = [_speed(stretch, signal) for stretch in arriving(signal.layout, signal.name)]
    known = [speed for speed in speeds if speed is not None]
    if not known and (line := signal.entry.rest.get("line")) is not None:
        return Yardstick.of(signal.layout).speed((signal.layout.plan.lines.get(str(line)) or {}).get("speed"))
    return max(known, default=None)


def _speed(stretch: Stretch, signal: BoundSignal) -> Fraction | None:
    """Return the speed at which trains come over a stretch to a signal on it; None if it is not known."""
    section = str(signal.entry.rest.get("section", stretch.route.over[-1] if stretch.route.over else ""))
    line = section_speed(stretch.layout, stretch.yard, section, ANY_KIND)
    said = (stretch.yard.speed(stretch.route.speed or None), line)
    return min((speed for speed in said if speed is not None), default=None)


def _all_stop(signal: BoundSignal) -> bool:
    """Tell whether every train that passes a distant stops beyond the next signal: all its routes end at buffers."""
    layout = signal.layout
    nexts = {stretch.route.to for stretch in arriving(layout, signal.name)}
    beyond = {stretch.route.to for name in nexts for stretch in leaving(layout, name)}
    ends = [(layout.plan.ends.get(name) or {}).get("kind") for name in beyond | (nexts - layout.signals.keys())]
    return bool(ends) and all(kind == "buffer-stop" for kind in ends)
