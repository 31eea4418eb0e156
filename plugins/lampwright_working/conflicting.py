"""Conflicts as the plan declares them, compared with those that follow from what the routes use."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.rulebooks.codec import as_text
from lampwright.words import listed
from lampwright.working.bound import by_name
from lampwright.working.conflicts import conflicts
from lampwright.working.reasons import DECLARED
from lampwright.working.trails import track_of, trails

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute
    from lampwright.working.reasons import Reason

NEEDS: Final = ("dead-reference", "points-both-ways", "route-name-used-twice", "flank-towards-route")
TABLE: Final = "conflicts"
DECLARED_TABLE: Final = "declared conflicts"
Pair = frozenset[int]


class Entry(Struct, frozen=True):
    """One word of the plan's table: in the row of one route, another one. ``why`` if the plan gives its reason."""

    path: Path
    on_key: bool
    row: BoundRoute
    other: BoundRoute
    why: str = ""


class Table:
    """The declared conflicts: the rows there are, and for each pair the entries that say it."""

    def __init__(self, layout: Layout) -> None:
        """Read the table; names that lead nowhere are left out."""
        self.layout = layout
        self.rows: dict[int, Path] = {}
        self.entries: dict[Pair, list[Entry]] = {}
        self.itself: list[Entry] = []
        known = by_name(layout)
        for name, said in (layout.plan.values.get(TABLE) or {}).items():
            for row in known.get(name, ()):
                self.rows[row.index] = (TABLE, name)
                for path, on_key, other, why in _items(said, (TABLE, name)):
                    for meant in known.get(other, ()):
                        self._add(Entry(path, on_key, row, meant, why))
        both = [pair for pair, entries in self.entries.items() if len({entry.row.index for entry in entries}) > 1]
        self.both_ways = 2 * len(both) >= len(self.entries)
        self.siblings = any(len({route.signal.name for route in self.pair(pair)}) == 1 for pair in self.entries)

    def _add(self, entry: Entry) -> None:
        """Keep one entry."""
        if entry.row is entry.other:
            self.itself.append(entry)
        else:
            self.entries.setdefault(frozenset((entry.row.index, entry.other.index)), []).append(entry)

    def pair(self, pair: Pair) -> tuple[BoundRoute, BoundRoute]:
        """Return the two routes of a pair in the order of the file."""
        one, other = sorted(pair)
        routes = conflicts(self.layout).routes
        return routes[one], routes[other]

    def founded(self, pair: Pair) -> list[Reason]:
        """Return the reasons of a pair that do not come from the table itself."""
        return [reason for reason in conflicts(self.layout).reasons(*self.pair(pair)) if reason.kind != DECLARED]

    def known(self, pair: Pair) -> bool:
        """Tell whether it is known what both routes use: by their way if there is a track, else by what they say."""
        if track_of(self.layout):
            return pair <= trails(self.layout).keys()
        return all(route.entry.over or route.entry.points for route in self.pair(pair))


def declared(layout: Layout) -> Table:
    """Return the declared conflicts of a layout, read once."""
    found = layout.cache.get(DECLARED_TABLE)
    if not isinstance(found, Table):
        found = layout.cache[DECLARED_TABLE] = Table(layout)
    return found


class Declared(Check):
    """A check of the plan's declared conflicts."""

    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Ask for declared conflicts."""
        return "" if whole.plan.values.get(TABLE) else "no conflicts given"


class MissingConflict(Declared):
    """Finds two routes that exclude each other, where the plan's own table of conflicts does not say so.

    A table of conflicts is what locking is built from. A pair left out of it can be set together: two trains meet on
    the same track, or points are called both ways.

    Wrong:

        plan: 1
        signals:
          HF2: {routes: [{to: HF4, over: [AA, AB]}]}
          HF3: {routes: [{to: HF5, over: [AB, AC]}]}
          HF7: {routes: [{to: HF9, over: [AC, AD]}]}
          HF4: {}
          HF5: {}
          HF9: {}
        conflicts:
          HF2 to HF4: [HF3 to HF5]
          HF3 to HF5: [HF2 to HF4]           # expect: missing-conflict "HF7 to HF9"

    Right:

        plan: 1
        signals:
          HF2: {routes: [{to: HF4, over: [AA, AB]}]}
          HF3: {routes: [{to: HF5, over: [AB, AC]}]}
          HF7: {routes: [{to: HF9, over: [AC, AD]}]}
          HF4: {}
          HF5: {}
          HF9: {}
        conflicts:
          HF2 to HF4: [HF3 to HF5]
          HF3 to HF5: [HF2 to HF4, HF7 to HF9]
          HF7 to HF9: HF3 to HF5

    Limits: only rows that the table has are expected to be complete. Routes of one signal exclude each other in any
    case: they are asked for only if the table lists such a pair elsewhere. With a track, only routes that agree with
    it are compared.
    """

    name = "missing-conflict"
    needs = NEEDS

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each pair that is left out."""
        table = declared(subject)
        for one, other in conflicts(subject).pairs():
            pair = frozenset((one.index, other.index))
            row = table.rows.get(one.index) or table.rows.get(other.index)
            if row is None or pair in table.entries or one.name == other.name or not table.known(pair):
                continue
            if one.signal is not other.signal or table.siblings:
                yield self._missing(subject, row, one, other)

    def _missing(self, layout: Layout, row: Path, one: BoundRoute, other: BoundRoute) -> Finding:
        """Return the finding for one pair."""
        reasons = conflicts(layout).reasons(one, other)
        out, there = (other, one) if row[1] in (one.name, one.ends) else (one, other)
        return self.finding(
            f"{one} and {other} exclude each other, and the table of conflicts does not say so",
            layout.spot(*row, on_key=True),
            related=(there.spot(label="this route"), out.spot(label="and this one")),
            because="; ".join(reason.sentence for reason in reasons),
            tip=f"{row[1]}: [..., {out.name}]",
        )


