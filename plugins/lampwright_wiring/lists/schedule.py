"""The schedule of wires, and the labels of their ends."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.rulebooks.codec import as_text
from lampwright_wiring import saying
from lampwright_wiring.lists.tables import DATA, Column, Table
from lampwright_wiring.model import SINK, SOURCE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright_wiring.model import Board, Feed, Output, WiredLamp, Wiring

SCHEDULE: Final = (
    Column("board", "board", DATA),
    Column("output", "output"),
    Column("signal", "signal"),
    Column("lamp", "lamp"),
    Column("led", "LED"),
    Column("wire", "wire"),
    Column("connector", "connector"),
    Column("core", "core"),
    Column("resistor", "resistor"),
    Column("lead", "to output"),
    Column("polarity", "head"),
)
LABELS: Final = (
    Column("wire", "wire"),
    Column("board-end", "label at the board or supply"),
    Column("signal-end", "label at the signal"),
)
FREE: Final = (
    Column("board", "board"),
    Column("address", "address"),
    Column("kind", "kind"),
    Column("used", "used"),
    Column("free", "free"),
    Column("reserved", "reserved"),
    Column("servos", "servos"),
)
LONG: Final = 3
"""A run of so many outputs is told as a span."""
LEAD = {SINK: "cathode", SOURCE: "anode"}
"""Which end of an LED looks to an output that drives it so."""


def tables(wiring: Wiring) -> Iterator[Table]:
    """Yield the schedule in the order of boards and outputs, the boards with what they have left, and the labels."""
    rows = [_wire(lamp, feed, output) for output, lamp, feed in _wires(wiring)]
    yield Table("schedule", "Schedule", SCHEDULE, tuple(rows))
    yield Table("boards", "Boards", FREE, tuple(_board(wiring, board) for board in wiring.boards.values()))
    yield Table("labels", "Labels", LABELS, tuple(_labels(wiring)))


def unwired(wiring: Wiring) -> list[WiredLamp]:
    """Return the lamps that lack an output and are to have one."""
    return [lamp for lamp in wiring.lamps if not lamp.dummy and any(feed.output is None for feed in lamp.feeds)]


def without_common(wiring: Wiring) -> dict[str, list[str]]:
    """Return the signals whose common wires are not listed, for the plan does not say enough, by what would say it."""
    found: dict[str, dict[str, None]] = {}
    for output, lamp, feed in _wires(wiring):
        if feed.load.both_ways or (feed.draw.way and feed.draw.supply):
            continue
        head = f"`wiring: common-anode` or `common-cathode` of the signal, or `drive` of board {output.board}"
        supply = f"`supply` of board {output.board}"
        found.setdefault(supply if feed.draw.way else head, {})[lamp.signal] = None
    return {why: list(signals) for why, signals in found.items()}


def _wires(wiring: Wiring) -> list[tuple[Output, WiredLamp, Feed]]:
    """Return every wire from an output, board by board; an LED that two lamps show by is wired once."""
    wires: list[tuple[Output, WiredLamp, Feed]] = []
    for output in wiring.in_order:
        lights = {feed.light: (output, lamp, feed) for lamp, feed in reversed(wiring.by_output[output])}
        wires += reversed(lights.values())
    return wires


def _wire(lamp: WiredLamp, feed: Feed, output: Output) -> dict[str, Any]:
    """Return the row of one wire."""
    load = feed.load
    back = output == feed.returns
    return {
        "board": output.board,
        "output": str(output),
        "signal": lamp.signal,
        "lamp": _lamp(lamp, feed),
        "led": _led(feed),
        "wire": as_text(lamp.detail.get("wire")),
        "connector": as_text(lamp.detail.get("connector")),
        "core": as_text(lamp.detail.get("core")),
        "resistor": "" if back else resistor(feed),
        "lead": ("cathode" if back else "anode") if load.both_ways else LEAD.get(feed.draw.way, ""),
        "polarity": load.polarity or lamp.polarity,
    }


def _lamp(lamp: WiredLamp, feed: Feed) -> str:
    """Return the lamp as its signal knows it; of a mixed colour the LED that is meant."""
    return f"{lamp.short} ({feed.load.colour})" if "mix" in lamp.detail else lamp.short


def _led(feed: Feed) -> str:
    """Return the kind of LED, and how many of them there are."""
    load = feed.load
    kind = load.package or load.led
    name = kind.name if kind else ""
    return name if load.count == 1 else f"{load.count} {name} {load.joined}".strip()


def resistor(feed: Feed) -> str:
    """Return the resistor of a feed as one reads it: ``330 ohm``, ``5 x 330 ohm``, ``built-in``."""
    found, load = feed.draw.resistor, feed.load
    if found.ohms is None:
        return found.how if found.how != "sized" else ""
    one = saying.ohms(found.ohms)
    if found.shared:
        return f"{one} shared"
    return one if load.strings == 1 else f"{load.strings} x {one}"


def _board(wiring: Wiring, board: Board) -> dict[str, Any]:
    """Return the row of one board."""
    from lampwright_wiring.bus import shown

    used = {output.name for output in wiring.by_output if output.board == board.name}
    names = board.kind.outputs if board.kind else ()
    return {
        "board": board.name,
        "kind": board.kind.name if board.kind else "",
        "address": "" if board.address is None else shown(board.address),
        "used": f"{len(used)} of {len(names)}" if names else str(len(used)),
        "free": spans(names, {output.name for output in wiring.spare(board)}),
        "reserved": spans(names, board.reserved),
        "servos": spans(names, board.servos),
    }


def spans(names: tuple[str, ...], chosen: Iterable[str]) -> str:
    """Return some outputs of a board, in its order, runs of them as spans: ``0 to 3, 7``."""
    wanted = set(chosen)
    runs: list[list[str]] = []
    last = -2
    for place, name in enumerate(names):
        if name in wanted:
            runs = [*runs, [name]] if place > last + 1 else [*runs[:-1], [*runs[-1], name]]
            last = place
    return ", ".join(", ".join(run) if len(run) < LONG else f"{run[0]} to {run[-1]}" for run in runs)


def _labels(wiring: Wiring) -> Iterator[dict[str, Any]]:
    """Yield the labels of every wire's two ends: those to outputs, then the common ones of each head."""
    for number, (output, lamp, feed) in enumerate(_wires(wiring), 1):
        name = f"{lamp.signal} {_lamp(lamp, feed)}"
        yield {"wire": f"W{number}", "board-end": f"{output} {name}", "signal-end": f"{name} {output}"}
    commons = {
        (lamp.signal, feed.draw.supply, feed.draw.way): None
        for _, lamp, feed in _wires(wiring)
        if feed.draw.way and feed.draw.supply and not feed.load.both_ways
    }
    for number, (signal, supply, way) in enumerate(commons, 1):
        where = f"{'+' if way == SINK else '0 V'} {supply}"
        yield {"wire": f"C{number}", "board-end": f"{where} {signal}", "signal-end": f"{signal} common {where}"}
