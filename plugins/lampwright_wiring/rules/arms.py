"""A check of indicators that have several lights, and are counted as one LED."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import SIGNAL
from lampwright.findings import Level
from lampwright_wiring.scopes import FORM_FIRST, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.model import Indicator
    from lampwright_wiring.model import WiredLamp


class UncountedLights(ElectricalCheck):
    """Finds an indicator of several lights of which the plan does not say how many LEDs it has.

    An arm of five lights is five LEDs for one output, or one behind five fibres: what its output and supply carry, what
    resistor it takes and what is to be bought all hang on that. Where nothing is said, it is counted as one LED.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, drive: sink, held-dark: true}}
        leds: {white: {kind: warm-white-3mm, resistor: 1.5 kohm}}
        signals:
          HF3:
            form: three-aspect
            carries:
              position-1: A.3                            # expect: uncounted-lights "position-1 of HF3 has 5 lights"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, drive: sink, held-dark: true}}
        leds: {white: {kind: warm-white-3mm, resistor: 1.5 kohm}}
        signals:
          HF3:
            form: three-aspect
            carries: {position-1: {output: A.3, leds: 5 parallel}}

    Limits: only indicators that have an output and of whose LEDs something is said. A number that differs from that of
    the rulebook is taken as said.
    """

    name = "uncounted-lights"
    level = Level.WARNING
    scope = SIGNAL
    needs = (
        "unknown-indicator",
        "indicator-beyond-form",
        "indicator-not-carried",
        "indicator-on-wrong-side",
        *FORM_FIRST,
    )

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield one finding for all indicators of so many lights whose LEDs are not counted."""
        from lampwright_wiring.model import bind

        by_count: dict[int, list[WiredLamp]] = {}
        for lamp in bind(subject.layout).by_signal.get(subject.name, []):
            if (count := _count(subject, lamp)) > 1 and _unsaid(lamp):
                by_count.setdefault(count, []).append(lamp)
        yield from (self._told(subject, count, lamps) for count, lamps in by_count.items())

    def _told(self, signal: BoundSignal, count: int, lamps: list[WiredLamp]) -> Finding:
        """Return the finding for some indicators of so many lights."""
        from lampwright_wiring import saying

        assert signal.rulebook is not None  # noqa: S101  (it told the count)
        data = ("indicators", lamps[0].indicator, "lamps")
        many = len(lamps) > 1
        has = (
            f"have {count} lights each, and count as one LED each"
            if many
            else f"has {count} lights, and counts as one LED"
        )
        return self.finding(
            f"{saying.lamps(lamps)} {has}",
            signal.layout.spot(*lamps[0].path),
            related=(
                *(signal.layout.spot(*lamp.path, label="and this one") for lamp in lamps[1:4]),
                signal.rulebook.spot(*data, label="the lights it has"),
            ),
            citations=(signal.rulebook.why(*data),),
            tip=f"say `leds: {count} parallel` or `{count} series`; `leds: 1` where one LED lights all of it",
        )


def _count(signal: BoundSignal, lamp: WiredLamp) -> int:
    """Return how many lights an indicator has for one thing it shows, as the rulebook says; 1 for all else."""
    record: Indicator | None = signal.rulebook.indicators.get(lamp.indicator) if signal.rulebook else None
    return int(record.lamps.get("count", 1)) if record is not None else 1


def _unsaid(lamp: WiredLamp) -> bool:
    """Tell whether an indicator is wired with LEDs that are known, and their number is not said."""
    return any(
        feed.output is not None and not feed.load.counted and (feed.load.led is not None or feed.draw.total is not None)
        for feed in lamp.feeds
    )