class OneSidedConflict(Declared):
    """Finds a conflict that the plan's table has in the row of one route and not in that of the other.

    Locking that works one way only lets the second route be set after the first, and not the first after the second:
    what is safe then depends on the order in which the levers are pulled.

    Wrong:

        plan: 1
        signals:
          HF2: {routes: [{to: HF4, over: [AA, AB]}]}
          HF3: {routes: [{to: HF5, over: [AB, AC]}]}
          HF7: {routes: [{to: HF9, over: [AC, AD]}]}
          HF4: {}
          HF5: {}
          HF9: {}
        conflicts:
          HF2 to HF4: [HF3 to HF5]
          HF3 to HF5: [HF2 to HF4, HF7 to HF9]     # expect: one-sided-conflict "HF7 to HF9"

    Right:

        plan: 1
        signals:
          HF2: {routes: [{to: HF4, over: [AA, AB]}]}
          HF3: {routes: [{to: HF5, over: [AB, AC]}]}
          HF7: {routes: [{to: HF9, over: [AC, AD]}]}
          HF4: {}
          HF5: {}
          HF9: {}
        conflicts:
          HF2 to HF4: [HF3 to HF5]
          HF3 to HF5: [HF2 to HF4, HF7 to HF9]
          HF7 to HF9: [HF3 to HF5]

    Limits: a table that lists most pairs once is one of another kind, and nothing is missing in it. Either way the
    program takes a conflict for mutual.
    """

    name = "one-sided-conflict"
    needs = NEEDS

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each pair that stands in one row only."""
        table = declared(subject)
        for pair, entries in table.entries.items():
            rows = {entry.row.index for entry in entries}
            if table.both_ways and len(rows) == 1 and (table.founded(pair) or not table.known(pair)):
                first = entries[0]
                back = table.rows.get(first.other.index)
                here = subject.spot(*back, label="this row leaves it out", on_key=True) if back else first.other.spot()
                yield self.finding(
                    f"the row of {first.row.name} has {first.other.name}, and not the other way about",
                    subject.spot(*first.path, on_key=first.on_key),
                    related=(here,),
                    because="; ".join(reason.sentence for reason in table.founded(pair)),
                    tip=f"{first.other.name}: [..., {first.row.name}]",
                )


class UnfoundedConflict(Declared):
    """Finds a declared conflict for which nothing in the plan gives a reason.

    It holds a route back for no cause; or the cause is not in the plan, and then it belongs there: another section, an
    overlap, points at the flank.

    Wrong:

        plan: 1
        signals:
          HF2: {routes: [{to: HF4, over: [AA, AB]}]}
          HF7: {routes: [{to: HF9, over: [AC, AD]}]}
          HF4: {}
          HF9: {}
        conflicts:
          HF2 to HF4: [HF7 to HF9]     # expect: unfounded-conflict "nothing in common"
          HF7 to HF9: [HF2 to HF4]

    Right:

        plan: 1
        signals:
          HF2: {routes: [{to: HF4, over: [AA, AB]}]}
          HF7: {routes: [{to: HF9, over: [AC, AD]}]}
          HF4: {}
          HF9: {}
        conflicts:
          HF2 to HF4: {HF7 to HF9: the platforms stand too near each other}
          HF7 to HF9: HF2 to HF4

    Limits: a conflict with a reason of the modeller's own is taken as it is. Routes are compared only if the plan says
    what they run over.
    """

    name = "unfounded-conflict"
    level = Level.WARNING
    needs = NEEDS

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each pair without a reason, and for a route said to exclude itself."""
        table = declared(subject)
        for entry in table.itself:
            yield self.finding(
                f"{entry.row} is said to exclude itself",
                subject.spot(*entry.path, on_key=entry.on_key),
                tip="take it out",
            )
        for pair, entries in table.entries.items():
            if not any(entry.why for entry in entries) and table.known(pair) and not table.founded(pair):
                yield self._unfounded(subject, entries)

    def _unfounded(self, layout: Layout, entries: list[Entry]) -> Finding:
        """Return the finding for one pair."""
        first, *more = entries
        one, other = first.row, first.other
        onward = one.entry.to == other.signal.name or other.entry.to == one.signal.name
        tip = "a train that runs through needs both" if onward else "say what they share, or give the reason in words"
        return self.finding(
            f"{one} and {other} are said to exclude each other, and have nothing in common that the plan says",
            layout.spot(*first.path, on_key=first.on_key),
            related=(
                *(layout.spot(*entry.path, on_key=entry.on_key, label="said here too") for entry in more),
                *(_over(route) for route in (one, other)),
            ),
            tip=tip,
        )


def _over(route: BoundRoute) -> Spot:
    """Return where a route says what it runs over."""
    over = listed(route.entry.over or route.entry.points)
    return route.spot(label=f"runs over {over}")


def _items(said: object, path: Path) -> Iterator[tuple[Path, bool, str, str]]:
    """Yield the names in one row of the table: place, whether it is a key, name, reason."""
    if isinstance(said, dict):
        yield from (((*path, other), True, as_text(other), as_text(why)) for other, why in said.items())
    elif isinstance(said, list):
        yield from (((*path, index), False, as_text(other), "") for index, other in enumerate(said))
    else:
        yield path, False, as_text(said), ""
