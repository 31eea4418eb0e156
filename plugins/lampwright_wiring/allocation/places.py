"""Where outputs are to be had: on boards of the plan, and on boards like them that may be added."""

from __future__ import annotations

from itertools import product
from string import ascii_uppercase
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct
from msgspec.structs import replace

from lampwright_wiring.bus import shown, usable

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout
    from lampwright_wiring.model import Board, Wiring

USUAL: Final = "pwm-16"
"""The kind of board that is added where the plan has none."""
OWN: Final = ("address", "after", "reserved", "servos", "length", "wire", "note", "kind", "drive")
"""What a board does not have from the one it is like."""


class Place(Struct, frozen=True, eq=False):
    """A board with the outputs that may be had of it.

    ``boards`` is what it may be: one that is there is what it is, a new one may drive either way. ``like`` is alike for
    places between which nothing is to choose.
    """

    boards: tuple[Board, ...]
    spare: tuple[str, ...]
    like: str
    new: bool = False

    @property
    def name(self) -> str:
        """The name of the board."""
        return self.boards[0].name


def existing(wiring: Wiring) -> list[Place]:
    """Return the boards of a plan that have outputs left; those that drive servos come last."""
    places = [
        Place((board,), tuple(output.name for output in wiring.spare(board)), board.name)
        for board in wiring.boards.values()
        if wiring.spare(board)
    ]
    return sorted(places, key=lambda place: bool(place.boards[0].servos))


class NewBoards:
    """Boards that may be added: of a kind, like the last one of that kind in the plan."""

    def __init__(self, layout: Layout, wiring: Wiring, kind: str = "") -> None:
        """Take the kind that is asked for, else that of the plan's last board, else the usual one."""
        self.wiring = wiring
        said: dict[str, Any] = layout.plan.values.get("boards") or {}
        known = [board for board in wiring.boards.values() if board.kind is not None]
        same = [board for board in known if not kind or (board.kind and board.kind.name == kind)]
        self.model = same[-1] if same else None
        named = kind or (self.model.kind.name if self.model and self.model.kind else USUAL)
        self.kind = wiring.parts.board(named)
        self.said = dict((said.get(self.model.name) or {}) if self.model else self._alone())

    def _alone(self) -> dict[str, str]:
        """Return what is said of a board that is like none: the only controller there is, and the only supply."""
        alone = {"controller": self.wiring.controllers, "supply": self.wiring.supplies}
        return {key: next(iter(there)) for key, there in alone.items() if len(there) == 1}

    @property
    def most(self) -> int:
        """How many may be added: as many as there are addresses, or as a chain takes."""
        if self.kind is None:
            return 0
        if self.kind.addresses is not None:
            return len(self._addresses())
        return len(self.wiring.lamps) * 2 if self.kind.chained else 0

    def places(self, number: int, ways: Sequence[str]) -> list[Place]:
        """Return so many new boards, each of which may drive in any of some ways that its kind can."""
        return [self._place(name, ways) for name, _ in zip(self._names(), range(number), strict=False)]

    def _place(self, name: str, ways: Sequence[str]) -> Place:
        """Return one new board."""
        from lampwright_wiring.kinds import BoardKind

        assert isinstance(self.kind, BoardKind)  # noqa: S101  (none may be added otherwise)
        drives = self.kind.drives
        usual = self.model.drive if self.model else ""
        able = [way for way in dict.fromkeys((usual, *ways)) if way in drives or (not way and len(drives) > 1)]
        whole = tuple(self._board(name, way or (drives[0] if len(drives) == 1 else "")) for way in able or drives[:1])
        return Place(whole, self.kind.outputs, "a new one", new=True)

    def _board(self, name: str, drive: str) -> Board:
        """Return a new board as the electrics see it."""
        from lampwright_wiring.model import Board

        if self.model is not None:
            bare = replace(self.model, reserved=frozenset(), servos=frozenset(), address=None, after="")
            return replace(bare, name=name, path=("boards", name), drive=drive)
        supply = self.said.get("supply", "")
        controller = self.said.get("controller", "")
        supply = supply or (self.wiring.controllers[controller].supply if controller else "")
        return Board(name, ("boards", name), self.kind, controller, supply=supply, led_supply=supply, drive=drive)

    def written(self, boards: Sequence[Board]) -> dict[str, dict[str, Any]]:
        """Return what a plan says of new boards: addresses are free and legal, chains go on where they end."""
        addresses = iter(self._addresses())
        entries: dict[str, dict[str, Any]] = {}
        last = self._end_of_chain()
        for board in boards:
            entry: dict[str, Any] = {"kind": board.kind.name if board.kind else ""}
            entry.update({key: value for key, value in self.said.items() if key not in OWN})
            if self.kind is not None and self.kind.addresses is not None:
                entry["address"] = shown(next(addresses))
            elif last:
                entry = {"kind": entry["kind"], "after": last, **{k: v for k, v in entry.items() if k != "controller"}}
            if board.drive and self.kind is not None and len(self.kind.drives) > 1:
                entry["drive"] = board.drive
            entries[board.name] = entry
            last = board.name if self.kind is not None and self.kind.chained else ""
        return entries

    def _addresses(self) -> list[int]:
        """Return the addresses that are free on the bus of the controller."""
        controller = self.model.controller if self.model else self.said.get("controller", "")
        taken = {board.address for board in self.wiring.boards.values() if board.controller == controller}
        return [address for address in usable(self.kind) if address not in taken] if self.kind else []

    def _end_of_chain(self) -> str:
        """Return the last board of the chain that the model is in."""
        if self.model is None or self.kind is None or not self.kind.chained:
            return ""
        after = {board.after: board.name for board in self.wiring.boards.values() if board.after}
        name, seen = self.model.name, set()
        while name in after and name not in seen:
            seen.add(name)
            name = after[name]
        return name

    def _names(self) -> Iterator[str]:
        """Yield names that no board has: A to Z, then AA and on."""
        for length in (1, 2):
            for letters in product(ascii_uppercase, repeat=length):
                if (name := "".join(letters)) not in self.wiring.boards:
                    yield name
