"""Which blocks of things go to which places, as whole as can be. Knows nothing of what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    Fits = Callable[[int, frozenset[int]], bool]

BUDGET: Final = 4000
"""How many questions a search may ask before it gives up."""
CUTS: Final = 3
"""Up to how many cuts are looked for by trying all, before single things are placed."""

Block = tuple[int, ...]


class _Spent(Exception):  # noqa: N818  (how a search ends)
    """The budget is spent."""


class Searched(Struct, frozen=True):
    """What came of a search: the things of each place, or None; ``whole`` tells that everything was tried."""

    placed: tuple[frozenset[int], ...] | None
    whole: bool = True


class Search:
    """Places blocks. ``fits`` tells whether things may be at a place together, and only more so if they are fewer.

    ``like`` is the same for places that are alike while empty, ``order`` the places to try for a block, best first.
    ``split`` gives the pieces that a block may be cut into.
    """

    def __init__(
        self,
        fits: Fits,
        like: Sequence[str],
        order: Callable[[Block], Sequence[int]],
        split: Callable[[Block], Sequence[Block]],
    ) -> None:
        self._fits = fits
        self._like = like
        self._order = order
        self._split = split
        self._left = 0

    def best(self, blocks: Sequence[Block]) -> Searched:
        """Return blocks placed whole; else with as few cuts as are found; else one by one; else nothing."""
        plain = sorted(blocks, key=len, reverse=True)
        for order in (blocks, plain):
            if found := self._greedy(order, cut=False):
                return Searched(found)
        if found := self._tried(plain, 0).placed:
            return Searched(found)
        for order in (blocks, plain):
            if found := self._greedy(order, cut=True):
                return Searched(self._fewer(plain, found))
        for cuts in range(1, CUTS + 1):
            if found := self._tried(plain, cuts).placed:
                return Searched(found)
        return self._tried([(thing,) for block in plain for thing in block], 0)

    def _fewer(self, blocks: Sequence[Block], found: tuple[frozenset[int], ...]) -> tuple[frozenset[int], ...]:
        """Return a way with fewer cuts than the one found, if there is one."""
        cuts = sum(sum(not things.isdisjoint(block) for things in found) - 1 for block in blocks)
        for fewer in range(1, min(cuts, CUTS + 1)):
            if better := self._tried(blocks, fewer).placed:
                return better
        return found

    def _greedy(self, blocks: Sequence[Block], *, cut: bool) -> tuple[frozenset[int], ...] | None:
        """Place each block at the first place that takes it, or cut it where none does; nothing is tried again."""
        placed: list[frozenset[int]] = [frozenset()] * len(self._like)
        waiting = list(reversed(blocks))
        while waiting:
            block = waiting.pop()
            place = next((one for one in self._order(block) if self._fits(one, placed[one].union(block))), None)
            if place is not None:
                placed[place] = placed[place].union(block)
                continue
            parted = self._largest(block, placed) if cut else None
            if parted is None:
                return None
            place, head, rest = parted
            placed[place] = placed[place].union(head)
            waiting.append(rest)
        return tuple(placed)

    def _largest(self, block: Block, placed: Sequence[frozenset[int]]) -> tuple[int, Block, Block] | None:
        """Return the place that takes the largest beginning of a block, that beginning, and the rest."""
        found = [(len(head), -number, place, head) for number, (place, head) in enumerate(self._heads(block, placed))]
        if not found:
            return None
        *_, place, head = max(found)
        return place, head, _without(block, head)

    def _heads(self, block: Block, placed: Sequence[frozenset[int]]) -> list[tuple[int, Block]]:
        """Return for each place the largest beginning of a block that it takes, if it takes any."""
        pieces = self._split(block)
        heads = []
        for place in self._order(block):
            for number in range(len(pieces) - 1, 0, -1):
                head = tuple(thing for piece in pieces[:number] for thing in piece)
                if self._fits(place, placed[place].union(head)):
                    heads.append((place, head))
                    break
        return heads

    def _tried(self, blocks: Sequence[Block], cuts: int) -> Searched:
        """Try every way of placing blocks with up to so many cuts, as far as the budget goes."""
        self._left = BUDGET
        placed: list[frozenset[int]] = [frozenset()] * len(self._like)
        try:
            return Searched(tuple(placed) if self._try(list(reversed(blocks)), placed, cuts) else None)
        except (_Spent, RecursionError):
            return Searched(None, whole=False)

    def _try(self, waiting: list[Block], placed: list[frozenset[int]], cuts: int) -> bool:
        """Place what is waiting; ``placed`` holds the way found."""
        if not waiting:
            return True
        *others, block = waiting
        empty: set[str] = set()
        for place in self._order(block):
            if not placed[place]:
                if self._like[place] in empty:
                    continue
                empty.add(self._like[place])
            if self._with(place, block, others, placed, cuts):
                return True
        if cuts:
            for place, head in self._heads(block, placed):
                if self._with(place, head, [*others, _without(block, head)], placed, cuts - 1):
                    return True
        return False

    def _with(self, place: int, block: Block, others: list[Block], placed: list[frozenset[int]], cuts: int) -> bool:
        """Place a block, then the others; nothing is changed if that does not work."""
        self._left -= 1
        if self._left < 0:
            raise _Spent
        before = placed[place]
        if not self._fits(place, before.union(block)):
            return False
        placed[place] = before.union(block)
        if self._try(others, placed, cuts):
            return True
        placed[place] = before
        return False


def _without(block: Block, head: Block) -> Block:
    """Return what is left of a block."""
    return tuple(thing for thing in block if thing not in head)
