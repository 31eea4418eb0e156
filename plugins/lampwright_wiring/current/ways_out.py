"""What would help where a board or supply is asked for too much, with the figures it would give."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from lampwright.words import listed, with_article
from lampwright_wiring import saying
from lampwright_wiring.current.demands import POWER_UP, highest
from lampwright_wiring.kinds import ZERO, Spread

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright_wiring.current.accounts import Account
    from lampwright_wiring.current.demands import Demand
    from lampwright_wiring.current.loads import Loads
    from lampwright_wiring.kinds import SupplyKind
    from lampwright_wiring.model import Board, Supply, Wiring

TRANSISTOR: Final = "npn-transistor"
DIMMED: Final = Fraction(4, 5)
"""A level of lightness that still looks bright."""


def of_board(wiring: Wiring, loads: Loads, over: Demand) -> str:
    """Return what would help a board; each figure is the most on any occasion."""
    most = highest(loads, over.account)
    return "; or ".join([*_elsewhere(wiring, loads, over), *_switched(wiring, loads, over), *_weaker(over, most)])


def of_supply(wiring: Wiring, loads: Loads, over: Demand) -> str:
    """Return what would help a supply; each figure is the most on any occasion."""
    if over.when == POWER_UP:
        return "; or ".join([*_dark(over), *_larger(wiring, over, over.current.most)])
    most = highest(loads, over.account)
    ways = [
        *_own_supply(wiring, loads, over),
        *_own_controller(wiring, loads, over),
        *_larger(wiring, over, most),
        *_weaker(over, most),
        *_dimmer(loads, over),
    ]
    return "; or ".join(ways)


def _dark(over: Demand) -> Iterator[str]:
    """Yield what is left if nothing is lit at power-up."""
    own = over.account.own.most
    if own <= over.limit and own < over.current.most:
        yield f"with outputs held off till then (`held-dark: true`) it is {saying.amps(own)}"


def _elsewhere(wiring: Wiring, loads: Loads, over: Demand) -> Iterator[str]:
    """Yield the signal whose lamps on another board would leave most on this one; else how many boards it takes."""
    best: tuple[Fraction, str] | None = None
    for name, lamps in wiring.by_signal.items():
        gone = {feed.light for lamp in lamps for feed in lamp.feeds}
        if gone.isdisjoint(over.account.takes):
            continue
        left = highest(loads, _without(over.account, gone))
        if left <= over.limit and (best is None or left > best[0]):
            best = left, name
    if best is not None:
        yield f"with the lamps of {best[1]} on another board it carries {saying.amps(best[0])}"
    else:
        boards = -(-highest(loads, over.account) // over.limit)
        yield f"{boards} boards share it at {saying.amps(over.limit)} each"


def _switched(wiring: Wiring, loads: Loads, over: Demand) -> Iterator[str]:
    """Yield what is left of the current behind transistors."""
    switch = wiring.parts.switch(TRANSISTOR)
    if switch is not None:
        control = {light: Spread.exactly(switch.control) for light in over.account.takes}
        left = highest(loads, replace(over.account, takes=control))
        if left <= over.limit:
            yield f"behind transistors its outputs carry {saying.amps(left)}, and the LEDs count on their supply"


def _own_supply(wiring: Wiring, loads: Loads, over: Demand) -> Iterator[str]:
    """Yield the board whose LEDs on a supply of their own would leave most on this one, else all; control stays."""
    moved = {name: dict(_moved(wiring, board, over.account)) for name, board in wiring.boards.items()}
    tried = [([name], lights) for name, lights in moved.items() if lights]
    every = {light: takes for lights in moved.values() for light, takes in lights.items()}
    if len(tried) > 1:
        tried.append(([name for name, lights in moved.items() if lights], every))
    figures = [
        (names, highest(loads, replace(over.account, takes={**over.account.takes, **lights})))
        for names, lights in tried
    ]
    fit = [(names, left) for names, left in figures if left <= over.limit]
    if fit:
        names, left = min(fit, key=lambda one: (len(one[0]), -one[1]))
        boards = f"board{'s' if len(names) > 1 else ''} {listed(names)}"
        how = _how(wiring, [wiring.boards[name] for name in names])
        yield f"with the LEDs of {boards} on a supply of their own{how} {over.account.name} gives {saying.amps(left)}"


def _own_controller(wiring: Wiring, loads: Loads, over: Demand) -> Iterator[str]:
    """Yield the least number of signals, the last ones, that leave enough if they go to a controller of their own."""
    lights = {name: {feed.light for lamp in lamps for feed in lamp.feeds} for name, lamps in wiring.by_signal.items()}
    names = [name for name, mine in lights.items() if not mine.isdisjoint(over.account.takes)]
    low, high = 1, len(names)
    while low < high:  # fewer signals never take more
        middle = (low + high) // 2
        if highest(loads, _less(over.account, lights, names[-middle:])) <= over.limit:
            high = middle
        else:
            low = middle + 1
    if 0 < low < len(names):
        left = highest(loads, _less(over.account, lights, names[-low:]))
        yield (
            f"with the lamps of {listed(names[-low:])} on another board and controller with a supply of their own "
            f"{over.account.name} gives {saying.amps(left)}"
        )


def _less(account: Account, lights: Mapping[str, set[str]], names: Iterable[str]) -> Account:
    """Return an account without the lamps of some signals."""
    return _without(account, (light for name in names for light in lights[name]))


def _moved(wiring: Wiring, board: Board, account: Account) -> Iterator[tuple[str, Spread]]:
    """Yield what lights of a board take of a supply once the LEDs' own current comes from another."""
    switch = wiring.parts.switch(TRANSISTOR)
    control = switch.control if switch is not None and _needs_switch(board) else ZERO
    for lamp in wiring.lamps:
        for feed in lamp.feeds:
            draw = feed.draw
            here = feed.output is not None and feed.output.board == board.name and draw.supply == account.name
            if here and draw.total is not None and feed.light in account.takes:
                left = account.takes[feed.light].plus(draw.total.times(-1))
                yield feed.light, left.plus(Spread.exactly(control))


