"""A check of distants that tell of distants."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.words import Meant, listed
from lampwright.working.network import network_of
from lampwright.working.posts import DISTANT
from lampwright.working.reach import Beyond, reach
from lampwright.working.stories import shown
from lampwright_working.asked import form_spots, kind_of, nothing_asked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright.working.network import Network, Stand
    from lampwright.working.reach import Reach


class DistantOfDistant(Check):
    """Finds a distant that repeats another distant, and so never warns of anything.

    A distant never stands at stop. One that tells of it sees no stop ahead, and shows clear for ever: a driver passes
    two distants of which the first means nothing. Both are to repeat the stop signal.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {east: {kind: off-stage, assume: [danger, clear]}}
        signals:
          HF1D: {form: two-aspect-distant, from: off-stage, repeats: HF1R}   # expect: distant-of-distant "never shows"
          HF1R: {form: two-aspect-distant, repeats: HF1}
          HF1: {form: three-aspect, from: off-stage, routes: [{to: east}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        ends: {east: {kind: off-stage, assume: [danger, clear]}}
        signals:
          HF1D: {form: two-aspect-distant, from: off-stage, repeats: HF1}
          HF1R: {form: two-aspect-distant, repeats: HF1}
          HF1: {form: three-aspect, from: off-stage, routes: [{to: east}]}

    Limits: an outer distant that can tell of an inner one at caution, as by two yellows, is right, and nothing is said.
    """

    name = "distant-of-distant"
    level = Level.WARNING
    scope = that_say("repeats")
    needs = ("dead-reference", "repeats-itself", "unclear-repeat", "nothing-to-repeat")

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding if the signal ahead is a distant, and the same is shown whatever that shows."""
        network = network_of(subject.layout)
        stand = _distant(network, subject.name)
        if stand is None or not subject.entry.repeats:
            return
        ahead = [key for via in stand.vias for key in via.ahead]
        other = _distant(network, ahead[0]) if len(ahead) == 1 else None
        if other is None or any(len(unit.able) < 2 for unit in stand.post.units):  # noqa: PLR2004
            return
        shows = _shown(reach(subject.layout, Beyond.ASSUMED), stand)
        if len(shows) != 1:
            return
        yield self.finding(
            f"{subject.name} is {kind_of(subject)} and repeats {other.name}, another distant: "
            f"it never shows anything but {listed(shows)}",
            subject.spot("repeats"),
            related=(*form_spots(subject), other.signal.spot(label="never at stop")),
            tip=_stop_signal(other),
        )


def _distant(network: Network, name: str) -> Stand | None:
    """Return the stand of a signal that is a distant and nothing else; None if it is no such signal."""
    stands = network.of_signal.get(name)
    return stands[0] if stands and stands[0].post.only_tells and stands[0].post.has(DISTANT) else None


def _shown(seen: Reach, stand: Stand) -> set[str]:
    """Return everything that a distant shows of what it repeats."""
    return {shown(state) for state in seen.states.get(stand.key, ()) if state.via is not None}


def _stop_signal(other: Stand) -> str:
    """Say which signal is to be repeated: that of which the other distant tells."""
    ahead = list(dict.fromkeys(key for via in other.vias for key in via.ahead))
    if len(ahead) != 1:
        return "let it repeat the stop signal"
    return Meant.said(f"repeat {ahead[0]}, the signal that {other.name} tells of", ahead[0])
