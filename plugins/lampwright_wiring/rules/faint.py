"""A check of resistors that leave hardly any current."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lampwright.checks import PLAN
from lampwright.findings import Basis, Citation, Level
from lampwright_wiring.fitting import USUAL, by_place, fitting, named
from lampwright_wiring.places import pointed
from lampwright_wiring.scopes import ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright_wiring.model import Feed

LEAST = Fraction(1, 2000)
"""Below this hardly any LED of a signal is seen in a lit room; in A."""
OF_AIM = Fraction(1, 2)
"""The share of the current that is meant, below which a lamp is not as bright as it was to be."""
SEEN = Citation("LEDs of signals are run at 1 mA and more; below 0.5 mA they hardly show", Basis.COMMON_PRACTICE)


class ResistorTooLarge(ElectricalCheck):
    """Finds LEDs that get far too little current to be seen, or to be as bright as is meant.

    With kilohms too many an LED glows in the dark of a workshop, and is out in a lit room. On the model such a lamp is
    read as dark: no signal, or another aspect. A slip of `330 kohm` for `330 ohm` is the usual reason.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 330 kohm}}      # expect: resistor-too-large "gets 0.009 mA"
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 330 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: where the plan says the `current` that is meant, less than half of it is found; elsewhere less than 0.5 mA,
    which is common practice and no property of the LED: very bright ones show with less, and then the comment that
    allows it says so. Typical parts count, and no level below full.
    """

    name = "resistor-too-large"
    level = Level.WARNING
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place that lets too little through."""
        from lampwright_wiring import saying
        from lampwright_wiring.model import bind
        from lampwright_wiring.rules.voltages import scarce

        wiring = bind(subject)
        for path, found in by_place(subject, wiring, lambda feed: _faint(feed) and not scarce(wiring, feed)).items():
            lamps, feed = [lamp for lamp, _ in found], found[0][1]
            assert feed.draw.each is not None  # noqa: S101  (_faint has looked)
            aim = _aim(feed)
            wanted = f"and is meant to have {saying.amps(aim)}" if aim else "far less than it takes to be seen"
            yield self.finding(
                f"{named(lamps)} gets {saying.amps(feed.draw.each.typical)}, {wanted}",
                subject.spot(*path),
                related=pointed(subject, lamps, path, "lit by such an LED"),
                citations=() if aim else (SEEN,),
                tip=fitting(wiring, feed, aim or USUAL),
            )


def _faint(feed: Feed) -> bool:
    """Tell whether an LED gets some current through its resistor, but too little."""
    each = feed.draw.each
    if each is None or not feed.draw.resistor.ohms or each.typical <= 0:
        return False
    aim = _aim(feed)
    return each.typical < (aim * OF_AIM if aim else LEAST)


def _aim(feed: Feed) -> Fraction | None:
    """Return the current that is meant; one that the LED does not stand is no measure of what is right."""
    aim, led = feed.load.aim, feed.load.led
    return None if aim is None or led is None or (led.limit is not None and aim > led.limit) else aim
