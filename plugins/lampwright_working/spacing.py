"""Spacing of signals that can show red: too close, or so wide that drivers brake late."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check
from lampwright.findings import Level
from lampwright.working.parameters import parameter
from lampwright_working.cautions import approaches, warns_early
from lampwright_working.demands import Breach, compared, in_stops
from lampwright_working.lateness import makes_late
from lampwright_working.stretches import ROUTE
from lampwright_working.trains import ANY_KIND, Brakes
from lampwright_working.units import Units
from lampwright_working.unmeasured import no_stopping

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.layout import Layout
    from lampwright_working.cautions import Approach
    from lampwright_working.demands import Demand
    from lampwright_working.stretches import Stretch

THREE, FOUR = "three-aspect", "four-aspect"
"""How a stretch is worked: one signal warns of its red, or two do."""


class _Spacing(Check):
    """What the two checks of spacing share."""

    level = Level.WARNING
    scope = ROUTE
    needs = ("late-caution",)

    def missing(self, whole: Layout) -> str:
        """Ask for lengths, speeds, and what track stands for or how trains stop."""
        return no_stopping(whole)

    def _found(self, stretch: Stretch, breach: Breach, slip: str, tip: str) -> Finding:
        """Return the finding for a stretch."""
        brakes, units = Brakes.of(stretch.layout), Units.of(stretch.layout)
        there, asked = units.apart(brakes.length(breach.amount), brakes.length(breach.asked))
        figure, _ = breach.demand.terms[0]
        stop = breach.demand.stop
        speed = f" from {units.fast(stop.speed)}" if stop else ""
        return self.finding(
            f"{stretch} is {there} long, {slip} {asked} that {worked(stretch)} working asks there "
            f"({figure}{speed}, {breach.demand.terms[1][0]})",
            stretch.length_spot,
            related=breach.demand.spots,
            citations=breach.citations,
            because=breach.dispute,
            tip=tip.format(asked=asked),
            level=breach.level,
        )


class CloseSpacing(_Spacing):
    """Finds signals that stand too close for four-aspect working.

    With four aspects two stretches share the braking distance. If one of them is very short, the driver has hardly read
    the double yellow when the single one comes, and the other stretch must make up for it.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 60 mph}}
        sections:
          AA: {line: main, length: 1.5 m}
          AB: {line: main, length: 1.75 m}
          AC: {line: main, length: 0.7 m}    # expect: close-spacing "HF5 to HF7"
        signals:
          HF1: {form: four-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: four-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: four-aspect, routes: [{to: HF7, over: [AC]}]}
          HF7: {form: four-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 60 mph}}
        sections:
          AA: {line: main, length: 1.5 m}
          AB: {line: main, length: 1.4 m}
          AC: {line: main, length: 1.3 m}
        signals:
          HF1: {form: four-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: four-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: four-aspect, routes: [{to: HF7, over: [AC]}]}
          HF7: {form: four-aspect}

    Limits: with three aspects a stretch that is too short is a caution that comes too late, and reported as that. Only
    stretches that are run at line speed are compared. Where signals of both kinds meet, the first caution alone counts.
    """

    name = "close-spacing"

    def look(self, subject: Stretch) -> Iterator[Finding]:
        """Compare a stretch with the least that four-aspect working asks, unless it makes a caution late anyway."""
        if worked(subject) != FOUR or makes_late(subject):
            return
        if (breach := _compared(subject)) is not None and breach.short:
            yield self._found(subject, breach, "less than the", "{asked} at least")


class WideSpacing(_Spacing):
    """Finds signals that stand so far apart that a caution is read long before it matters.

    A driver who knows that the red is far off does not brake at the caution, and one day misjudges how far. So a
    caution is given not much before the braking distance.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 40 mph}}
        sections:
          AA: {line: main, length: 1.3 m}
          AB: {line: main, length: 2.5 m}    # expect: wide-spacing "HF3 to HF5"
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 40 mph}}
        sections:
          AA: {line: main, length: 1.3 m}
          AB: {line: main, length: 1.35 m}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: three-aspect}

    Limits: how far is too far is disputed; what only one source allows is a note. Only stretches that are run at line
    speed are compared, and only those where stop signals warn: with a distant before it a stop signal may stand
    anywhere. Where the plan's own trains are the measure nothing is compared: models stop sooner than their prototypes.
    """

    name = "wide-spacing"

    def missing(self, whole: Layout) -> str:
        """Ask for what track stands for."""
        return "the plan's own trains are the measure" if Brakes.of(whole).own else super().missing(whole)

    def look(self, subject: Stretch) -> Iterator[Finding]:
        """Compare a stretch with the most that its working allows."""
        if worked(subject) and (breach := _compared(subject)) is not None and not breach.short:
            yield self._found(subject, breach, "more than the", "{asked} at most, so one more signal on the way")


def worked(stretch: Stretch) -> str:
    """Return how a stretch between two stop signals is worked; empty if a distant warns, nothing does, or it varies."""
    if "working" not in stretch.layout.cache:
        stretch.layout.cache["working"] = _workings(stretch.layout)
    found: dict[Path, set[str]] = stretch.layout.cache["working"]
    kinds = found.get(stretch.path, set())
    return next(iter(kinds)) if len(kinds) == 1 else ""


def demands(stretch: Stretch) -> list[Demand]:
    """Return what the working of a stretch asks of its length at line speed; nothing if it is run more slowly."""
    figure = parameter(stretch.layout, f"spacing-{worked(stretch)}") if worked(stretch) else None
    speeds = stretch.speeds()
    if figure is None or stretch.line_speed is None or speeds.get(ANY_KIND) != stretch.line_speed:
        return []
    return in_stops(figure, Brakes.of(stretch.layout).stops(speeds, stretch.slope))


def _compared(stretch: Stretch) -> Breach | None:
    """Compare the length of a stretch with what its working asks."""
    amount = Brakes.of(stretch.layout).measure(stretch.length)
    return None if amount is None else compared(amount, demands(stretch))


def _workings(layout: Layout) -> dict[Path, set[str]]:
    """Return how each stretch is worked, by every way that trains come over it."""
    found: dict[Path, set[str]] = {}
    for approach in approaches(layout):
        kind = "" if approach.by_distant else _working(approach)
        for stretch in approach.way if kind else ():
            found.setdefault(stretch.path, set()).add(kind)
    return found


def _working(approach: Approach) -> str:
    """Return how a way is worked; empty if it is neither kind, or the signal that would tell is beyond the edge."""
    early = [warns_early(stretch.signal) for stretch in approach.way]
    if len(early) == 1:
        return THREE if approach.clear is not None or not early[0] else ""
    return FOUR if len(early) == 2 and all(early) else ""  # noqa: PLR2004  (the first warns of the second)
