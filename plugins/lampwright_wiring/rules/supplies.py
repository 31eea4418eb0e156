"""Checks of supplies: joined, or of more voltage than a model railway may have."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lampwright.checks import PLAN
from lampwright.findings import Basis, Citation, Level
from lampwright.words import listed
from lampwright_wiring.scopes import SUPPLY, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright_wiring.model import Supply

SAFE = Fraction(60)
"""V of direct current up to which a supply counts as extra-low voltage for appliances."""
NEM_609 = Citation("MOROP NEM 609, 2010, p. 2 to 7", Basis.VERIFIED)
IEC_60335 = Citation("IEC 60335-1, 3.4.2: 42.4 V peak alternating, 60 V direct", Basis.VERIFIED)


class SuppliesInParallel(ElectricalCheck):
    """Finds supplies that are joined, by a wire or through a chain of boards.

    Two supplies side by side do not share a load: the one with the higher voltage feeds the other. If one of them is a
    transformer whose plug is out, its pins carry what the other drives backwards through it, mains voltage included.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        supplies:
          left: {kind: adapter-5v-1a}
          right: {kind: adapter-5v-1a}
          both: {voltage: 5 V, from: [left, right]}       # expect: supplies-in-parallel "left and right are joined"

    Right:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {supply: left}}
        boards:
          A: {kind: pwm-16, controller: east, supply: left}
          B: {kind: pwm-16, controller: east, supply: right}
        supplies: {left: {kind: adapter-5v-1a}, right: {kind: adapter-5v-1a}}

    Limits: of boards in a chain with supplies of their own it cannot be seen whether the chain's supply wire is cut:
    that is a warning. Returns may, and mostly must, be common.
    """

    name = "supplies-in-parallel"
    scope = PLAN
    asks = ("supplies",)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each supply fed by several, then for each step of a chain to another supply."""
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        for name, supply in wiring.supplies.items():
            if len(supply.fed_by) > 1:
                yield self.finding(
                    f"{listed(supply.fed_by)} are joined in {name}",
                    subject.spot(*supply.path, "from"),
                    citations=(NEM_609,),
                    tip="one supply that is large enough, or a supply for each board, with only the returns joined",
                )
        for board in wiring.boards.values():
            before = wiring.boards.get(board.after)
            if before is None or not {board.supply, before.supply} <= wiring.supplies.keys():
                continue
            if board.supply != before.supply:
                yield self.finding(
                    f"board {board.name} comes after {before.name} and is on {board.supply}, while {before.name} is on "
                    f"{before.supply}: the chain joins them",
                    subject.spot(*board.path, "supply"),
                    related=(subject.spot(*board.path, "after", label="its chain"),),
                    citations=(NEM_609,),
                    tip="cut the supply wire of the chain there, and leave the return",
                    level=Level.WARNING,
                )


class SupplyNotExtraLow(ElectricalCheck):
    """Finds a supply of more voltage than may be worked on.

    A model railway is touched all over while it is on. Only extra-low voltage from a listed supply belongs on it.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        supplies: {lights: {voltage: 110 V}}            # expect: supply-not-extra-low "lights is 110 V"

    Right:

        plan: 1
        rulebook: gb-colour-light
        supplies: {lights: {voltage: 12 V}}

    Limits: 60 V is the limit for appliances; toys and local codes have lower ones. Mains work is for those licensed for
    it, and no part of any plan.
    """

    name = "supply-not-extra-low"
    scope = SUPPLY
    asks = ("supplies",)

    def look(self, subject: About[Supply]) -> Iterator[Finding]:
        """Yield a finding for a supply beyond extra-low voltage."""
        from lampwright_wiring import saying

        supply = subject.thing
        if supply.volts is not None and supply.volts.most > SAFE:
            yield self.finding(
                f"supply {supply.name} is {saying.volts(supply.volts.most)}, which is no extra-low voltage",
                subject.spot("voltage"),
                citations=(IEC_60335,),
                tip=f"at most {saying.volts(SAFE)}, and for lamps of signals 5 or 12 V; {saying.CAUTION}",
            )
