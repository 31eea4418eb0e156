"""Which routes exclude each other: the whole matrix by bitsets, and why for each pair."""

from __future__ import annotations

from collections import Counter, defaultdict
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from msgspec.structs import replace

from lampwright.rulebooks.codec import as_text
from lampwright.working.bitsets import EMPTY, Bits, has, numbers, of, union, without
from lampwright.working.bound import BoundRoute, bound_routes, by_name
from lampwright.working.reasons import DECLARED, Claim, Reason, crossed, reasons
from lampwright.working.trails import trails
from lampwright.working.uses import gangs

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.layout import Layout
    from lampwright.plans import Route

CONFLICTS: Final = "conflicts"
OTHER: Final = {"normal": "reverse", "reverse": "normal"}


def conflicts(layout: Layout) -> Conflicts:
    """Return the conflicts of a layout's routes, worked out once."""
    found = layout.cache.get(CONFLICTS)
    if not isinstance(found, Conflicts):
        found = layout.cache[CONFLICTS] = Conflicts(layout)
    return found


class Conflicts:
    """Which routes of a layout must not be set together. A route of another plan excludes none."""

    def __init__(self, layout: Layout) -> None:
        """Look at what each route uses; rows are worked out when many pairs are asked for, or a whole one is."""
        self.routes = bound_routes(layout)
        self._index = {route.path: route.index for route in self.routes}
        self._asked: dict[tuple[int, int], bool] = {}
        self.declared = frozenset(_declared(layout))
        leads, found = gangs(layout), trails(layout)
        self._claims = [_claim(layout, route, leads, found.get(route.index, ())) for route in self.routes]

    def excludes(self, one: Route | BoundRoute, other: Route | BoundRoute) -> bool:
        """Tell whether two routes must not be set together; a route does not exclude itself."""
        first, second = self._number(one), self._number(other)
        if first is None or second is None or first == second:
            return False
        if "_rows" in self.__dict__ or len(self._asked) >= len(self.routes):
            return has(self._rows[first], second)
        pair = (first, second) if first < second else (second, first)  # for a few pairs, all rows are too much
        if pair not in self._asked:
            self._asked[pair] = bool(self._reasons(*pair))
        return self._asked[pair]

    def reasons(self, one: Route | BoundRoute, other: Route | BoundRoute) -> tuple[Reason, ...]:
        """Return why two routes exclude each other: all reasons, empty if they do not."""
        first, second = self._number(one), self._number(other)
        if first is None or second is None or first == second:
            return ()
        return self._reasons(*sorted((first, second)))

    def row(self, route: Route | BoundRoute) -> tuple[BoundRoute, ...]:
        """Return the routes that one excludes, in the order of the file."""
        number = self._number(route)
        return () if number is None else tuple(self.routes[index] for index in numbers(self._rows[number]))

    def pairs(self) -> Iterator[tuple[BoundRoute, BoundRoute]]:
        """Yield every pair of routes that exclude each other, once."""
        for index, row in enumerate(self._rows):
            yield from ((self.routes[index], self.routes[other]) for other in numbers(row) if other > index)

    def _number(self, route: Route | BoundRoute) -> int | None:
        """Return the number of a route; None if it is of another plan."""
        index = self._index.get(route.path)
        entry = route.entry if isinstance(route, BoundRoute) else route
        return index if index is not None and self.routes[index].entry is entry else None

    def _reasons(self, first: int, second: int) -> tuple[Reason, ...]:
        """Return the reasons of a pair of numbers."""
        found = reasons(self._claims[first], self._claims[second])
        return (*found, Reason(DECLARED)) if (first, second) in self.declared else found

    @cached_property
    def _rows(self) -> list[Bits]:
        """The routes that each one excludes."""
        rows = Matrix(self._claims).rows()
        for pair in self.declared:
            for one, other in (pair, pair[::-1]):
                rows[one] = union((rows[one], (other, 1)))
        return rows


