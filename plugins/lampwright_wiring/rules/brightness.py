"""A check of brightness: lamps that are seen side by side."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

from lampwright.checks import SIGNAL
from lampwright.findings import Basis, Citation, Level
from lampwright_wiring.scopes import ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal
    from lampwright_wiring.model import Feed, WiredLamp

PAIR = Fraction(5, 4)
"""How many times the light of the other one lamp of a pair may have."""
OUTSHONE = Fraction(4)
"""How many times the light of a main lamp an indicator may have."""
ALIKE = Citation("lamps of one colour that are lit together are matched", Basis.COMMON_PRACTICE)
STEADY = Citation("pulsed at one current, light goes with the share of time (jeuch.us)", Basis.SECONDARY)


class UnequalBrightness(ElectricalCheck):
    """Finds lamps of one colour that are lit together and not alike bright, or an indicator that outshines its signal.

    Two yellows are one aspect: of two that differ a driver sees one first, and from further off only that one. An
    indicator that is much brighter than the main aspect drowns it.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 1500 Hz}}
        signals:
          HF1:
            form: four-aspect
            lamps:
              - {yellow: {output: A.0, level: 60 %}}     # expect: unequal-brightness "upper-yellow and lower-yellow"
              - {green: A.1}
              - {yellow: A.2}
              - {red: A.3}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 1500 Hz}}
        leds: {yellow: {level: 60 %}}
        signals:
          HF1: {form: four-aspect, lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]}

    Limits: compares level, current and kind of LED as far as they are said. Whether an indicator is too bright is
    judged by levels alone, and is a note.
    """

    name = "unequal-brightness"
    level = Level.WARNING
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for the first pair that differs, and one for an indicator."""
        from lampwright_wiring.model import bind

        lamps = bind(subject.layout).by_signal.get(subject.name, [])
        yield from self._pair(subject, [lamp for lamp in lamps if not lamp.indicator])
        yield from self._indicator(subject, lamps)

    def _pair(self, signal: BoundSignal, lamps: list[WiredLamp]) -> Iterator[Finding]:
        """Yield a finding for two lamps of a colour that one display lights, if they differ."""
        form = signal.reader
        displays = [display for aspect in form.gives for display in form.displays(aspect)] if form else []
        for display in displays:
            lit = [lamp for lamp in lamps if lamp.state(display)]
            for first, second in combinations(lit, 2):
                told = _differ(first, second) if first.colour == second.colour else ""
                if told:
                    where = max((first, second), key=lambda lamp: len(lamp.detail))
                    other = second if where is first else first
                    yield self.finding(
                        f"{first.short} and {second.short} of {signal.name} are lit together, and {told}",
                        signal.layout.spot(*where.path),
                        related=(signal.layout.spot(*other.path, label="the other"),),
                        citations=(ALIKE, STEADY),
                        tip="the same LED, resistor and level for both",
                    )
                    return

    def _indicator(self, signal: BoundSignal, lamps: list[WiredLamp]) -> Iterator[Finding]:
        """Yield a note for the first indicator set far brighter than the signal's own lamps."""
        from lampwright_wiring import saying
        from lampwright_wiring.levels import duty

        main = [lamp for lamp in lamps if not lamp.indicator and lamp.outputs]
        for lamp in (one for one in lamps if one.indicator and one.outputs and main):
            least = min(main, key=lambda one: one.level)
            if least.level and duty(lamp.level) > OUTSHONE * duty(least.level):
                times = saying.number(duty(lamp.level) / duty(least.level))
                yield self.finding(
                    f"{lamp.short} of {signal.name} is set to {saying.percent(lamp.level)}, and its {least.short} to "
                    f"{saying.percent(least.level)}: it has {times} times the light",
                    signal.layout.spot(*lamp.path),
                    related=(signal.layout.spot(*least.path, label="the main aspect"),),
                    citations=(STEADY,),
                    tip="an indicator is to be seen beside the main aspect, not instead of it",
                    level=Level.NOTE,
                )
                return


def _differ(first: WiredLamp, second: WiredLamp) -> str:
    """Say how two lamps differ in light; empty if they do not, or not enough is said."""
    from lampwright_wiring import saying

    if not first.feeds or not second.feeds or first.fibre or second.fibre:
        return ""
    one, other = first.feeds[0], second.feeds[0]
    kinds = one.load.led, other.load.led
    if kinds[0] is not None and kinds[1] is not None and kinds[0] is not kinds[1]:
        return f"have different LEDs: {kinds[0].title} and {kinds[1].title}"
    light, its = _light(one), _light(other)
    if min(light, its) <= 0 or max(light, its) <= PAIR * min(light, its):
        return ""
    return f"one has {saying.number(max(light, its) / min(light, its))} times the light of the other"


def _light(feed: Feed) -> Fraction:
    """Return the light of a feed in a measure of its own kind: current, number and share of time."""
    from lampwright_wiring.levels import duty

    total = feed.draw.total
    return duty(feed.load.level) * (total.typical if total is not None else feed.load.count)
