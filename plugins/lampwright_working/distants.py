"""Distants and repeaters: whether it is clear what they tell of, and whether they tell of what is on the way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check, that_say
from lampwright.findings import Level
from lampwright.routes import facts
from lampwright.rulebooks.codec import as_words
from lampwright.rulebooks.sequence import fits
from lampwright.words import listed
from lampwright.working.bound import ROUTE, bound_routes
from lampwright.working.network import NEAREST, follows
from lampwright.working.posts import DISTANT
from lampwright.working.reach import reach
from lampwright_working.asked import form_spots, kind_of, nothing_asked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks.model import Coupling
    from lampwright.working.bound import BoundRoute
    from lampwright.working.network import Network, Stand


class NothingToRepeat(Check):
    """Finds a distant or repeater of which the plan does not say what signal it tells of.

    A distant shows what a stop signal ahead will show: without one it has nothing to show, and on the model nothing to
    be switched by. A route that passes it tells that by where it ends; one at the edge of the layout has to say it.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1D: {form: two-aspect-distant, from: off-stage}      # expect: nothing-to-repeat "HF1D"
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3}]}
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1D: {form: two-aspect-distant, from: off-stage, repeats: HF1}
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3}]}
          HF3: {form: three-aspect}

    Limits: a fixed distant tells of nothing and need not say anything; nor is a plan without any routes asked.
    """

    name = "nothing-to-repeat"
    level = Level.WARNING

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding if nothing tells what the signal repeats."""
        stand = _teller(subject)
        if stand is None or subject.entry.repeats or any(len(unit.able) < 2 for unit in stand.post.units):  # noqa: PLR2004
            return
        network = reach(subject.layout).network
        misled = any(route.entry.to == subject.name for route in bound_routes(subject.layout))
        if not misled and not any(other.vias for other in network.of_signal[subject.name]):
            yield self.finding(
                f"{subject.name} is {kind_of(subject)}, and nothing says which signal it tells of",
                subject.spot(),
                related=form_spots(subject),
                tip="say `repeats:`, or let the route that runs past it have it in `passes:`",
            )


class UnclearRepeat(Check):
    """Finds a distant or repeater of several signals whose form does not say which of them counts.

    Some distants clear only with all stop signals of a group, some follow the one that is off. Where the rulebook says
    neither of a form, several signals ahead leave open what it should show.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1R: {form: banner-repeater, from: off-stage, repeats: [HF1, HF3]}    # expect: unclear-repeat "HF1 and HF3"
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3}]}
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1938
        signals:
          HF1D: {form: two-aspect-distant, from: off-stage, repeats: [HF1, HF3]}
          HF1: {form: two-aspect-stop, from: off-stage, routes: [{to: HF3}]}
          HF3: {form: two-aspect-stop}

    Limits: it asks the data of forms only (`follows`); the rest of the run takes the first signal named.
    """

    name = "unclear-repeat"
    level = Level.WARNING
    scope = that_say("repeats")

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding if several signals are repeated and nothing says how."""
        stand = _teller(subject)
        several = stand is not None and len(subject.entry.repeats) > 1 and follows(stand) == NEAREST
        if several and not _in_circle(subject):
            yield self.finding(
                f"{subject.name} tells of {listed(subject.entry.repeats)}, and {kind_of(subject)} can tell of one",
                subject.spot("repeats"),
                related=form_spots(subject),
                tip=f"repeats: {subject.entry.repeats[0]}, the next on the way",
            )


class UnwarnedStop(Check):
    """Finds a stop signal reached past a distant that tells of another one.

    A distant on the way is what warns a driver of the red ahead: before it, the last stop signal shows clear. If it
    tells of some other signal, it can stand at clear with this one at danger, and no caution has been shown at all.
    The same with a repeater: it would say "off" of a signal at danger.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: two-aspect-stop
            from: off-stage
            routes: [{to: HF3, passes: [HF3D]}]      # expect: unwarned-stop "HF3D on the way tells of HF5"
          HF3D: {form: two-aspect-distant, repeats: HF5}
          HF3: {form: three-aspect, routes: [{to: HF5}]}
          HF5: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: two-aspect-stop
            from: off-stage
            routes: [{to: HF3, passes: [HF3D]}]
          HF3D: {form: two-aspect-distant, repeats: HF3}
          HF3: {form: three-aspect, routes: [{to: HF5}]}
          HF5: {form: three-aspect}

    Limits: a distant that tells of the next distant, which tells of the signal, will do; so will one of a group that
    the signal belongs to. A stop signal before which nothing can show caution at all is told of by the signal before.
    """

    name = "unwarned-stop"
    scope = ROUTE

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Compare what is passed with where the route ends."""
        network = reach(subject.layout).network
        for index, name in enumerate(subject.entry.passes):
            signal = subject.layout.signals.get(name)
            told = _told(network, name) if signal is not None and _teller(signal) else set()
            clear = told and not any(_leads_nowhere(network, one) for one in (*told, subject.entry.to))
            if signal is None or not clear or subject.entry.to in told:
                continue
            does = "is reached with no caution before it" if _warning(signal) else "is told of wrongly"
            first = signal.entry.repeats[0] if signal.entry.repeats else next(iter(sorted(told)))
            yield self.finding(
                f"{subject.entry.to} {does} on {subject}: {name} on the way tells of {first}",
                subject.spot("passes", index),
                related=(signal.spot("repeats", label="tells of another"), *form_spots(signal)),
                tip=f"repeats: {subject.entry.to}",
            )