class Matrix:
    """For each thing a route can use, the routes that use it.

    A route with several overlaps has a number for each: it is excluded only if it is with every one of them.
    """

    def __init__(self, claims: list[Claim]) -> None:
        """Give a number to each overlap of each route."""
        self.claims = claims
        self.variants = [(index, lap) for index, claim in enumerate(claims) for lap in range(len(claim.uses.overlaps))]
        users: dict[tuple[Any, ...], list[int]] = defaultdict(list)
        for number, (index, lap) in enumerate(self.variants):
            for key in _keys(claims[index], lap):
                users[key].append(number)
        self.users = {key: of(found) for key, found in users.items()}

    def rows(self) -> list[Bits]:
        """Return for each route the routes it excludes."""
        if len(self.variants) == len(self.claims):
            rows = [without(self._row(index, 0), index) for index in range(len(self.claims))]
        else:
            rows = [of(self._with_every_overlap(index)) for index in range(len(self.claims))]
        self._consecutive(rows)
        return rows

    def _row(self, index: int, lap: int) -> Bits:
        """Return who uses what a route with one of its overlaps cannot share."""
        return union(self.users.get(key, EMPTY) for key in _against(self.claims[index], lap))

    def _with_every_overlap(self, index: int) -> Iterator[int]:
        """Yield the routes that one excludes whichever overlaps the two have."""
        laps = range(len(self.claims[index].uses.overlaps))
        shared = set.intersection(*(set(numbers(self._row(index, lap))) for lap in laps))
        for other, found in Counter(self.variants[number][0] for number in shared).items():
            if other != index and found == len(self.claims[other].uses.overlaps):
                yield other

    def _consecutive(self, rows: list[Bits]) -> None:
        """Look again at routes that follow each other: of what they share, little excludes them."""
        begin: dict[str, list[int]] = defaultdict(list)
        for index, claim in enumerate(self.claims):
            begin[claim.signal].append(index)
        for index, claim in enumerate(self.claims):
            for ahead in begin.get(claim.exit, ()):
                if ahead != index and not reasons(claim, self.claims[ahead]):
                    rows[index], rows[ahead] = without(rows[index], ahead), without(rows[ahead], index)


def _keys(claim: Claim, lap: int) -> Iterator[tuple[Any, ...]]:
    """Yield what a route uses."""
    used, overlap = claim.uses, claim.uses.overlaps[lap]
    yield "begins", claim.signal
    yield "ends", claim.exit
    if not claim.sections:
        yield "ends bare", claim.exit
    yield from (("runs", section) for section in claim.sections)
    yield from (("on", piece) for piece in claim.pieces)
    yield from (("laps", section) for section in overlap.over)
    yield from (("keeps", signal) for signal in used.at_stop)
    for lies in (used.lies, used.flank, overlap.lies):
        yield from (("lies", *lie) for lie in claim.lie(lies).items())


def _against(claim: Claim, lap: int) -> Iterator[tuple[Any, ...]]:
    """Yield what others may not use beside a route."""
    used, overlap = claim.uses, claim.uses.overlaps[lap]
    yield "begins", claim.signal
    yield "keeps", claim.signal
    if not claim.exit_kind or (claim.exit_kind != "unsignalled" and not claim.sections):
        yield "ends", claim.exit
    elif claim.exit_kind != "unsignalled":
        yield "ends bare", claim.exit
    for section in claim.sections:
        yield from (("runs", section), ("laps", section))
    yield from (("on", piece) for piece in claim.pieces)
    yield from (("runs", section) for section in overlap.over)
    yield from (("begins", signal) for signal in used.at_stop)
    for lies in (used.lies, used.flank, overlap.lies):
        yield from (("lies", points, OTHER.get(lie, "")) for points, lie in claim.lie(lies).items())


def _claim(layout: Layout, route: BoundRoute, leads: dict[str, str], steps: tuple[Any, ...]) -> Claim:
    """Return a route as the rules look at it, without overlaps that it cannot have beside its own way and flank."""
    plan, _, name = route.entry.to.rpartition("/")
    ends = layout.others[plan].ends if plan in layout.others else {} if plan else layout.plan.ends
    kind = as_text((ends.get(name) or {}).get("kind"))
    claim = Claim(route.signal.name, route.entry.to, kind, route.uses, leads, steps)
    laps = tuple(lap for lap in claim.uses.overlaps if not crossed(claim, lap))
    if len(laps) == len(claim.uses.overlaps):
        return claim
    return replace(claim, uses=replace(claim.uses, overlaps=laps or claim.uses.overlaps))


def _declared(layout: Layout) -> Iterable[tuple[int, int]]:
    """Yield the pairs of routes that the plan says exclude each other."""
    known = by_name(layout)
    for name, said in (layout.plan.values.get("conflicts") or {}).items():
        for other in said if isinstance(said, (list, dict)) else [said]:
            for one in known.get(name, ()):
                for two in known.get(as_text(other), ()):
                    if one is not two:
                        first, second = sorted((one.index, two.index))
                        yield first, second
