"""Names that lead nowhere, in a circle, or to two things."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, Check
from lampwright.mentions import (
    GOAL,
    ORIGIN,
    POINTS,
    ROUTE,
    SECTION,
    SIGNAL,
    TRACK,
    Mention,
    elsewhere,
    known,
    mentions,
)
from lampwright.words import Names, counted, did_you_mean, listed

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from lampwright.findings import Finding
    from lampwright.layout import Layout

SHOWN = 3
"""How many places of one name a finding points to; the rest is counted."""
PLURAL = {"supply": "supplies", GOAL: "signals and ends", POINTS: "points", TRACK: "pieces of track and ends"}
ALONG = frozenset({SIGNAL, GOAL, ORIGIN, SECTION, POINTS, TRACK})
"""Kinds of things along the track: one name of these is one thing, whatever a place takes it for."""


class DeadReference(Check):
    """Finds a name that leads nowhere: of a signal, an end, a section, points, a line, a board or a supply.

    What a plan names must be somewhere in it. A route to a signal that is not there is a route to nowhere, and all
    that hangs on it (what the signal must show, what it conflicts with, how it is wired) cannot be worked out.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            routes: [{to: HF33}]          # expect: dead-reference "HF33"
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            routes: [{to: HF3}]
          HF3: {form: three-aspect}

    Limits: one finding tells of all places that name one missing thing. Sections, points, lines, boards, controllers
    and supplies are looked for only if the plan has such a section at all; a signal of another file (`north/TB9`) only
    if that file is checked in the same run.
    """

    name = "dead-reference"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each name that is nowhere."""
        there = known(subject)
        dead: dict[tuple[str, str], list[Mention]] = {}
        for mention in mentions(subject):
            for one in _leading_nowhere(subject, mention, there):
                dead.setdefault(("" if one.kind in ALONG else one.kind, one.name), []).append(one)
        names = {kind: Names(there[kind] or ()) for kind in {one.kind for group in dead.values() for one in group}}
        for group in dead.values():
            yield self._dead(subject, group, names)

    def _dead(self, layout: Layout, group: list[Mention], there: dict[str, Names]) -> Finding:
        """Return the finding for one missing thing, at the first place that names it."""
        first, *more = sorted(group, key=lambda mention: mention.path[0] != "signals")
        names = elsewhere(layout, first.name, first.kind) if "/" in first.name else there[first.kind]
        what = PLURAL.get(first.kind, f"{first.kind}s")
        rest = len(more) - SHOWN
        return self.finding(
            f"{_owner(first)} names {first.name}, which is no {first.kind} of {_where(first)}",
            layout.spot(*first.path, on_key=first.on_key),
            related=[layout.spot(*one.path, label="named here too", on_key=one.on_key) for one in more[:SHOWN]],
            because=f"it is named in {counted(rest, 'more place')}" if rest > 0 else "",
            tip=did_you_mean(first.name, names or (), f"the {what}"),
        )


class LikeInCircle(Check):
    """Finds signals that are like each other in a circle.

    `like` takes over what another signal says. If that leads back, nobody says anything.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: three-aspect, like: HF3}     # expect: like-in-circle "HF1 is like HF3, which is like HF1"
          HF3: {form: three-aspect, like: HF1}

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: three-aspect, like: HF3}
          HF3: {form: three-aspect}

    Limits: one finding a circle, at the signal that comes first in the plan.
    """

    name = "like-in-circle"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each circle."""
        steps: dict[str, tuple[str, ...]] = {
            name: (signal.like,) for name, signal in subject.plan.signals.items() if signal.like
        }
        for circle in _circles(steps):
            chain = ", which is like ".join((*circle[1:], circle[0]))
            yield self.finding(
                f"{circle[0]} is like {chain}",
                subject.spot("signals", circle[0], "like"),
                related=(subject.spot("signals", name, "like", label="and on") for name in circle[1:]),
                tip="let one of them say its own",
            )


class RepeatsItself(Check):
    """Finds a signal that repeats itself, at once or by way of others.

    A distant or repeater tells of a signal ahead. One that tells of itself has nothing to show.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF3: {form: three-aspect}
          HF3R: {form: banner-repeater, repeats: HF3R}    # expect: repeats-itself "HF3R repeats itself"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF3: {form: three-aspect}
          HF3R: {form: banner-repeater, repeats: HF3}

    Limits: one finding a circle, at the signal that comes first in the plan.
    """

    name = "repeats-itself"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each circle."""
        steps = {name: signal.repeats for name, signal in subject.plan.signals.items() if signal.repeats}
        for circle in _circles(steps):
            way = f" by way of {listed(circle[1:])}" if len(circle) > 1 else ""
            yield self.finding(
                f"{circle[0]} repeats itself{way}",
                subject.spot("signals", circle[0], "repeats"),
                related=(subject.spot("signals", name, "repeats", label="and on") for name in circle[1:]),
                tip="name the signal ahead that it tells of",
            )


