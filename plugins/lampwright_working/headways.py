"""Trains that are to follow each other sooner than the signals let them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.working.parameters import parameter
from lampwright_working.cautions import approaches
from lampwright_working.following import following_time, headway
from lampwright_working.trains import Brakes
from lampwright_working.units import Units, number
from lampwright_working.unmeasured import no_stopping

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright_working.cautions import Approach


class HeadwayNotKept(Check):
    """Finds a line whose signals keep trains farther apart than its headway allows.

    A train that is not to brake must find its signal clear when it comes in sight. That signal is clear only once the
    train before has passed the red ahead with its overlap and its whole length. So the time between trains is set by
    the widest spacing, over two stretches with three aspects and three with four.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines:
          main:
            speed: 60 mph
            headway: 80 s                # expect: headway-not-kept "HF1 to HF5"
        sections: {AA: {line: main, length: 3 m}, AB: {line: main, length: 3.1 m}}
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
        lines:
          main:
            speed: 60 mph
            headway: 2 min
        sections: {AA: {line: main, length: 3 m}, AB: {line: main, length: 3.1 m}}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: three-aspect}

    Limits: only lines that say a headway, at their full speed without stops. Where a signal does not say from how far
    it is seen, it is the way run in the time to read it; where a route has no overlap, the rulebook's; without trains
    in the plan a train has no length. The worst place of a line is reported.
    """

    name = "headway-not-kept"
    level = Level.WARNING
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Ask for lengths and speeds, if a line says a headway."""
        return no_stopping(whole) if any(headway(whole, line) for line in whole.plan.lines) else ""

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare the headway of each line with the time in which trains can follow on it."""
        for line in subject.plan.lines:
            asked = headway(subject, line)
            slowest = max(_times(subject, line), key=lambda pair: pair[0], default=None) if asked else None
            if asked and slowest and slowest[0] > asked:
                yield self._kept_apart(subject, line, *slowest)

    def _kept_apart(self, layout: Layout, line: str, time: Fraction, approach: Approach) -> Finding:
        """Return the finding for a line, at its worst place."""
        stretches = approach.way if approach.by_distant or approach.clear is None else (approach.clear, *approach.way)
        figures = [parameter(layout, "reading-time", "time"), parameter(layout, "overlap", "length")]
        units = Units.of(layout)
        far = units.both(approach.following) if not Brakes.of(layout).own else ""
        return self.finding(
            f"trains on {line} can follow each other after {number(time, 0)} s at the soonest: so long it takes from "
            f"{stretches[0].signal.name} to {approach.red}",
            layout.spot("lines", line, "headway"),
            related=tuple(stretch.length_spot for stretch in stretches),
            citations=[citation for figure in figures if figure for citation in figure.citations],
            because=f"{stretches[0].signal.name} is clear only once the train before is clear of {approach.red}"
            + (f", {far} on" if far else ""),
            tip="more signals on that way, heads with more aspects, or a longer headway",
        )


def _times(layout: Layout, line: str) -> Iterator[tuple[Fraction, Approach]]:
    """Yield how soon trains can follow over each way that lies on a line."""
    for approach in approaches(layout):
        time = following_time(approach)
        if time is not None and all(line in stretch.lines for stretch in approach.way):
            yield time, approach
