"""Checks of voltages: what boards and drivers stand, what LEDs need, and where current cannot come from."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lampwright.checks import PLAN
from lampwright.findings import Basis, Citation, Level
from lampwright.words import with_article
from lampwright_wiring.fitting import by_place, named, wrong_supply
from lampwright_wiring.places import pointed
from lampwright_wiring.scopes import BOARD, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright_wiring.kinds import Kind
    from lampwright_wiring.model import Board, Feed, WiredLamp, Wiring

HEADROOM = Fraction(1, 2)
"""V that should be left for a resistor to work with."""
LITTLE = Citation("with less than about 0.5 V on it a resistor hardly evens anything out", Basis.COMMON_PRACTICE)
ONE_RAIL = Citation("an output that gives current passes on its board's own supply", Basis.COMMON_PRACTICE)


class VoltageOutOfRange(ElectricalCheck):
    """Finds boards and drivers on more voltage than they stand, or boards on less than they need.

    A board runs on some voltages only, and each of its outputs stands so much and no more, also while it is off: LEDs
    fed from 12 V need a driver between them and an output made for 5 V.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A: {kind: pwm-16, supply: five, led-supply: twelve, held-dark: true}   # expect: voltage-out-of-range "12 V"
        supplies: {five: {voltage: 5 V}, twelve: {voltage: 12 V}}
        signals:
          HF1: {form: two-aspect-stop, wiring: common-anode, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five, led-supply: twelve, switch: npn-transistor}}
        supplies: {five: {voltage: 5 V}, twelve: {voltage: 12 V}}
        signals:
          HF1: {form: two-aspect-stop, wiring: common-anode, lamps: [{green: A.0}, {red: A.1}]}

    Limits: counts a supply at its highest where its kind or its `tolerance` tells that, else as it is said.
    """

    name = "voltage-out-of-range"
    scope = BOARD

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield findings for a board's own supply, then for that of its LEDs."""
        from lampwright_wiring import saying

        board, kind, wiring = subject.thing, subject.thing.kind, subject.wiring
        wrong = wrong_supply(wiring, board)
        if wrong is None:
            yield from self._of_leds(subject)
        elif kind is not None and kind.supply is not None and not self._handed_on(subject):
            least, most = kind.supply
            yield self.finding(
                f"board {board.name} is on {saying.volts(wrong)} of {board.supply}, and stands "
                f"{saying.volts(least)} to {saying.volts(most)}",
                subject.layout.spot(*board.path, "supply") if _says(subject, "supply") else subject.spot(),
                related=(subject.layout.spot("supplies", board.supply, label="its supply", on_key=True),),
                citations=(kind.why("supply"),),
                tip=f"a supply of {saying.volts(least)} to {saying.volts(most)}",
            )

    def _handed_on(self, subject: About[Board]) -> bool:
        """Tell whether a board's wrong supply comes from the board before it in a chain, which has the finding."""
        before = subject.wiring.boards.get(subject.thing.after)
        own = _says(subject, "supply")
        return not own and before is not None and wrong_supply(subject.wiring, before) is not None

    def _of_leds(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for each supply of LEDs that what switches them does not stand."""
        from lampwright_wiring import saying

        board = subject.thing
        told: set[str] = set()
        for used in subject.wiring.used_of(board):
            for lamp, feed in used.lamps:
                supply = subject.wiring.supplies.get(feed.draw.supply)
                if supply is None or supply.volts is None or supply.name in told:
                    continue
                part, stands = _stands(board, feed)
                if part is not None and stands is not None and supply.volts.most > stands:
                    told.add(supply.name)
                    what = f"an output of {board.name}" if part is board.kind else f"the {part.title} at {used.output}"
                    yield self.finding(
                        f"{lamp.short} of {lamp.signal} is fed from {saying.volts(supply.volts.most)} of {supply.name}"
                        f", and {what} stands {saying.volts(stands)}",
                        subject.layout.spot(*_supply_path(subject, lamp)),
                        related=(subject.layout.spot(*supply.path, label="this supply", on_key=True),),
                        citations=(part.why("stands"),),
                        tip=f"a transistor or sink driver that stands {saying.volts(supply.volts.most)}, "
                        f"or a supply of {saying.volts(stands)} at most",
                    )


class UnreachableSupply(ElectricalCheck):
    """Finds LEDs that are to be fed from a supply which the output that lights them cannot reach.

    An output that gives current passes on the supply of its own board. Another supply for the LEDs can only come in
    where outputs take current in, or behind a transistor above the LED.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A:
            kind: pwm-16
            supply: five
            led-supply: other               # expect: unreachable-supply "A gives current from five"
            drive: source
        supplies: {five: {voltage: 5 V}, other: {voltage: 5 V}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A: {kind: pwm-16, supply: five, led-supply: other, drive: sink, held-dark: true}
        supplies: {five: {voltage: 5 V}, other: {voltage: 5 V}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: one finding a board.
    """

    name = "unreachable-supply"
    scope = BOARD
    needs = ("voltage-out-of-range",)

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for the first lamp whose supply does not reach it."""
        board = subject.thing
        for used in subject.wiring.used_of(board):
            for lamp, feed in used.lamps:
                wanted = feed.load.supply or board.led_supply
                direct = feed.draw.way == "source" and feed.load.switch is None and board.switch is None
                if not direct or not wanted or wanted == board.supply:
                    continue
                yield self.finding(
                    f"{lamp.short} of {lamp.signal} is to be fed from {wanted}, and board {board.name} gives current "
                    f"from {board.supply or 'its own supply'}",
                    subject.layout.spot(*_supply_path(subject, lamp)),
                    related=(subject.spot("drive", label="so that its outputs give"),)
                    if _says(subject, "drive")
                    else (),
                    citations=(ONE_RAIL,),
                    tip="common-anode heads on outputs that sink, or transistors above the LEDs",
                )
                return


class TooLittleVoltage(ElectricalCheck):
    """Finds LEDs that their supply cannot light, or only just.

    What an LED needs, times those in series, and what outputs or drivers keep must leave something for the resistor.
    Where hardly anything is left, small differences between LEDs and supplies become large ones in light; where nothing
    is left, the lamp stays dark.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: sink-driver-8, supply: five}}
        supplies: {five: {kind: usb-2}}
        leds:
          red: {kind: red-3mm, current: 10 mA}
          green:                                         # expect: too-little-voltage "green of HF1 may stay dark"
            kind: traffic-green-3mm
            current: 5 mA
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: sink-driver-8, supply: twelve}}
        supplies: {twelve: {kind: adapter-12v-1a}}
        leds: {red: {kind: red-3mm, current: 10 mA}, green: {kind: traffic-green-3mm, current: 5 mA}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: an error where it stays dark with typical parts, a warning where it may at the worst corner, or where less
    than half a volt is left.
    """

    name = "too-little-voltage"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each place that says LEDs which their supply hardly lights."""
        from lampwright_wiring import saying
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        for path, found in by_place(subject, wiring, lambda feed: scarce(wiring, feed), ("led",)).items():
            lamps, feed = [lamp for lamp, _ in found], found[0][1]
            led, volts = feed.load.led, feed.draw.volts
            assert led is not None  # noqa: S101  (_left has looked)
            assert volts is not None  # noqa: S101
            sure, worst = _left(feed, worst=False), _left(feed, worst=True)
            what = "stays dark" if sure <= 0 else "may stay dark" if worst <= 0 else "has hardly any voltage to spare"
            one = f"{feed.load.in_series} in series" if feed.load.in_series > 1 else f"{with_article(led.title)} LED"
            related = pointed(subject, lamps, path, "lit by such an LED")
            yield self.finding(
                f"{named(lamps)} {what}: {one} may need {saying.volts(_taken(feed))} of {saying.volts(volts.least)}"
                + (f", which leaves {saying.volts(worst)}" if worst > 0 else ""),
                subject.spot(*path),
                related=related,
                citations=(led.why("vf", "typical" if sure <= 0 else "max"), *((LITTLE,) if worst > 0 else ())),
                tip="a supply of more voltage, fewer LEDs in series, or an output or driver that keeps less",
                level=Level.ERROR if sure <= 0 else Level.WARNING,
            )


def scarce(wiring: Wiring, feed: Feed) -> bool:
    """Tell whether LEDs and outputs may leave too little of their supply for what sets the current."""
    return _left(feed, worst=True) < _wanted(wiring, feed)


def _says(subject: About[Board], key: str) -> bool:
    """Tell whether the plan says something of a board under a key."""
    return key in (subject.layout.plan.values["boards"][subject.thing.name] or {})


def _supply_path(subject: About[Board], lamp: WiredLamp) -> tuple[str | int, ...]:
    """Return where it is said from what supply a lamp is fed."""
    if "supply" in lamp.detail:
        return (*lamp.path, "supply")
    key = next((key for key in ("led-supply", "supply") if _says(subject, key)), "")
    return (*subject.path, key) if key else lamp.path


def _stands(board: Board, feed: Feed) -> tuple[Kind | None, Fraction | None]:
    """Return what switches an LED's current, and the voltage it stands."""
    switch = feed.load.switch or board.switch
    if switch is not None:
        return switch, switch.stands
    return board.kind, board.kind.stands if board.kind else None


def _taken(feed: Feed) -> Fraction:
    """Return what LEDs and outputs may take in the worst corner, in V."""
    led, lost = feed.load.led, feed.draw.lost
    forward = led.vf.most * feed.load.in_series if led is not None and led.vf is not None else Fraction(0)
    return forward + (lost.most if lost else 0)


def _left(feed: Feed, *, worst: bool) -> Fraction:
    """Return what is left for the resistor in the worst corner, or with typical parts; much where it is not known."""
    led, draw = feed.load.led, feed.draw
    if led is None or led.vf is None or draw.volts is None or draw.lost is None or led.resistor:
        return Fraction(1000)
    if worst:
        return draw.volts.least - _taken(feed)
    return draw.volts.typical - led.vf.typical * feed.load.in_series - draw.lost.typical


def _wanted(wiring: Wiring, feed: Feed) -> Fraction:
    """Return what should be left: for a resistor, or for an output that sets the current."""
    board = wiring.boards.get(feed.output.board) if feed.output else None
    constant = board.kind.constant_current if board is not None and board.kind is not None else None
    return constant.headroom if constant is not None else HEADROOM
