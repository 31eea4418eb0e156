"""Checks of boards on their bus: addresses that clash or are not to be had, and chains that lead nowhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN
from lampwright.words import listed
from lampwright_wiring.bus import free, shown, spans, usable
from lampwright_wiring.scopes import BOARD, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright_wiring.model import Board


class BoardAddressClash(ElectricalCheck):
    """Finds two boards of one controller that are set to one address.

    Both answer to everything that is sent to either: each shows what the other is told.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {}}
        boards:
          A: {kind: pwm-16, controller: east, address: 0x40}
          B: {kind: pwm-16, controller: east, address: 64}    # expect: board-address-clash "A and B are both at 0x40"

    Right:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {}}
        boards:
          A: {kind: pwm-16, controller: east, address: 0x40}
          B: {kind: pwm-16, controller: east, address: 0x41}

    Limits: each controller is taken to have one bus. Boards that name no controller are taken to hang on one together.
    """

    name = "board-address-clash"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each address that several boards have."""
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        there: dict[tuple[str, int], list[Board]] = {}
        for board in wiring.boards.values():
            if board.address is not None:
                there.setdefault((board.controller, board.address), []).append(board)
        for (controller, address), boards in there.items():
            if len(boards) > 1:
                other = free(wiring, boards[-1])
                yield self.finding(
                    f"{listed(board.name for board in boards)} are {'both' if len(boards) == 2 else 'all'} "  # noqa: PLR2004
                    f"at {shown(address)}{f' of {controller}' if controller else ''}",
                    subject.spot(*boards[-1].path, "address"),
                    related=[subject.spot(*board.path, "address", label="and here") for board in boards[:-1][:3]],
                    tip=f"{shown(other)} is free" if other is not None else "",
                )


class ForbiddenAddress(ElectricalCheck):
    """Finds a board set to an address it cannot have, or that the bus keeps for something else.

    A kind of board can be set to some addresses only. Of these, one may call all boards at once (each would answer to
    it at power-up), and the bus keeps some for other uses.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A: {kind: pwm-16, address: 0x70}      # expect: forbidden-address "A is at 0x70"
          B: {kind: pwm-16, address: 0x20}      # expect: forbidden-address "B is at 0x20"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A: {kind: pwm-16, address: 0x40}
          B: {kind: pwm-16, address: 0x71}

    Limits: only boards whose kind the parts data know. 0x71, 0x72 and 0x74 are free as long as the controller does not
    switch the group calls on.
    """

    name = "forbidden-address"
    scope = BOARD

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for an address that the board must not have."""
        board, kind = subject.thing, subject.thing.kind
        if board.address is None or kind is None or kind.addresses is None or board.address in usable(kind):
            return
        why = next((why for span, why in kind.forbidden if board.address in span), "")
        because = why or f"it can be set to {shown(kind.addresses[0])} to {shown(kind.addresses[-1])}"
        yield self.finding(
            f"board {board.name} is at {shown(board.address)}, which it must not be: {because}",
            subject.spot("address"),
            related=(kind.spot("addresses", label=kind.title),),
            citations=(kind.why("addresses"),),
            tip=f"free to use {'are' if len(usable(kind)) > 1 else 'is'} {spans(usable(kind))}",
        )


class ImpossibleChain(ElectricalCheck):
    """Finds boards that come after each other in a circle, or after a board of another controller.

    A chain begins at a controller, and each board hands on what the next is told. In a circle nothing begins.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A: {kind: shift-register-8, after: B}        # expect: impossible-chain "A comes after B, which comes after A"
          B: {kind: shift-register-8, after: A}

    Right:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {}}
        boards:
          A: {kind: shift-register-8, controller: east}
          B: {kind: shift-register-8, after: A}

    Limits: how long a chain may be is not known here.
    """

    name = "impossible-chain"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each circle, and for each step to another controller."""
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        boards = wiring.boards
        told: set[str] = set()
        for name, board in boards.items():
            circle = _circle(boards, name)
            if circle and not told.intersection(circle):
                told.update(circle)
                chain = ", which comes after ".join((*circle[1:], name))
                yield self.finding(
                    f"{name} comes after {chain}" if len(circle) > 1 else f"{name} comes after itself",
                    subject.spot(*board.path, "after"),
                    related=[subject.spot(*boards[other].path, "after", label="and on") for other in circle[1:]],
                    tip="the first board of a chain comes after none, and names its controller",
                )
            before = boards.get(board.after)
            known = before is not None and {before.controller, board.controller} <= wiring.controllers.keys()
            if not circle and before is not None and known and before.controller != board.controller:
                yield self.finding(
                    f"board {name} of {board.controller} comes after {before.name} of {before.controller}",
                    subject.spot(*board.path, "after"),
                    related=(subject.spot(*before.path, label="the board before it"),),
                    tip="a chain hangs on one controller: only its first board names it",
                )


def _circle(boards: Mapping[str, Board], name: str) -> list[str]:
    """Return the boards of a chain that leads back to where it began; empty if it does not."""
    chain = [name]
    while (after := boards[chain[-1]].after) in boards and after not in chain:
        chain.append(after)
    return chain if after == name else []
