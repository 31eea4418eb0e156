"""Signals whose form the plan leaves open: which could stand there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check
from lampwright.findings import Level
from lampwright.plans.model import DUMMY
from lampwright.words import listed
from lampwright.working.proposals import indicators_wanted, proposals
from lampwright.working.reach import reach
from lampwright.working.stories import story
from lampwright_working.asked import nothing_asked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright.working.proposals import Proposal

OTHERS = 3
"""How many forms are named besides the first."""


class FormNotSaid(Check):
    """Finds a signal with routes and no form, and proposes what could stand there.

    What a signal must be able to say follows from its routes, from what stands ahead, and from the year. The forms
    that can say all of it are named, those with the fewest lamps first, with the route indicators that they need.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:                               # expect: form-not-said "three-aspect can say all it is asked"
            from: off-stage
            routes: [{to: HF3}]
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: three-aspect
            from: off-stage
            routes: [{to: HF3}]
          HF3: {form: three-aspect}

    Limits: it proposes what suffices by the sequence. Where signals stand closer than a train can stop, more aspects
    are needed. A form without lamps of its own kind in the rulebook is not thought of.
    """

    name = "form-not-said"
    level = Level.NOTE

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding with the forms that suffice."""
        entry, book = subject.entry, subject.rulebook
        said = entry.form or entry.like or entry.lamps is not None or entry.shows or entry.stage == DUMMY
        if said or not entry.routes or book is None:
            return
        found = proposals(subject)
        if found:
            yield self._proposed(subject, found)
        elif any(state.via for state in reach(subject.layout).of(subject.name)):
            yield self.finding(
                f"{subject.name} says no form, and no form of {book.id}{_in(subject)} can say all it is asked",
                subject.spot(),
                level=Level.WARNING,
                because=_hardest(subject),
            )

    def _proposed(self, signal: BoundSignal, found: list[Proposal]) -> Finding:
        """Return the finding with the forms that suffice, the smallest first."""
        first, *others = found
        needed = [f"{item.indicator} for the route to {item.route.to}" for item in indicators_wanted(signal)]
        tips = [
            f"also {listed(item.form for item in others[:OTHERS])}" if others else "",
            f"with {listed(needed)}" if needed else "",
        ]
        book = signal.rulebook
        return self.finding(
            f"{signal.name} says no form; {first.form} can say all it is asked: {', '.join(first.aspects)}",
            signal.spot(),
            citations=[book.why(*item.condition) for item in indicators_wanted(signal)] if book is not None else (),
            because=_hardest(signal),
            tip="; ".join(filter(None, tips)),
        )


def _in(signal: BoundSignal) -> str:
    """Name the years in which the signal stands."""
    return f" in {signal.years}" if signal.years is not None else ""


def _hardest(signal: BoundSignal) -> str:
    """Tell the story of the first thing that is asked with a route set."""
    seen = reach(signal.layout)
    state = next((state for state in seen.of(signal.name) if state.route is not None), None)
    return story(seen, state) if state is not None else ""
