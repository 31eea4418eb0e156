"""Signals that one fault would let a driver read as freer than they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.plans.model import DUMMY
from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright.plans.model import BuiltLamp, Carried
    from lampwright_proving.failing.faults import Fault
    from lampwright_proving.failing.judging import Case

MOST: Final = 3
"""Further signals that a finding points to."""


class FreerWithOneFault(Check):
    """Finds a signal that reads as freer if one wire, board or output fails, or one lamp of a form of the plan's own.

    Lamps fail and wires come off. On the prototype a lamp that matters is proved alight before a better aspect is
    given; on the model a signal wired to two boards can lose just the half that says slow. The `faults` of a form say
    what covers that; what nothing covers is told here, once for all signals alike.

    Below, both lower lamps hang on one board, and the upper lamp by itself is clear.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        boards: {A: {kind: pwm-16}, B: {kind: pwm-16}}
        forms:
          three-greens:
            role: stop
            lamps:
              upper:  {colour: green, at: [0, 3]}
              middle: {colour: green, at: [0, 2]}
              lower:  {colour: green, at: [0, 1]}
              red:    {colour: red,   at: [0, 0]}
            shows: {danger: red, preliminary-caution: [upper, middle, lower], clear: upper}
            in-doubt: danger
        signals:
          HF1:
            form: three-greens         # expect: freer-with-one-fault "with board B off reads as clear"
            lamps: {upper: A.0, middle: B.0, lower: B.1, red: A.1}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        boards: {A: {kind: pwm-16}, B: {kind: pwm-16}}
        forms:
          three-greens:
            role: stop
            lamps:
              upper:  {colour: green, at: [0, 3]}
              middle: {colour: green, at: [0, 2]}
              lower:  {colour: green, at: [0, 1]}
              red:    {colour: red,   at: [0, 0]}
            shows: {danger: red, preliminary-caution: [upper, middle, lower], clear: upper}
            in-doubt: danger
            faults: [{lost: lower, in: preliminary-caution, then: danger}]
        signals:
          HF1: {form: three-greens, lamps: {upper: A.0, middle: B.0, lower: B.1, red: A.1}}

    Limits: one fault at a time, and only what leaves something lit. Single lamps of a rulebook's own forms are judged
    with the rulebook, and a mixed colour that loses a part by `unsafe-mix`. Lamps that stay lit, dark indicators and
    what is neither freer nor tighter are told by `lampwright prove PLAN --failing`: no rulebook answers all of them,
    and every signal with two yellows would have a finding.
    """

    name = "freer-with-one-fault"
    level = Level.WARNING
    scope = PLAN
    needs = ("unknown-form",)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Let every single thing fail; signals of which the same is to be said are named together."""
        found: dict[tuple[str, Case], list[BoundSignal]] = {}
        safe: set[object] = set()
        for signal in subject.signals.values():
            own = signal.form_name in subject.plan.forms
            if own or _wired(signal):
                dark = _dark(signal)
                alike = _alike(signal, dark)  # signals are mostly wired like others: one of them tells of all
                cases = list(_freer(signal, dark, own=own)) if alike not in safe else []
                if not cases:
                    safe.add(alike)
                for case in cases:
                    found.setdefault((signal.form_name, case), []).append(signal)
        for (_, case), signals in found.items():
            yield self._finding(case, signals)

    def _finding(self, case: Case, signals: list[BoundSignal]) -> Finding:
        first, *others = signals
        names = listed(signal.name for signal in signals)
        read = "reads" if len(signals) == 1 else "read"
        fault = case.faults[0]
        return self.finding(
            f"{names} at {case.at} with {fault} {read} as {case.read}, which is freer",
            first.spot("form") if first.entry.form else first.spot(),
            related=[other.spot(label=f"so does {other.name}") for other in others[:MOST]],
            tip=f"{case.because}; {self._how(first)}",
        )

    @staticmethod
    def _how(signal: BoundSignal) -> str:
        """Say how else it can be answered, and where."""
        if signal.form_name in signal.layout.plan.forms:
            return "on a layout one may also accept it: `accepted: ...` in place of `then`"
        from lampwright_proving.failing.report import in_plan

        return in_plan(signal.form_name).replace("A plan", "a plan", 1)


def _wired(signal: BoundSignal) -> bool:
    """Tell whether anything is said of how a signal is wired: else none of its lamps fail together."""
    told: tuple[BuiltLamp | Carried, ...] = (*(signal.entry.lamps or ()), *(signal.entry.carries or ()))
    return bool(signal.entry.wiring) or any(one.output or one.detail for one in told)


def _dark(signal: BoundSignal) -> list[Fault]:
    """Return what can go dark on a signal, by its wiring; no mixed colour that loses a part."""
    from lampwright.rulebooks.failing import STUCK  # most plans without boards never come here
    from lampwright_proving.failing.faults import faults

    return [fault for fault in faults(signal) if fault.how != STUCK and not any(left for _, left in fault.lamps)]


def _alike(signal: BoundSignal, dark: list[Fault]) -> object:
    """Return what all signals have in common of which the same is read with the same lamps dark."""
    entry, book = signal.entry, signal.rulebook
    stands = (book.id if book else "", signal.form_name, signal.years, entry.regime, entry.stage)
    shows = (entry.gives, entry.blanked, *entry.plates.items())
    lamps = [
        tuple((lamp.names, lamp.colour, lamp.many, lamp.indicator, lamp.content) for lamp, _ in fault.lamps)
        for fault in dark
    ]
    return stands, shows, tuple(lamps)


def _freer(signal: BoundSignal, dark: list[Fault], *, own: bool) -> Iterator[Case]:
    """Yield what is freer and not covered; single lamps only of a form of the plan's ``own``."""
    from lampwright_proving.failing.judging import NOTHING, Outcome, cases

    if signal.entry.stage == DUMMY or not (dark or own):
        return
    for case in cases(signal, dark, single=own):
        if case.outcome is Outcome.FREER and (case.seen != NOTHING if case.wired else own):
            yield case