class NameUsedTwice(Check):
    """Finds a name that is both a signal's and an end's.

    A route to that name could lead to either.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        ends: {HF3: {kind: buffer-stop}}      # expect: name-used-twice "HF3"
        signals:
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        ends: {bay: {kind: buffer-stop}}
        signals:
          HF3: {form: three-aspect}

    Limits: other things may share names, since what is meant follows from where the name stands.
    """

    name = "name-used-twice"
    scope = PLAN

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each name that two things have."""
        for name in subject.plan.ends:
            if name in subject.plan.signals:
                yield self.finding(
                    f"{name} is the name of an end and of a signal, so that a route to it could lead to either",
                    subject.spot("ends", name, on_key=True),
                    related=(subject.spot("signals", name, label="the signal", on_key=True),),
                    tip="give the end another name",
                )


def _leading_nowhere(layout: Layout, mention: Mention, there: dict[str, Collection[str] | None]) -> Iterator[Mention]:
    """Yield a name if it leads nowhere; of a route's name the end that does, or else the route.

    A route may be missing only because its signal has one that leads nowhere: then that has the finding.
    """
    if mention.kind == ROUTE and " to " in mention.name and mention.name not in (there[ROUTE] or ()):
        ends = [Mention(mention.path, GOAL, name, mention.on_key) for name in mention.name.split(" to ", 1)]
        dead = [one for end in ends for one in _leading_nowhere(layout, end, there)]
        signal = layout.plan.signals.get(ends[0].name)
        astray = signal and any(route.to not in (there[GOAL] or ()) for route in signal.routes)
        yield from dead or (() if astray else (mention,))
        return
    far = "/" in mention.name and mention.kind in (SIGNAL, GOAL, ORIGIN)
    names = elsewhere(layout, mention.name, mention.kind) if far else there[mention.kind]
    if names is not None and mention.name not in names:
        yield mention


def _owner(mention: Mention) -> str:
    """Say who names it: ``HF1``, ``section AA``, ``a conflict``."""
    section, *rest = mention.path
    if section == "conflicts":
        return "a conflict"
    if section == "signals":
        return str(rest[0])
    word = {"sections": SECTION, "points": "points", "track": "the track of", "supplies": "supply"}
    return f"{word.get(str(section), str(section).removesuffix('s'))} {rest[0]}"


def _where(mention: Mention) -> str:
    """Say where the thing should be."""
    return f"the plan {mention.name.partition('/')[0]}" if "/" in mention.name else "this plan"


def _circles(steps: Mapping[str, tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    """Yield each circle, beginning at the name of it that comes first; those that share a name count once."""
    from graphlib import CycleError, TopologicalSorter

    left = dict(steps)
    while left:
        try:
            TopologicalSorter(left).prepare()
        except CycleError as error:
            circle = error.args[1][:0:-1]
        else:
            return
        turn = circle.index(next(name for name in steps if name in circle))
        yield (*circle[turn:], *circle[:turn])
        left = {name: ahead for name, ahead in left.items() if name not in circle}
