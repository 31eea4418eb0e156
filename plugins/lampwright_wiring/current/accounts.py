"""Where current is counted: outputs, boards, groups of outputs and supplies; with what every LED takes there."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from lampwright_wiring.current.lighting import wired
from lampwright_wiring.kinds import Spread
from lampwright_wiring.model import SINK

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright_wiring.kinds import Group
    from lampwright_wiring.model import Board, Feed, Output, Supply, WiredLamp, Wiring

NOTHING: Final = Spread.exactly(Fraction(0))
OUTPUT, BOARD, GROUP, SUPPLY = "output", "board", "group", "supply"


class Account(Struct, frozen=True, eq=False):
    """Where current is counted, in A.

    ``kind`` is ``output``, ``board`` (all its outputs), ``group`` (``outputs`` of it that share a limit, one ``way``)
    or ``supply``; ``name`` is that of the output, board or supply. ``takes`` is what each light takes, ``own`` what
    boards and controllers take for themselves. ``unknown`` are lamps and boards of which that cannot be told, so that
    every sum is too small by them.
    """

    kind: str
    name: str
    takes: Mapping[str, Spread]
    own: Spread = NOTHING
    limit: Fraction | None = None
    at_start: Fraction | None = None
    way: str = ""
    outputs: tuple[str, ...] = ()
    unknown: tuple[str, ...] = field(default=())

    def __str__(self) -> str:
        """Return the place of the account as a report names it."""
        if self.kind == OUTPUT:
            return self.name
        if self.kind == GROUP:
            return f"outputs {self.outputs[0]} to {self.outputs[-1]} of board {self.name}"
        return f"{self.kind} {self.name}"


def outputs(wiring: Wiring) -> Iterator[Account]:
    """Yield every output that is used."""
    for used in wiring.used:
        feeds = [(lamp, feed) for lamp, feed in used.lamps]
        kind = used.board.kind if used.board else None
        ways = {way for _, feed in feeds for output, way in _ways(feed) if output == used.output}
        limits = [kind.limits[way] for way in ways if way in kind.limits] if kind else []
        yield _of_outputs(OUTPUT, str(used.output), feeds, {used.output}, limit=min(limits, default=None))


def boards(wiring: Wiring) -> Iterator[Account]:
    """Yield every board, and every group of outputs that has a limit of its own."""
    by_board: dict[str, list[tuple[WiredLamp, Feed]]] = {}
    for lamp, feed in _feeds(wiring):
        for name in dict.fromkeys(output.board for output, _ in _ways(feed)):
            by_board.setdefault(name, []).append((lamp, feed))
    for board in wiring.boards.values():
        on = by_board.get(board.name, [])
        every = {output for _, feed in on for output, _ in _ways(feed) if output.board == board.name}
        limit = board.kind.limits.get("package") if board.kind else None
        yield _of_outputs(BOARD, board.name, on, every, limit=limit)
        for group in board.kind.groups if board.kind else ():
            yield from _groups(board, group, on)


def supplies(wiring: Wiring) -> Iterator[Account]:
    """Yield every supply, with what is passed on to those it feeds."""
    by_supply: dict[str, dict[int, tuple[WiredLamp, Feed]]] = {}
    for number, (lamp, feed) in enumerate(_feeds(wiring)):
        for name in (feed.draw.supply, *(name for name, _ in feed.draw.of_supplies)):
            by_supply.setdefault(name, {})[number] = lamp, feed
    for supply in wiring.supplies.values():
        share = {name: passed for name in wiring.supplies if (passed := _passed(wiring, name, supply.name))}
        feeds = {number: pair for name in share for number, pair in by_supply.get(name, {}).items()}
        yield of_supply(wiring, supply, share, [feeds[number] for number in sorted(feeds)])


def of_supply(
    wiring: Wiring, supply: Supply, share: Mapping[str, Fraction], feeds: Iterable[tuple[WiredLamp, Feed]]
) -> Account:
    """Return a supply as an account; ``share`` is what it gives itself of the current of each supply it feeds."""
    takes: dict[str, Spread] = {}
    unknown = []
    for lamp, feed in feeds:
        if feed.draw.total is None and feed.draw.supply in share:
            unknown.append(lamp.label)
        for name, amount in feed.draw.of_supplies:
            if name in share:
                takes[feed.light] = takes.get(feed.light, NOTHING).plus(amount.times(share[name]))
    own, silent = _own(wiring, share)
    limits = [limit for limit in (supply.limit, supply.fuse) if limit is not None]
    return Account(
        SUPPLY,
        supply.name,
        takes,
        own,
        min(limits, default=None),
        supply.at_start,
        unknown=tuple(dict.fromkeys((*unknown, *silent))),
    )


def _own(wiring: Wiring, share: Mapping[str, Fraction]) -> tuple[Spread, list[str]]:
    """Return what boards and controllers take for themselves, and those of which that is not known."""
    users = [(f"board {name}", one.supply, one.uses) for name, one in wiring.boards.items()]
    users += [(f"controller {name}", one.supply, one.uses) for name, one in wiring.controllers.items()]
    own = sum((uses * share[supply] for _, supply, uses in users if supply in share and uses), Fraction(0))
    return Spread.exactly(own), [name for name, supply, uses in users if supply in share and uses is None]


def _passed(wiring: Wiring, name: str, to: str) -> Fraction:
    """Return how much current a supply takes from another for each ampere it gives; none if it is not fed by it.

    A regulator passes on what it gives; one that raises the voltage takes more in the same measure. Its own losses are
    not counted, and neither is what a converter saves that lowers it.
    """
    share, seen = Fraction(1), {name}
    while name != to:
        feeders = wiring.supplies[name].fed_by
        if not feeders or feeders[0] in seen or feeders[0] not in wiring.supplies:
            return Fraction(0)
        share *= _raised(wiring.supplies[name], wiring.supplies[feeders[0]])
        name = feeders[0]
        seen.add(name)
    return share


def _raised(supply: Supply, feeder: Supply) -> Fraction:
    """Return how much higher a supply's voltage is than that of the one that feeds it; 1 if it is lower."""
    if supply.volts is None or feeder.volts is None or not feeder.volts.least:
        return Fraction(1)
    return max(supply.volts.most / feeder.volts.least, Fraction(1))


