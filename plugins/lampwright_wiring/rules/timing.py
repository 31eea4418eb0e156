"""Checks of frequencies: what a board reaches, servos beside lamps, flicker."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lampwright.findings import Basis, Citation, Level
from lampwright_wiring.scopes import BOARD, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright_wiring.model import Board, WiredLamp, Wiring

PULSE = Fraction(2, 1000)
"""Longest pulse of a servo, in seconds."""
SERVO_MOST = 200
"""Hz that many servos stand."""
SEEN = 90
"""Hz below which most people see flicker."""
LOW_RISK = 1250
"""Hz from which IEEE 1789 sets no limit."""
SERVOS = Citation("Servo control, owiki.org, and two further tutorials", Basis.SECONDARY)
FLICKER = Citation("Lehman, Wilkins et al. on flicker: not seen above 60 to 90 Hz", Basis.VERIFIED)
IEEE = Citation("IEEE Std 1789-2015, low risk above 90 Hz: 0.08 % of modulation for each Hz", Basis.MEMORY)


class UnreachableFrequency(ElectricalCheck):
    """Finds a board that is to run at a frequency it does not reach.

    A board's frequency comes of dividing a clock by whole numbers, between two limits. What is asked beyond them is
    cut off in silence, and servos or fades then run otherwise than meant.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 4 kHz}}    # expect: unreachable-frequency "A is to run at 4000 Hz"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 1500 Hz}}

    Limits: within the limits the nearest frequency is taken; it may be off by some per cent, and so is the oscillator.
    """

    name = "unreachable-frequency"
    scope = BOARD

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for a frequency beyond what the kind of board reaches."""
        from lampwright_wiring import pulses, saying

        board, kind = subject.thing, subject.thing.kind
        if kind is None or kind.pwm is None or kind.pwm.frequency is None or not board.frequency:
            return
        least, most = kind.pwm.frequency
        if least <= board.frequency <= most:
            return
        runs = pulses.running(board) or board.frequency
        yield self.finding(
            f"board {board.name} is to run at {saying.hertz(board.frequency)}, and reaches "
            f"{saying.hertz(least)} to {saying.hertz(most)}",
            subject.spot("frequency"),
            related=(kind.spot("pwm", label=kind.title),),
            citations=(kind.why("pwm", "frequency"),),
            tip=f"as it is set it would run at {saying.hertz(runs)}",
        )


class ServoOutOfTime(ElectricalCheck):
    """Finds servos on a board that runs too fast for them.

    A servo is told its place by a pulse of 1 to 2 ms, about fifty times a second; many stand up to 200 Hz. A board has
    one frequency for all its outputs: one set for steady lamps leaves no room for the pulse.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 1000 Hz, servos: 0}}    # expect: servo-out-of-time "0.983 ms"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 50 Hz, servos: 0}}

    Limits: a few servos stand about 330 Hz; what yours stands is not known here.
    """

    name = "servo-out-of-time"
    scope = BOARD
    needs = ("unreachable-frequency",)

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for servos on a fast board."""
        from lampwright_wiring import pulses, saying

        board = subject.thing
        runs = pulses.running(board)
        if not board.servos or runs is None or runs <= SERVO_MOST:
            return
        impossible = 1 / runs < PULSE
        yield self.finding(
            f"board {board.name} repeats every {saying.seconds(1 / runs)}, and its servos "
            + ("need pulses of 1 to 2 ms" if impossible else f"may stand {SERVO_MOST} Hz at most"),
            subject.spot("frequency") if board.frequency else subject.spot("servos"),
            related=(subject.spot("servos", label="servos"),) if board.frequency else (),
            citations=(SERVOS,),
            level=Level.ERROR if impossible else Level.WARNING,
            tip="give servos a board of their own at 50 Hz, and dimmed lamps one at 1250 Hz or more",
        )


class ServoBesideDimmedLamp(ElectricalCheck):
    """Finds dimmed or fading lamps on the board that drives servos.

    One frequency serves the whole board. At the 50 to 60 Hz that servos want, a lamp that is dimmed or fades is off
    long enough in each period to flicker, to the eye at the edge of view and to every camera.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 50 Hz, servos: [15]}}
        leds: {red: {level: 60 %}}
        signals:
          HF1:
            form: two-aspect-stop
            lamps: [{green: A.0}, {red: A.1}]     # expect: servo-beside-dimmed-lamp "red of HF1"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 50 Hz, servos: [15]}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: lamps that are only on or off may share a board with servos.
    """

    name = "servo-beside-dimmed-lamp"
    level = Level.WARNING
    scope = BOARD
    needs = ("servo-out-of-time",)

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for a board with both."""
        from lampwright_wiring import pulses, saying

        board = subject.thing
        dim = dimmed(subject.layout, subject.wiring, board)
        if not dim or not board.servos:
            return
        runs = pulses.running(board)
        yield self.finding(
            f"{saying.lamps(dim)} {'is' if len(dim) == 1 else 'are'} dimmed on board {board.name}, which drives servos"
            + (f" at {saying.hertz(runs)}" if runs else ""),
            subject.layout.spot(*dim[0].path),
            related=(subject.spot("servos", label="the servos"),),
            citations=(FLICKER,),
            tip="give servos a board of their own, or let these lamps be only on or off",
        )


