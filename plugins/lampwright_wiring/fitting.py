"""Which lamps one resistor is said for, what it does to them, and which would be right."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lampwright_wiring.places import feeds, grouped, said

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lampwright.findings import Path
    from lampwright.layout import Layout
    from lampwright_wiring.kinds import LedKind
    from lampwright_wiring.model import Board, Feed, WiredLamp, Wiring

    Found = dict[Path, list[tuple[WiredLamp, Feed]]]

USUAL = Fraction(10, 1000)
"""A current at which lamps of signals are bright enough, where a plan aims at none; in A."""


def over_led(feed: Feed) -> bool:
    """Tell whether an LED gets more than it stands, in the worst corner."""
    led, each = feed.load.led, feed.draw.each
    return led is not None and led.limit is not None and each is not None and each.most > led.limit


def heat(feed: Feed) -> Fraction:
    """Return the greatest heat of the resistor of a feed in W; nought if it is not known or has none."""
    draw = feed.draw
    current = draw.total if draw.resistor.shared else draw.each
    if current is None or draw.resistor.ohms is None:
        return Fraction(0)
    return current.most**2 * draw.resistor.ohms


def by_place(
    layout: Layout, wiring: Wiring, fits: Callable[[Feed], bool], keys: tuple[str, ...] = ("resistor", "current", "led")
) -> Found:
    """Return the feeds that something is true of, by the place that says one of some keys of their LEDs.

    What hangs on a board of a wrong supply is left out: that is the finding.
    """
    sound = {name for name, board in wiring.boards.items() if wrong_supply(wiring, board) is None}
    return grouped(
        (said(layout, lamp, feed.load.colour, *keys), lamp, feed)
        for lamp, feed in feeds(wiring)
        if feed.output is not None and feed.output.board in sound and fits(feed)
    )


def wrong_supply(wiring: Wiring, board: Board) -> Fraction | None:
    """Return the voltage a board is on, if it is more or less than its kind stands; None if right, or not known."""
    supply = wiring.supplies.get(board.supply)
    if board.kind is None or board.kind.supply is None or supply is None or supply.volts is None:
        return None
    least, most = board.kind.supply
    if supply.volts.most > most:
        return supply.volts.most
    return supply.volts.typical if supply.volts.typical < least else None


def named(lamps: Sequence[WiredLamp]) -> str:
    """Return the first lamp by name, and how many there are like it."""
    from lampwright.words import counted

    first, others = lamps[0], len(set(lamps)) - 1
    return f"{first.short} of {first.signal}" + (f" (like {counted(others, 'more lamp')})" if others else "")


def _forward(feed: Feed, led: LedKind) -> Fraction | None:
    """Return what is left for a resistor in the worst corner, in V."""
    draw = feed.draw
    if led.vf is None or draw.volts is None or draw.lost is None:
        return None
    return draw.volts.most - led.vf.least * feed.load.in_series - draw.lost.least


def at_most(wiring: Wiring, feed: Feed, limit: Fraction) -> str:
    """Return the least resistor there is that keeps a current within a limit in the worst corner."""
    from lampwright_wiring import saying
    from lampwright_wiring.sizing import next_up

    led = feed.load.led
    left = _forward(feed, led) if led else None
    ohms = next_up(left / limit, wiring.resistances) if left is not None and left > 0 else None
    if ohms is None or left is None:
        return ""
    return f"{saying.ohms(ohms)} keeps it at {saying.amps(left / ohms)} at most"


def fitting(wiring: Wiring, feed: Feed, aim: Fraction) -> str:
    """Return the resistor that would give a current."""
    from lampwright_wiring import saying
    from lampwright_wiring.sizing import needed, next_up

    led, draw = feed.load.led, feed.draw
    if led is None or led.vf is None or draw.volts is None or draw.lost is None:
        return "say `resistor` or `current`"
    forward = led.vf.typical * feed.load.in_series + draw.lost.typical
    wanted = needed(draw.volts.typical, forward, aim)
    ohms = next_up(wanted, wiring.resistances) if wanted > 0 else None
    if ohms is None:
        return ""
    return f"{saying.ohms(ohms)} gives {saying.amps((draw.volts.typical - forward) / ohms)}"
