"""What a load draws from an output of a board, at the corners of forward and supply voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from lampwright_wiring import sizing
from lampwright_wiring.kinds import NO_DROP, ZERO, Spread
from lampwright_wiring.model import SINK, SOURCE, WAY_OF, Draw, Resistor

if TYPE_CHECKING:
    from fractions import Fraction

    from lampwright_wiring.kinds import LedKind, SwitchKind
    from lampwright_wiring.model import Board, Load, Wiring


def drawn(wiring: Wiring, load: Load, board_name: str, head: str) -> Draw:
    """Return what a load draws from an output of a board; ``head`` is the polarity of the signal's head."""
    board = wiring.boards.get(board_name)
    if board is None:
        return Draw(resistor=load.resistor)
    switch = load.switch or board.switch
    way = _way(load, board, switch, head)
    supply = _supply(load, board, way, switch)
    volts = _volts(wiring, board, supply, way, switch)
    lost = _lost(load, board, way, switch)
    resistor = _sized(wiring, load, board, volts, lost) if load.resistor.how == "" else load.resistor
    each = _each(load, board, resistor, volts, lost)
    total = each.times(load.strings) if each else None
    draw = Draw(way, _output_way(way, switch), supply, resistor, volts, lost, each, total)
    return _shared_out(draw, board, switch)


def _way(load: Load, board: Board, switch: SwitchKind | None, head: str) -> str:
    """Return how the LEDs are driven: as the switch or the board does, else as the head is wired; empty if not said."""
    if load.both_ways:
        return SOURCE
    if switch is not None:
        return switch.drives
    return board.drive or WAY_OF.get(load.polarity or head, "")


def _output_way(way: str, switch: SwitchKind | None) -> str:
    """Return how the output itself acts: towards a switch it gives current if that wants it high."""
    if switch is None or not switch.driven:
        return way
    return SOURCE if switch.driven == "high" else SINK


def _supply(load: Load, board: Board, way: str, switch: SwitchKind | None) -> str:
    """Return the supply that gives the LEDs' current: an output without a switch can only pass on its board's."""
    if way == SOURCE and switch is None:
        return board.supply
    return load.supply or board.led_supply


def _volts(wiring: Wiring, board: Board, supply: str, way: str, switch: SwitchKind | None) -> Spread | None:
    """Return the voltage there is for LEDs, resistor and losses."""
    if way == SOURCE and switch is None and board.kind is not None and board.kind.high is not None:
        return Spread.exactly(board.kind.high)
    found = wiring.supplies.get(supply)
    return found.volts if found else None


def _lost(load: Load, board: Board, way: str, switch: SwitchKind | None) -> Spread:
    """Return the voltage that the output or the switch keeps, or both outputs; none where it is not known."""
    drop = board.kind.drop if board.kind else {}
    if load.both_ways:
        return drop.get(SOURCE, NO_DROP).plus(drop.get(SINK, NO_DROP))
    return switch.drop if switch is not None else drop.get(way, NO_DROP)


def _sized(wiring: Wiring, load: Load, board: Board, volts: Spread | None, lost: Spread) -> Resistor:
    """Return the resistor for the current that is meant; what is not said if that is not enough to choose one."""
    kind = board.kind
    if kind is not None and kind.constant_current is not None:
        return Resistor(how="none")
    if load.led is None or load.led.vf is None or load.led.resistor or load.aim is None or volts is None:
        return replace(load.resistor, how=load.led.resistor if load.led else "")
    forward = load.led.vf.typical * load.in_series + lost.typical
    wanted = sizing.needed(volts.typical, forward, load.aim, board.ohms)
    if volts.typical <= forward:
        return load.resistor
    ohms = ZERO if wanted <= 0 else sizing.next_up(wanted, wiring.resistances)
    return Resistor(ohms, "sized") if ohms is not None else load.resistor


def _each(load: Load, board: Board, resistor: Resistor, volts: Spread | None, lost: Spread) -> Spread | None:
    """Return the current of one LED; None if it cannot be told."""
    kind = board.kind
    if kind is not None and kind.constant_current is not None:
        return _set(board.aim, kind.constant_current.tolerance)
    ohms = _ohms(load, resistor, board)
    if load.led is None or load.led.vf is None or volts is None or ohms is None:
        return Spread.exactly(load.aim) if load.aim is not None else None
    if ohms == 0:
        return None
    forward = load.led.vf.times(load.in_series)
    together = load.strings if resistor.shared else 1
    return Spread(
        max(volts.least - forward.most - lost.most, ZERO) / ohms / together,
        max(volts.typical - forward.typical - lost.typical, ZERO) / ohms / together,
        max(volts.most - forward.least - lost.least, ZERO) / ohms / together,
    )


def _set(aim: Fraction | None, tolerance: Fraction) -> Spread | None:
    """Return the current of an output that sets it."""
    return None if aim is None else Spread(aim * (1 - tolerance), aim, aim * (1 + tolerance))


def _ohms(load: Load, resistor: Resistor, board: Board) -> Fraction | None:
    """Return all resistance in the way of one current; None if it is not known."""
    inside = built_in(load.led) if load.led is not None and load.led.resistor == "built-in" else ZERO
    told = ZERO if resistor.how == "none" else resistor.ohms
    if resistor.how == "built-in":
        told = ZERO if inside else None
    return None if inside is None or told is None else told + inside * load.in_series + board.ohms


def built_in(led: LedKind) -> Fraction | None:
    """Return the resistance an LED has inside, from the current it is sold to take at a voltage."""
    if led.vf is None or led.made_for is None or led.current is None:
        return None
    return (led.made_for - led.vf.typical) / led.current


def _shared_out(draw: Draw, board: Board, switch: SwitchKind | None) -> Draw:
    """Return the draw with what the output carries and what each supply gives."""
    control = switch.control if switch else board.kind.control if board.kind else ZERO
    at_output = Spread.exactly(control) if switch else draw.total
    takes = [(draw.supply, draw.total)] if draw.supply and draw.total else []
    if control and board.supply:
        takes.append((board.supply, Spread.exactly(control)))
    return replace(draw, at_output=at_output, of_supplies=tuple(takes))