class VisibleFlicker(ElectricalCheck):
    """Finds dimmed lamps on a board that switches slowly enough to be seen.

    A dimmed lamp is switched off in every period. Below about 90 Hz the eye sees it; further up cameras do, and what is
    advised for lighting asks for 1250 Hz. A lamp that is fully on or off is not switched at all.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 60 Hz}}     # expect: visible-flicker "59.84 Hz"
        leds: {red: {level: 60 %}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 1500 Hz}}
        leds: {red: {level: 60 %}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Limits: advice for lighting, not a rule for lamps of signals; from 90 Hz on it is a note, and rests on memory.
    """

    name = "visible-flicker"
    level = Level.WARNING
    scope = BOARD
    needs = ("unreachable-frequency", "servo-out-of-time", "servo-beside-dimmed-lamp")

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for a board that is slow with dimmed lamps on it."""
        from lampwright_wiring import pulses, saying

        board = subject.thing
        runs = pulses.running(board)
        dim = dimmed(subject.layout, subject.wiring, board)
        if runs is None or runs >= LOW_RISK or not dim:
            return
        seen = runs < SEEN
        what = "most people see flicker" if seen else "cameras and some people see flicker"
        yield self.finding(
            f"board {board.name} runs at {saying.hertz(runs)}, at which {what} of dimmed lamps",
            subject.spot("frequency") if board.frequency else subject.spot("kind"),
            related=[subject.layout.spot(*lamp.path, label="dimmed") for lamp in dim[:3]],
            citations=(FLICKER if seen else IEEE,),
            tip=_above(board),
        )


def _above(board: Board) -> str:
    """Say which frequency would do; a board that steps to a lower one than was asked is told one that it reaches."""
    from lampwright_wiring import pulses, saying

    reached = pulses.at_least(board, LOW_RISK)
    return f"{saying.hertz(reached)}, the next it reaches" if reached is not None else f"{LOW_RISK} Hz or more"


def dimmed(layout: Layout, wiring: Wiring, board: Board) -> list[WiredLamp]:
    """Return the lamps on a board that are set to less than full level, or fade."""
    on = [pair for used in wiring.used_of(board) for pair in used.lamps]
    changing = (lamp for lamp, feed in on if feed.load.level < 1 or _fades(layout, lamp))
    return list(dict.fromkeys(changing))


def _fades(layout: Layout, lamp: WiredLamp) -> bool:
    """Tell whether the plan says that a lamp fades, or its signal."""
    return "fades" in lamp.detail or "fades" in layout.plan.signals[lamp.signal].rest
