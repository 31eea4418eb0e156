"""Addresses on a bus: which a kind of board may have, and how they are written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.words import listed

if TYPE_CHECKING:
    from lampwright_wiring.kinds import BoardKind
    from lampwright_wiring.model import Board, Wiring


def usable(kind: BoardKind) -> list[int]:
    """Return the addresses that boards of a kind may have."""
    kept = {address for span, _ in kind.forbidden for address in span}
    return [address for address in kind.addresses or () if address not in kept]


def shown(address: int) -> str:
    """Return an address as plans write it."""
    return f"0x{address:02X}"


def spans(addresses: list[int]) -> str:
    """Return addresses as spans: ``0x40 to 0x6F and 0x71 to 0x77``."""
    breaks = [index for index, address in enumerate(addresses) if index == 0 or address != addresses[index - 1] + 1]
    parts = [addresses[first:last] for first, last in zip(breaks, [*breaks[1:], len(addresses)], strict=True)]
    return listed(shown(part[0]) if len(part) == 1 else f"{shown(part[0])} to {shown(part[-1])}" for part in parts)


def free(wiring: Wiring, board: Board) -> int | None:
    """Return an address that a board may have and none of its controller has."""
    taken = {other.address for other in wiring.boards.values() if other.controller == board.controller}
    return next((address for address in usable(board.kind) if address not in taken), None) if board.kind else None