class SplittingWithoutJunction(Check):
    """Finds a splitting distant before a signal that has no route for one of its heads.

    The heads of a splitting distant stand for the ways a train can be sent at the next signal: the main head for the
    straight one, the other for the turn. Where the next signal has no such turn, one head never clears, and the driver
    waits for a junction that is not there.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1D: {form: splitting-distant, from: off-stage, repeats: HF1}      # expect: splitting-without-junction "HF1"
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, turns: straight}]}
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1D: {form: splitting-distant, from: off-stage, repeats: HF1}
          HF1:
            form: three-aspect
            from: off-stage
            routes:
              - {to: HF3, turns: straight}
              - {to: HF5, turns: right, indicator: position-4}
          HF3: {form: three-aspect}
          HF5: {form: three-aspect}

    Limits: only if every route of the next signal says how it turns; two that turn different ways make a junction.
    """

    name = "splitting-without-junction"
    level = Level.WARNING

    def missing(self, whole: Layout) -> str:
        """Ask for routes, and a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Compare what the heads stand for with the routes of the signals ahead."""
        network = reach(subject.layout).network
        stands = network.of_signal.get(subject.name, [])
        split = (
            [item for item in stands[0].post.coupling if "turns" in item.when.get("next-route", {})] if stands else []
        )
        if not split:
            return
        keys = dict.fromkeys(key for stand in stands for via in stand.vias for key in via.ahead)
        ahead = [network.stands[key].signal for key in keys if key in network.stands]
        routes = [route for signal in ahead for route in signal.entry.routes]
        turns = {route.turns for route in routes}
        if "" in turns or len(turns) != 1:
            return
        idle = [item for item in split if not any(_stands_for(signal, item) for signal in ahead)]
        if idle:
            ways = listed(as_words(idle[0].when["next-route"]["turns"]), "or")
            yield self.finding(
                f"{subject.name} splits, and no route of {listed(signal.name for signal in ahead)} goes {ways}",
                subject.spot("form") if subject.entry.form else subject.spot(),
                related=[signal.spot(label="the signal ahead") for signal in ahead[:3]],
                tip="a distant with one head, or the route that is missing",
            )


def _teller(signal: BoundSignal) -> Stand | None:
    """Return the stand of a signal that only tells of others; None if it is no such signal."""
    stands = reach(signal.layout).network.of_signal.get(signal.name)
    return stands[0] if stands and stands[0].post.only_tells else None


def _warning(signal: BoundSignal) -> bool:
    """Tell whether a signal is there to warn."""
    stand = _teller(signal)
    return stand is not None and stand.post.has(DISTANT)


def _told(network: Network, name: str) -> set[str]:
    """Return every signal that one tells of, through others that only tell."""
    found: set[str] = set()
    waiting = [name]
    while waiting:
        for stand in network.of_signal.get(waiting.pop(), ()):
            for key in (key for via in stand.vias for key in via.ahead if key not in found):
                found.add(key)
                if key in network.stands and network.stands[key].post.only_tells:
                    waiting.append(key)
    return found


def _in_circle(signal: BoundSignal) -> bool:
    """Tell whether a signal repeats itself by way of others."""
    signals = signal.layout.plan.signals
    found: set[str] = set()
    waiting = list(signal.entry.repeats)
    while waiting:
        name = waiting.pop()
        if name in signals and name not in found:
            found.add(name)
            waiting += signals[name].repeats
    return signal.name in found


def _leads_nowhere(network: Network, name: str) -> bool:
    """Tell whether a name that is looked at is neither a signal nor an end."""
    plan = network.layout.plan
    return name in network.limits and name not in plan.signals and name not in plan.ends


def _stands_for(signal: BoundSignal, coupling: Coupling) -> bool:
    """Tell whether a signal has a route that a head of a splitting distant stands for."""
    book = signal.rulebook
    test = {"next-route": coupling.when["next-route"]}
    return book is not None and any(
        fits(book, test, {"next-route": facts(signal, route)}) for route in signal.entry.routes
    )
