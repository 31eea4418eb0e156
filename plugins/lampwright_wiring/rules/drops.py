"""A check of the wires to a board: the voltage that is lost on the way out and in the return that its lamps share."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lampwright.findings import Basis, Citation, Level
from lampwright_wiring.scopes import BOARD, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright_wiring.kinds import Spread
    from lampwright_wiring.model import Board, Feed, WiredLamp, Wiring

MOST = Fraction(1, 10)
"""Share of a supply's voltage that may be lost on the way."""
NEM_604 = Citation("MOROP NEM 604, 2013, p. 1: at most 10 % of the source's voltage", Basis.VERIFIED)
SIZES = tuple(Fraction(size) for size in ("0.14", "0.25", "0.5", "0.75", "1", "1.5", "2.5"))
"""Cross-sections that wire is sold in, in mm2 (common practice)."""


class WireDrop(ElectricalCheck):
    """Finds wires to a board that lose more voltage than they should.

    All that is lit on a board returns by one wire. What is lost in it, and in the wire out, is taken from every LED on
    the board, most from those of high voltage: the greens grow dim when many reds are lit. NEM 604 allows a tenth of
    the source's voltage on both together.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A:
            kind: pwm-16
            supply: five
            length: 20 m
            wire: AWG 30               # expect: wire-drop "the wires to board A lose"
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 180 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: {red: A.0, green: A.1}}
          HF3: {form: two-aspect-stop, lamps: {red: A.2, green: A.3}}
          HF5: {form: two-aspect-stop, lamps: {red: A.4, green: A.5}}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, supply: five, length: 20 m, wire: 0.5 mm2}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 180 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: {red: A.0, green: A.1}}
          HF3: {form: two-aspect-stop, lamps: {red: A.2, green: A.3}}
          HF5: {form: two-aspect-stop, lamps: {red: A.4, green: A.5}}

    Limits: counts copper at 20 degrees, the worst legal state of what hangs on the board and on those that come after
    it by the same wires, with what boards take themselves. Looks at boards that say `length` and `wire`.
    """

    name = "wire-drop"
    level = Level.WARNING
    scope = BOARD
    needs = ("resistor-too-small", "voltage-out-of-range", "board-overloaded")

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for a board whose wires lose too much."""
        from lampwright_wiring import saying, wires

        board, supply = subject.thing, subject.wiring.supplies.get(subject.thing.led_supply)
        size = wires.wire(subject.wiring.parts, board.wire)
        if size is None or board.length is None or supply is None or supply.volts is None:
            return
        kind, resistance = size
        current = _current(subject)
        lost = wires.drop(resistance, board.length, current)
        if lost <= MOST * supply.volts.typical:
            return
        yield self.finding(
            f"the wires to board {board.name} lose {saying.volts(lost)} of {saying.volts(supply.volts.typical)} "
            f"at {saying.amps(current)}, out and back",
            subject.spot("wire"),
            related=(subject.spot("length", label="one way"),),
            citations=(NEM_604, kind.why("resistance")),
            because=_dimmed(subject, lost / 2),
            tip=_thicker(subject.wiring, board.length, current, MOST * supply.volts.typical),
        )


def _current(subject: About[Board]) -> Fraction:
    """Return the most current in the wires to a board, in any legal state."""
    from lampwright_wiring.current.accounts import Account
    from lampwright_wiring.current.loads import loads
    from lampwright_wiring.kinds import Spread

    boards = _by_these_wires(subject.wiring, subject.thing)
    takes: dict[str, Spread] = {}
    for used in (used for name in boards for used in subject.wiring.used_of(subject.wiring.boards[name])):
        takes |= {feed.light: _through(feed) for _, feed in used.lamps}
    uses = sum((subject.wiring.boards[name].uses or Fraction(0) for name in boards), Fraction(0))
    account = Account("wires", subject.thing.name, takes, Spread.exactly(uses))
    return loads(subject.layout).worst(account).current.most


def _through(feed: Feed) -> Spread:
    """Return what a feed sends through the return: its LEDs' current, and what controls them."""
    from lampwright_wiring.kinds import NO_DROP

    total = NO_DROP
    for _, taken in feed.draw.of_supplies:
        total = total.plus(taken)
    return total


def _by_these_wires(wiring: Wiring, board: Board) -> set[str]:
    """Return a board and all that come after it in its chain without wires of their own."""
    found = {board.name}
    while more := {
        one.name for one in wiring.boards.values() if one.after in found and not one.length and one.name not in found
    }:
        found |= more
    return found


def _dimmed(subject: About[Board], lost: Fraction) -> str:
    """Say what the drop in the return alone leaves for the lamp of the board that it dims most."""
    from lampwright_wiring import saying

    found: list[tuple[Fraction, Fraction, WiredLamp]] = []
    for used in subject.wiring.used_of(subject.thing):
        for lamp, feed in used.lamps:
            draw, led = feed.draw, feed.load.led
            if draw.each and draw.volts and draw.lost and led and led.vf and draw.each.typical:
                left = draw.volts.typical - led.vf.typical * feed.load.in_series - draw.lost.typical
                found.append((max(left - lost, Fraction(0)) / left, draw.each.typical, lamp))
    if not found:
        return ""
    share, each, lamp = min(found, key=lambda one: one[:2])
    return (
        f"what is lost in the return alone leaves {lamp.short} of {lamp.signal} {saying.amps(each * share)} "
        f"of {saying.amps(each)}"
    )


def _thicker(wiring: Wiring, length: Fraction, current: Fraction, most: Fraction) -> str:
    """Return the thinnest wire that would do, with what it would lose."""
    from lampwright_wiring import saying, wires

    for size in SIZES:
        text = f"{saying.number(size)} mm2"
        found = wires.wire(wiring.parts, text)
        if found is not None and (lost := wires.drop(found[1], length, current)) <= most:
            return f"{text} loses {saying.volts(lost)}; or bring the supply nearer, or give the board one of its own"
    return "bring the supply nearer, or give the board one of its own"
