"""Where routes lead: back to their own signal, or nowhere near an end that the plan has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check, that_say
from lampwright.findings import Level
from lampwright.mentions import mentioned
from lampwright.words import listed
from lampwright_working.saying import SHOWN, no_routes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout


class RouteToItself(Check):
    """Finds a route that leads from a signal to that signal.

    A route ends at the next signal, or where signalling ends. One that ends where it begins is mostly a slip of a name;
    what the signal shows would then rest on what it shows itself.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        ends: {east: {kind: off-stage}}
        signals:
          HF1: {form: three-aspect, routes: [{to: HF1}]}      # expect: route-to-itself "HF1 to HF1 itself"
          HF3: {form: three-aspect, routes: [{to: east}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        ends: {east: {kind: off-stage}}
        signals:
          HF1: {form: three-aspect, routes: [{to: HF3}]}
          HF3: {form: three-aspect, routes: [{to: east}]}

    Limits: on an oval with one signal it is so. Allow it there with a comment.
    """

    name = "route-to-itself"
    level = Level.WARNING
    scope = that_say("routes")

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each route that comes back."""
        for route in subject.entry.routes:
            if route.to in (subject.name, f"{subject.layout.plan.stem}/{subject.name}"):
                yield self.finding(
                    f"a route leads from {subject.name} to {subject.name} itself",
                    subject.layout.spot(*route.path, "to"),
                    tip="the next signal that a train comes to, or an end",
                )


class UnusedEnd(Check):
    """Finds an end of the plan that no route leads to and no train comes from.

    It may be left from an earlier plan, or the route that should lead there is missing or leads elsewhere; then some
    signal is asked less than it should be.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        ends: {east: {kind: off-stage}, bay: {kind: buffer-stop}}      # expect: unused-end "no route leads to bay"
        signals:
          HF1: {form: three-aspect, routes: [{to: east}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        ends: {east: {kind: off-stage}, west: {kind: off-stage}}
        signals:
          HF1: {form: three-aspect, from: west, routes: [{to: east}]}

    Limits: an end that `from` of a signal, the `track` or a route of another file names is used.
    """

    name = "unused-end"
    level = Level.NOTE
    scope = PLAN
    needs = ("dead-reference", "route-to-itself")

    def missing(self, whole: Layout) -> str:
        """Ask for routes."""
        return no_routes(whole)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield one finding for all ends that nothing names."""
        named = _named(subject)
        ends = [name for name in subject.plan.ends if name not in named]
        if ends:
            yield self.finding(
                f"no route leads to {listed(ends)}, and no train comes from there",
                subject.spot("ends", ends[0], on_key=True),
                related=[subject.spot("ends", name, on_key=True, label="nor this") for name in ends[1 : SHOWN + 1]],
                tip="a route that leads there, `from` of the signal that trains come to, or take it out",
            )


def _named(layout: Layout) -> set[str]:
    """Return all that routes lead to and trains come from, and what the track has."""
    signals = layout.plan.signals.values()
    found = {name for signal in signals for name in (*signal.starts, *(route.to for route in signal.routes))}
    found |= {mention.name for mention in mentioned({"track": layout.plan.values.get("track")})}
    return found | layout.reached_from_others
