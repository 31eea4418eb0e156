"""Where routes end and what they pass: stop signals end them, distants and repeaters are passed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct, field

from lampwright.checks import Check, Scope
from lampwright.routes import route_class
from lampwright.words import counted, listed
from lampwright_signals import saying

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans import Route

    Leading = tuple[BoundSignal, Route, Path]
    """A route, the signal it begins at, and the place that names what it leads to."""

SHOWN = 3
"""How many routes a finding points to besides the first; the rest is counted."""


class Goal(Struct):
    """A signal with the routes that end at it, and those that pass it; each with the place that names it."""

    signal: BoundSignal
    ending: list[Leading] = field(default_factory=list)
    passing: list[Leading] = field(default_factory=list)

    @property
    def path(self) -> Path:
        """The signal's place: what is wrong with the signal itself comes first."""
        return self.signal.path


def _goals(layout: Layout) -> list[Goal]:
    """Return every signal that a route leads to or past; worked out once."""
    if Goal not in layout.cache:
        layout.cache[Goal] = list(_led_to(layout).values())
    goals: list[Goal] = layout.cache[Goal]
    return goals


def _led_to(layout: Layout) -> dict[str, Goal]:
    """Work out which signals routes lead to or past."""
    goals: dict[str, Goal] = {}
    for signal in layout.signals.values():
        for route in signal.entry.routes:
            if route.to in layout.signals:
                goal = goals.setdefault(route.to, Goal(layout.signals[route.to]))
                goal.ending.append((signal, route, (*route.path, "to")))
            for name in route.passes:
                if name in layout.signals:
                    goal = goals.setdefault(name, Goal(layout.signals[name]))
                    goal.passing.append((signal, route, (*route.path, "passes")))
    return goals


GOALS = Scope("signal that a route leads to", "plan", _goals)


class RouteToRepeater(Check):
    """Finds a route that ends at a distant or repeater, which cannot stop a train.

    A route runs from one stop signal to the next, or to an end. A distant or repeater on the way is passed: it shows
    what the stop signal ahead will show, and a train that "ends" there would never be told to stop.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            routes: [{to: HF3R}]            # expect: route-to-repeater "HF3R"
          HF3R: {form: banner-repeater, repeats: HF3}
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            routes: [{to: HF3, passes: [HF3R]}]
          HF3R: {form: banner-repeater, repeats: HF3}
          HF3: {form: three-aspect}

    Limits: one finding tells of all routes to one such signal. What a form is for is the rulebook's `role`; where it
    says none, nothing is found.
    """

    name = "route-to-repeater"
    scope = GOALS
    needs = saying.FORM_FIRST

    def look(self, subject: Goal) -> Iterator[Finding]:
        """Yield a finding if routes end at a signal that only tells of others."""
        roles = _roles(subject.signal)
        if not subject.ending or not roles or roles & {"stop", "shunt", "subsidiary"}:
            return
        target, tip = subject.signal, "let the route run to the next stop signal, and pass this one"
        if target.entry.repeats:
            tip = f"{{to: {target.entry.repeats[0]}, passes: [{target.name}]}}"
        message = f"{_from(subject.ending)} ends at {target.name}, {_kind(target)}, which cannot stop a train"
        yield _misplaced(self, target, subject.ending, message, tip)


class StopSignalPassed(Check):
    """Finds a route that passes a stop signal as if it were a distant or repeater.

    A route ends at the next stop signal: beyond it begins another route, with another signal to clear.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        ends: {down-main: {kind: off-stage}}
        signals:
          HF1:
            form: three-aspect
            routes: [{to: down-main, passes: [HF3]}]    # expect: stop-signal-passed "HF3"
          HF3:
            form: three-aspect
            routes: [{to: down-main}]

    Right:

        plan: 1
        rulebook: gb-colour-light
        ends: {down-main: {kind: off-stage}}
        signals:
          HF1:
            form: three-aspect
            routes: [{to: HF3}]
          HF3:
            form: three-aspect
            routes: [{to: down-main}]

    Limits: shunting and calling-on movements are not looked at, nor shunting signals on the way of a train.
    """

    name = "stop-signal-passed"
    scope = GOALS
    needs = saying.FORM_FIRST

    def look(self, subject: Goal) -> Iterator[Finding]:
        """Yield a finding if main routes pass a signal that can stop a train."""
        passing = [item for item in subject.passing if route_class(item[1]) not in ("shunt", "call-on")]
        if passing and "stop" in _roles(subject.signal):
            tip = f"let the route end at {subject.signal.name}"
            message = f"{_from(passing)} passes {subject.signal.name}, {_kind(subject.signal)}, where a route ends"
            yield _misplaced(self, subject.signal, passing, message, tip)


def _misplaced(check: Check, target: BoundSignal, routes: list[Leading], message: str, tip: str) -> Finding:
    """Return the finding for routes that do with a signal what its role does not allow."""
    spots = [target.layout.spot(*path) for _, _, path in routes]
    rest = len(spots) - 1 - SHOWN
    return check.finding(
        message,
        spots[0],
        related=(*spots[1 : SHOWN + 1], *saying.form_spot(target)),
        citations=(target.rulebook.why("forms", target.form_name, "role"),) if target.rulebook is not None else (),
        because=f"{counted(rest, 'more route')} besides" if rest > 0 else "",
        tip=tip,
    )


def _from(routes: list[Leading]) -> str:
    """Say where routes begin."""
    return f"a route from {listed(dict.fromkeys(signal.name for signal, _, _ in routes))}"


def _kind(signal: BoundSignal) -> str:
    """Say what a signal is."""
    return saying.kind(signal.form_name, signal.form) if signal.form is not None else "a signal"


def _roles(signal: BoundSignal) -> frozenset[str]:
    """Return what a signal's form is for, its parts' roles included."""
    if signal.rulebook is None or signal.form is None:
        return frozenset()
    forms = [signal.form, *(signal.rulebook.forms[part.form] for part in signal.form.parts.values())]
    return frozenset(role for form in forms for role in form.roles)