def _needs_switch(board: Board) -> bool:
    """Tell whether LEDs cannot be fed from elsewhere by the outputs themselves."""
    return board.drive != "sink" and board.switch is None


def _how(wiring: Wiring, boards: Iterable[Board]) -> str:
    """Return what stands between outputs and LEDs then."""
    switch = wiring.parts.switch(TRANSISTOR)
    if switch is None or not any(map(_needs_switch, boards)):
        return ""
    return f", switched by transistors at {saying.amps(switch.control)} each,"


def _larger(wiring: Wiring, over: Demand, most: Fraction) -> Iterator[str]:
    """Yield the least kind of supply of the same voltage that gives enough; a greater fuse, where that is the limit."""
    supply = wiring.supplies[over.account.name]
    if over.limit == supply.fuse:
        if supply.limit is None or supply.limit >= most:
            yield f"a fuse for more than {saying.amps(most)}, if every wire behind it stands that"
        return
    kinds = [kind for name in wiring.parts.names("supplies") if (kind := wiring.parts.supply(name))]
    enough = [kind for kind in kinds if _gives(kind, supply, over, most)]
    if enough:
        least = min(enough, key=lambda kind: kind.limit or ZERO)
        yield f"{with_article(least.title)} ({least.name}) gives {saying.amps(least.limit or ZERO)}"


def _gives(kind: SupplyKind, supply: Supply, over: Demand, most: Fraction) -> bool:
    """Tell whether a kind of supply is of the voltage and gives what is asked for."""
    if kind.voltage is None or kind.limit is None or supply.volts is None:
        return False
    least = kind.at_start if over.at_start and kind.at_start is not None else kind.limit
    return kind.voltage.typical == supply.volts.typical and least >= most


def _weaker(over: Demand, most: Fraction) -> Iterator[str]:
    """Yield how much less current each LED may have for the whole to fit."""
    own = over.account.own.most
    percent = (over.limit - own) / (most - own) * 100 // 1 if most > own else 0
    if percent > 0:
        yield f"with {percent} % of the current in every LED it is {saying.amps(own + (most - own) * percent / 100)}"


def _dimmer(loads: Loads, over: Demand) -> Iterator[str]:
    """Yield what is left on the mean of pulses if every lamp is dimmed, where a supply evens them out."""
    mean = loads.mean(over.account, DIMMED).current.most
    if mean <= over.limit:
        level = saying.percent(DIMMED)
        yield f"with every lamp at {level} of its level pulses are as high, and their mean is {saying.amps(mean)}"


def _without(account: Account, gone: Iterable[str]) -> Account:
    """Return an account without some lights."""
    lost = set(gone)
    left: Mapping[str, Spread] = {light: takes for light, takes in account.takes.items() if light not in lost}
    return replace(account, takes=left)
