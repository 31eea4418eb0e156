"""How often a board switches its outputs: the frequency that is asked, and the one that comes of it."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lampwright_wiring.kinds import Pwm
    from lampwright_wiring.model import Board, Wiring

HALF = Fraction(1, 2)


def prescale(pwm: Pwm, asked: Fraction) -> int | None:
    """Return the prescale value for a frequency: round(oscillator / (steps x f)) - 1, within what there is."""
    if pwm.oscillator is None or pwm.prescale is None:
        return None
    least, most = pwm.prescale
    exact = pwm.oscillator / (pwm.steps * asked)
    return min(max(int(exact + HALF) - 1, least), most)


def frequency(pwm: Pwm, value: int) -> Fraction:
    """Return the frequency that a prescale value gives; the board has an oscillator."""
    assert pwm.oscillator is not None  # noqa: S101  (prescale() has given the value)
    return pwm.oscillator / (pwm.steps * (value + 1))


def running(board: Board) -> Fraction | None:
    """Return the frequency a board runs at: what it makes of the one asked, else its own at power-up."""
    pwm = board.kind.pwm if board.kind else None
    if pwm is None:
        return board.frequency
    value = prescale(pwm, board.frequency) if board.frequency else pwm.default
    return board.frequency if value is None else frequency(pwm, value)


def at_least(board: Board, asked: Fraction | int) -> Fraction | None:
    """Return the lowest frequency that a board reaches from one on; None if it sets none or reaches none so high."""
    pwm = board.kind.pwm if board.kind else None
    if pwm is None or pwm.oscillator is None or pwm.prescale is None:
        return None
    value = int(pwm.oscillator / (pwm.steps * asked)) - 1
    return frequency(pwm, min(value, pwm.prescale[1])) if value >= pwm.prescale[0] else None


def refresh_time(wiring: Wiring, controller: str) -> Fraction | None:
    """Return how long it takes to set all outputs of a controller's boards; None if bus or boards are not known."""
    found = wiring.controllers.get(controller)
    boards = [board for board in wiring.boards.values() if board.controller == controller]
    clocks = [board.kind.refresh for board in boards if board.kind and board.kind.refresh is not None]
    if found is None or not found.bus or not clocks:
        return None
    return Fraction(sum(clocks)) / found.bus
