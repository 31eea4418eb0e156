"""A check of the numbers by which signals are told what to show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.plans.model import DUMMY
from lampwright.words import counted, listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout

SHOWN = 3
"""How many more signals of one address are pointed to; the message counts them all."""


class SignalAddressClash(Check):
    """Finds signals that are told what to show by one and the same address.

    A command reaches every signal that listens to its address: they all show it, for a route that is set for one of
    them. Packets for accessories cannot be written for such a plan.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: three-aspect, address: 4}
          HF3: {form: three-aspect, address: 4}      # expect: signal-address-clash "HF1 and HF3 both have address 4"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: three-aspect, address: 4}
          HF3: {form: three-aspect, address: 5}

    Limits: dummies listen to nothing. Signals of other files are not compared: these may have a controller of
    their own.
    """

    name = "signal-address-clash"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each address that several signals have."""
        there: dict[int, list[BoundSignal]] = {}
        for signal in subject.signals.values():
            address = signal.entry.rest.get("address")
            if address is not None and signal.entry.stage != DUMMY:
                there.setdefault(int(address), []).append(signal)
        for address, signals in there.items():
            if len(signals) > 1:
                yield self._clash(address, signals, max(there) + 1)

    def _clash(self, address: int, signals: list[BoundSignal], free: int) -> Finding:
        """Return the finding for one address, at the second signal that has it."""
        first, second, *more = signals
        both = "both" if not more else "all"
        rest = len(more) - SHOWN
        return self.finding(
            f"{listed(signal.name for signal in signals)} {both} have address {address}",
            second.spot("address"),
            related=[signal.spot("address", label="and this one") for signal in (first, *more[:SHOWN])],
            because=f"so {'has' if rest == 1 else 'have'} {counted(rest, 'more signal')}" if rest > 0 else "",
            tip=f"{free} is free",
        )
