"""The parts list: what a plan takes, what of it is built, what is at hand, and what is still to be had."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

from lampwright_wiring import saying
from lampwright_wiring.fitting import heat
from lampwright_wiring.lists.tables import COUNT, WATTS, Column, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import Layout
    from lampwright_wiring.model import Feed, WiredLamp, Wiring

PARTS: Final = (
    Column("part", "part"),
    Column("kind", "kind"),
    Column("number", "all", COUNT),
    Column("built", "built", COUNT),
    Column("stock", "at hand", COUNT),
    Column("get", "to get", COUNT),
    Column("heat", "each at most mW", WATTS),
    Column("title", "what it is"),
)
LED, RESISTOR, BOARD, SWITCH, CONTROLLER, SUPPLY = "LED", "resistor", "board", "switch", "controller", "supply"
NOTE: Final = (
    "What is built is there already; what is at hand is the plan's `stock`. A resistor should stand twice the heat it "
    "is said to give off."
)
NOT_CHOSEN = "not chosen yet"

Key = tuple[str, str]


def table(layout: Layout, wiring: Wiring) -> Table:
    """Return the parts of a plan with their numbers."""
    counts = _Counts(layout, wiring)
    rows = [counts.row(key) for key in counts.all]
    totals = [row for name in (LED, RESISTOR) if (row := _total(name, rows))]
    return Table("parts", "Parts", PARTS, (*rows, *totals), NOTE)


class _Counts:
    """Counts every part of a plan once."""

    def __init__(self, layout: Layout, wiring: Wiring) -> None:
        self.wiring = wiring
        self.stock: Mapping[str, Any] = layout.plan.values.get("stock") or {}
        self.all: Counter[Key] = Counter()
        self.built: Counter[Key] = Counter()
        self.heat: dict[Key, Fraction] = {}
        self.titles: dict[Key, str] = {}
        self.lenses: set[tuple[str, tuple[str, ...], str]] = set()  # those whose LED of several colours is counted
        for lamp, feed in _loads(wiring):
            self._led(lamp, feed)
        for lamp, feed in _loads(wiring):
            self._resistor(lamp, feed)
        self._switches()
        self._others()

    def row(self, key: Key) -> dict[str, Any]:
        """Return the row of one part."""
        part, kind = key
        at_hand = self._at_hand(key)
        needed = self.all[key] - self.built[key]
        if part not in (LED, RESISTOR, BOARD, SWITCH):
            return {"part": part, "kind": kind, "number": self.all[key], "title": self.titles.get(key, "")}
        return {
            "part": part,
            "kind": kind,
            "number": self.all[key],
            "built": self.built[key] or None,
            "stock": at_hand,
            "get": max(needed - (at_hand or 0), 0),
            "heat": self.heat.get(key),
            "title": self.titles.get(key, ""),
        }

    def _at_hand(self, key: Key) -> int | None:
        """Return how many of a part the modeller has; None if the plan does not say."""
        part, kind = key
        said = self.stock.get({LED: "leds", RESISTOR: "resistors", BOARD: "boards"}.get(part, ""))
        if not isinstance(said, dict):
            return None
        if part != RESISTOR:
            return said.get(kind)
        from lampwright.quantities import quantity

        return next((number for text, number in said.items() if saying.ohms(quantity(text).amount) == kind), None)

    def _add(self, key: Key, number: int, *, built: bool, title: str = "") -> None:
        self.all[key] += number
        if built:
            self.built[key] += number
        self.titles.setdefault(key, title)

    def _led(self, lamp: WiredLamp, feed: Feed) -> None:
        """Count the LEDs of a feed; those of several colours once for the lens they sit in."""
        load = feed.load
        kind = load.package or load.led
        lens = (lamp.signal, lamp.names, lamp.content)
        if load.package is not None and lens in self.lenses:
            return
        self.lenses.add(lens)
        name = kind.name if kind else f"{load.colour or 'lamp'}, {NOT_CHOSEN}"
        self._add((LED, name), load.count, built=_there(lamp, feed), title=kind.title if kind else "")

    def _resistor(self, lamp: WiredLamp, feed: Feed) -> None:
        """Count the resistors of a feed: one for each string, or one that all share."""
        found = feed.draw.resistor
        if found.how in ("none", "built-in", "unknown"):
            return
        key = (RESISTOR, saying.ohms(found.ohms) if found.ohms is not None else NOT_CHOSEN)
        self._add(key, 1 if found.shared else feed.load.strings, built=_there(lamp, feed))
        if warm := heat(feed):
            self.heat[key] = max(self.heat.get(key, Fraction(0)), warm)

    def _switches(self) -> None:
        """Count transistors and drivers: those of a board serve as many outputs as they have channels."""
        channels: Counter[tuple[str, str, bool]] = Counter()
        kinds = {}
        for used in self.wiring.used:
            lamp, feed = used.lamps[0]
            switch = feed.load.switch or (used.board.switch if used.board else None)
            if switch is not None:
                kinds[switch.name] = switch
                channels[used.output.board, switch.name, _there(lamp, feed)] += 1
        for (_, name, built), number in channels.items():
            kind = kinds[name]
            self._add((SWITCH, name), -(-number // kind.channels), built=built, title=kind.title)

    def _others(self) -> None:
        """Count boards, controllers and supplies; a board with anything built on it is built."""
        there = {feed.output.board for lamp, feed in _loads(self.wiring) if _there(lamp, feed) and feed.output}
        for board in self.wiring.boards.values():
            key = (BOARD, board.kind.name if board.kind else board.name)
            self._add(key, 1, built=board.name in there, title=board.kind.title if board.kind else "")
        for part, entries in ((CONTROLLER, self.wiring.controllers), (SUPPLY, self.wiring.supplies)):
            for name, entry in entries.items():
                title = entry.kind.title if entry.kind else ""
                self._add((part, entry.kind.name if entry.kind else name), 1, built=False, title=title)


def _loads(wiring: Wiring) -> Iterator[tuple[WiredLamp, Feed]]:
    """Yield what lights lamps, wired or not yet, each LED once; a lamp through a fibre has none of its own."""
    seen = set()
    for lamp in wiring.lamps:
        for feed in () if lamp.fibre or lamp.dummy else lamp.feeds:
            key = feed.light, () if lamp.names else lamp.path  # two lamps of unknown names are two
            if key not in seen:
                seen.add(key)
                yield lamp, feed


def _there(lamp: WiredLamp, feed: Feed) -> bool:
    """Tell whether the LED of a feed hangs there already."""
    return lamp.built and feed.output is not None


def _total(part: str, rows: list[dict[str, Any]]) -> dict[str, Any] | None:
    """Return the row that sums up a part of several kinds."""
    mine = [row for row in rows if row["part"] == part]
    if len(mine) < 2:  # noqa: PLR2004  (one row is its own total)
        return None
    sums = {key: sum(row.get(key) or 0 for row in mine) for key in ("number", "built", "get")}
    return {"part": part, "kind": "all together", **sums, "built": sums["built"] or None}