def _feeds(wiring: Wiring) -> Iterator[tuple[WiredLamp, Feed]]:
    """Yield what is wired, the LEDs of a fibre once."""
    for lamp in wiring.lamps:
        if not lamp.fibre:
            yield from ((lamp, feed) for feed in wired(lamp))


def _ways(feed: Feed) -> Iterator[tuple[Output, str]]:
    """Yield the outputs that carry a feed's current, with how each acts."""
    if feed.output is not None:
        yield feed.output, feed.draw.output_way
    if feed.returns is not None:
        yield feed.returns, SINK


def _groups(board: Board, group: Group, on: list[tuple[WiredLamp, Feed]]) -> Iterator[Account]:
    """Yield a group of outputs, once for each way it has a limit for."""
    for way, limit in group.limits.items():
        inside = {
            output
            for _, feed in on
            for output, acts in _ways(feed)
            if output.board == board.name and output.name in group.outputs and acts in (way, "")
        }
        yield _of_outputs(GROUP, board.name, on, inside, limit=limit, way=way, names=group.outputs)


def _of_outputs(  # noqa: PLR0913  (what makes an account)
    kind: str,
    name: str,
    feeds: Iterable[tuple[WiredLamp, Feed]],
    counted: set[Output],
    *,
    limit: Fraction | None,
    way: str = "",
    names: tuple[str, ...] = (),
) -> Account:
    """Return some outputs as one account."""
    takes: dict[str, Spread] = {}
    unknown = []
    for lamp, feed in feeds:
        times = sum(output in counted and (not way or acts in (way, "")) for output, acts in _ways(feed))
        if times and feed.draw.at_output is None:
            unknown.append(lamp.label)
        elif times and feed.draw.at_output is not None:
            takes[feed.light] = feed.draw.at_output.times(times)
    return Account(kind, name, takes, NOTHING, limit, None, way, names, tuple(dict.fromkeys(unknown)))
