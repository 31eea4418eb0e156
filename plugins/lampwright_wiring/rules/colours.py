"""A check of light: whether an LED gives the colour that a lamp is to show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.words import listed, with_article
from lampwright_wiring.fitting import named
from lampwright_wiring.places import grouped, pointed, said

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright.findings import Citation, Finding, Path
    from lampwright.layout import Layout
    from lampwright_wiring.kinds import ColourKind, LedKind
    from lampwright_wiring.model import Feed, WiredLamp, Wiring


class WrongLedColour(Check):
    """Finds LEDs whose light is not that of the lamp they stand in.

    Green, yellow and red are told apart by narrow spans of wavelength. The green of signals is a blue-green of about
    500 nm: the vivid green of lighting lies beyond it, the yellowish green of old LEDs comes close to yellow, and
    orange is between yellow and red, where nothing should be.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds:
          red: {kind: red-3mm, resistor: 330 ohm}
          green:
            kind: green-3mm-gap              # expect: wrong-led-colour "565 to 574 nm"
            resistor: 330 ohm
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 330 ohm}, green: {kind: traffic-green-3mm, resistor: 180 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: an LED of another colour is an error, one outside all published limits a warning, one that only the widest
    of several limits takes a note. The limits are for the prototype, seen from afar; a model is forgiven more. Colours
    that the parts data do not know are not judged.
    """

    name = "wrong-led-colour"
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Return that no kind of LED is named."""
        from lampwright_wiring.rules.naming import named as names

        return "" if any(one.section == "leds" for one in names(whole)) else "no kinds of parts given"

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place that says LEDs of the wrong light."""
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        lit = ((lamp, feed) for lamp in wiring.lamps for feed in lamp.feeds if not lamp.fibre)
        wrong = grouped(
            (said(subject, lamp, feed.load.colour, "led"), lamp, feed)
            for lamp, feed in lit
            if _verdict(wiring, feed) is not None
        )
        for path, found in wrong.items():
            yield self._wrong(subject, wiring, path, found)

    def _wrong(self, layout: Layout, wiring: Wiring, path: Path, found: list[tuple[WiredLamp, Feed]]) -> Finding:
        """Return the finding for the lamps of one place."""
        lamps = [lamp for lamp, _ in found]
        verdict = _verdict(wiring, found[0][1])
        assert verdict is not None  # noqa: S101  (only such feeds are grouped)
        level, what, tip, citations = verdict
        related = pointed(layout, lamps, path, "lit by such an LED")
        return self.finding(
            f"{named(lamps)} {what}",
            layout.spot(*path),
            related=related,
            citations=citations,
            tip=tip,
            level=level,
        )


Verdict = tuple[Level, str, str, "tuple[Citation, ...]"]
"""How bad an LED's light is, what is wrong, what would be right, and by which sources."""


def _verdict(wiring: Wiring, feed: Feed) -> Verdict | None:
    """Judge the light of an LED for the colour it is to show; None if there is nothing to say."""
    led, package, colour = feed.load.led, feed.load.package, feed.load.colour
    if package is not None and led is None:
        return Level.ERROR, f"is lit by an LED that has no {colour}: {package.title}", "", (package.why("dies"),)
    wanted = wiring.parts.colour(colour)
    if led is None or wanted is None:
        return None
    if wiring.parts.colour(led.colour) is not wanted:
        tip = f"{with_article(colour)} LED" + (f", {_nm(next(iter(wanted.ranges.values())))}" if wanted.ranges else "")
        return Level.ERROR, f"is lit by an LED that is {led.colour}: {led.title}", tip, ()
    if led.wavelength is not None and wanted.ranges:
        return _by_wavelength(led, wanted)
    return _by_white(led, wanted)


def _by_wavelength(led: LedKind, wanted: ColourKind) -> Verdict | None:
    """Judge a wavelength by the sets of limits there are."""
    assert led.wavelength is not None  # noqa: S101
    least, most = led.wavelength
    taking = [name for name, (low, high) in wanted.ranges.items() if low <= least and most <= high]
    if len(taking) > 1 or len(taking) == len(wanted.ranges):
        return None
    narrowest = next(iter(wanted.ranges.values()))
    tip = f"an LED of {_nm(narrowest)}"
    if taking:
        why = (led.why("wavelength"), wanted.why("ranges", taking[0]))
        return Level.NOTE, f"is lit at {_nm(led.wavelength)}, which of all limits only {taking[0]} takes", tip, why
    sets = listed(f"{_nm(span)} ({name})" for name, span in wanted.ranges.items())
    reasons = (led.why("wavelength"), *(wanted.why("ranges", name) for name in wanted.ranges))
    return Level.WARNING, f"is lit at {_nm(led.wavelength)}, and limits for {wanted.name} are {sets}", tip, reasons


def _by_white(led: LedKind, wanted: ColourKind) -> Verdict | None:
    """Judge a white by how blue it is."""
    if led.chromaticity is None or wanted.white is None:
        return None
    x, (least, most) = led.chromaticity[0], wanted.white
    if least <= x <= most:
        return None
    how = "bluer" if x < least else "yellower"
    what = f"is lit by a white of x {float(x):.2f}, {how} than the limits for {wanted.name} take"
    tip = f"a {'warmer' if x < least else 'cooler'} white, x from {float(least):.2f} to {float(most):.2f}"
    return Level.NOTE, what, tip, (led.why("chromaticity"), wanted.why("white"))


def _nm(span: tuple[Fraction, Fraction]) -> str:
    """Return a span of wavelengths."""
    from lampwright_wiring.saying import number

    low, high = (number(value) for value in span)
    return f"{low} nm" if low == high else f"{low} to {high} nm"
