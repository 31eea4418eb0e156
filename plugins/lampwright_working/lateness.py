"""Cautions that come too late: less track before the red than a train needs to stop."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.checks import Check
from lampwright.words import counted
from lampwright.working.parameters import Parameter, parameter, saying
from lampwright_working.cautions import approaches
from lampwright_working.demands import Breach, compared, in_stops
from lampwright_working.stretches import ROUTE, slope
from lampwright_working.trains import Brakes
from lampwright_working.units import Units
from lampwright_working.unmeasured import no_stopping

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.layout import Layout
    from lampwright_working.cautions import Approach
    from lampwright_working.stretches import Stretch
    from lampwright_working.trains import Stop

FIGURE: Final = "caution-to-stop"


class Late(Struct, frozen=True):
    """A caution that comes too late on one way to a red, and how much so."""

    approach: Approach
    breach: Breach

    @property
    def share(self) -> Fraction:
        """The part of what is needed that is there."""
        return self.breach.amount / self.breach.asked


class LateCaution(Check):
    """Finds a signal that shows the first caution nearer to its red than a train needs to stop.

    A driver who runs under clear signals learns of a red from the first caution, and from there he must be able to
    stop. If the track is shorter, the train passes the red: on the prototype a collision waits there, on the model a
    train stands in the points. What shows the first caution follows from the forms and the sequence: one signal back
    with three aspects, two back with four, the distant where stop signals have no yellow.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 60 mph}}
        sections:
          AA: {line: main, length: 3 m}
          AB: {line: main, length: 1.2 m}    # expect: late-caution "HF3 shows the first caution only"
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        scale: OO
        compression: 4
        lines: {main: {speed: 60 mph}}
        sections:
          AA: {line: main, length: 3 m}
          AB: {line: main, length: 2.5 m}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        lines: {main: {speed: 60 mph}}
        sections:
          AA: {line: main, length: 3 m}
          AB: {line: main, length: 1.5 m}
        signals:
          HF1: {form: three-aspect, from: off-stage, routes: [{to: HF3, over: [AA]}]}
          HF3: {form: three-aspect, routes: [{to: HF5, over: [AB]}]}
          HF5: {form: three-aspect}
        trains: {express: {stops: {60 mph: 1.4 m}}}

    Limits: a model is shorter than the prototype, so the plan says its compression or how far its own trains run to a
    stand; without either nothing is compared. Where the signal before stands beyond the edge of the layout, nobody
    knows what it shows. Between two sources that disagree it is a note. One short stretch is reported once, whatever
    the number of ways over it. Speeds lower than that at the first caution are not followed on the way.
    """

    name = "late-caution"
    scope = ROUTE

    def missing(self, whole: Layout) -> str:
        """Ask for lengths, speeds, and what track stands for or how trains stop."""
        return no_stopping(whole)

    def look(self, subject: Stretch) -> Iterator[Finding]:
        """Report the worst of the ways that are too short because of this stretch."""
        found = too_late(subject.layout).get(subject.path, ())
        if found:
            yield self._late(subject, min(found, key=lambda late: late.share), len(found) - 1)

    def _late(self, stretch: Stretch, late: Late, more: int) -> Finding:
        """Return the finding for a way."""
        approach, breach = late.approach, late.breach
        brakes, units = Brakes.of(stretch.layout), Units.of(stretch.layout)
        there, needed = units.apart(brakes.length(breach.amount), brakes.length(breach.asked))
        stop = breach.demand.stop
        speed = f" from {units.fast(stop.speed)} ({stop.how})" if stop else ""
        return self.finding(
            f"{approach.first.signal.name} shows the first caution only {there} before the red of {approach.red}, "
            f"and a train needs {needed} to stop{speed}",
            stretch.length_spot,
            related=_others(approach, breach),
            citations=breach.citations,
            because="; ".join(filter(None, (_story(approach), breach.dispute, _more(more)))),
            tip=_tip(approach, needed),
            level=breach.level,
        )


def too_late(layout: Layout) -> dict[Path, list[Late]]:
    """Return the cautions that come too late, by the path of the route to blame: the shortest on the way."""
    if "too-late" not in layout.cache:
        found: dict[Path, list[Late]] = {}
        for late in _compared(layout):
            blamed = _blamed(late.approach)
            if blamed.layout is layout:  # what lies in another file is reported there
                found.setdefault(blamed.path, []).append(late)
        layout.cache["too-late"] = found
    cached: dict[Path, list[Late]] = layout.cache["too-late"]
    return cached


def makes_late(stretch: Stretch) -> bool:
    """Tell whether a stretch lies on a way on which a caution comes too late."""
    if "late ways" not in stretch.layout.cache:
        late = (one.approach.way for found in too_late(stretch.layout).values() for one in found)
        stretch.layout.cache["late ways"] = frozenset(item for way in late for item in way)
    found: frozenset[Stretch] = stretch.layout.cache["late ways"]
    return stretch in found


def stops_at_caution(brakes: Brakes, approach: Approach) -> tuple[Stop, ...]:
    """Return what it takes to stop from the speed at which trains pass the first caution."""
    first = approach.way[0]
    return brakes.stops(first.speeds(None if approach.by_distant else approach.clear), slope(approach.way))


def caution_figure(layout: Layout) -> Parameter:
    """Return how many stopping distances a first caution must be from its red; one, unless somebody says otherwise."""
    whole = saying("1..", None)
    if whole is None:
        raise AssertionError
    return parameter(layout, FIGURE) or Parameter(FIGURE, whole, (), layout.spot("rulebook"))


def _compared(layout: Layout) -> Iterator[Late]:
    """Yield every way on which the first caution comes too late, the worst for each pair of caution and red."""
    brakes, figure = Brakes.of(layout), caution_figure(layout)
    worst: dict[tuple[str, Path], Late] = {}
    for approach in approaches(layout):
        amount = brakes.measure(approach.first.distance)
        if approach.clear is None or amount is None:
            continue
        breach = compared(amount, in_stops(figure, stops_at_caution(brakes, approach)))
        if breach is not None:
            key = approach.first.signal.name, approach.way[-1].path
            late = Late(approach, breach)
            worst[key] = min(late, worst.get(key, late), key=lambda one: one.share)
    yield from worst.values()


def _blamed(approach: Approach) -> Stretch:
    """Return the stretch to lengthen: the shortest of the way."""
    return min(approach.way, key=lambda stretch: stretch.length.model or stretch.length.stands or Fraction(0))


def _others(approach: Approach, breach: Breach) -> tuple[Spot, ...]:
    """Return the signals of the way, and the figures it is compared with."""
    warned = (warning.signal.spot(label=f"shows {warning.aspect}") for warning in approach.warnings)
    red = approach.way[-1].layout.signals.get(approach.red)
    stop = (red.spot(label="at stop"),) if red is not None else ()
    return (*warned, *stop, *dict.fromkeys(breach.demand.spots))


def _story(approach: Approach) -> str:
    """Say what each signal on the way shows."""
    warned = ", ".join(f"{warning.signal.name} {warning.aspect}" for warning in approach.warnings)
    clear = f"{approach.clear.signal.name} is still clear, " if approach.clear else ""
    return f"{clear}then comes {warned}, then {approach.red} at stop"


def _more(more: int) -> str:
    """Say how many other ways come too short by the same stretch."""
    return f"{counted(more, 'other red')} seen too late over it" if more else ""


def _tip(approach: Approach, needed: str) -> str:
    """Return what would have been right."""
    if approach.by_distant:
        return f"set {approach.first.signal.name} back to {needed} from {approach.red}"
    earlier = approach.clear.signal.name if approach.clear else ""
    return f"{needed} from {approach.first.signal.name} to {approach.red}, or a caution at {earlier} already"
