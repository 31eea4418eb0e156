"""Signals that one fault would let a driver read as freer than they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.checks import PLAN, Check
from lampwright.findings import Level
from lampwright.rulebooks.failing import STUCK
from lampwright.words import listed
from lampwright_proving.failing.judging import Case, Outcome

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout

MOST: Final = 3
"""Further signals that a finding points to."""


class FreerWithOneFault(Check):
    """Finds a signal that a driver would read as freer if one lamp, output, wire, board or indicator went dark.

    Lamps fail and wires come off. On the prototype lamps that matter are proved alight before a better aspect is given;
    on the model a signal on two boards can lose the half that says slow. The rulebook's `faults` say what covers a
    fault, and `proved: true` that an indicator is proved; what nothing covers is told here, once for all signals alike.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        forms:
          two-greens:
            role: stop
            lamps:
              upper: {colour: green, at: [0, 2]}
              red:   {colour: red,   at: [0, 1]}
              lower: {colour: green, at: [0, 0]}
            shows: {danger: red, preliminary-caution: [upper, lower], clear: upper}
            in-doubt: danger
        signals:
          HF1: {form: two-greens}      # expect: freer-with-one-fault "HF1 at preliminary-caution with lower dark"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        forms:
          two-greens:
            role: stop
            lamps:
              upper: {colour: green, at: [0, 2]}
              red:   {colour: red,   at: [0, 1]}
              lower: {colour: green, at: [0, 0]}
            shows: {danger: red, preliminary-caution: [upper, lower], clear: upper}
            in-doubt: danger
            faults: [{lost: lower, in: preliminary-caution, then: danger}]
        signals:
          HF1: {form: two-greens}

    Limits: one fault at a time. What stays lit is left to `lampwright prove PLAN --failing`, for few rulebooks say what
    answers it, and it would be told of every signal with two yellows; so is what is neither freer nor tighter.
    """

    name = "freer-with-one-fault"
    level = Level.WARNING
    scope = PLAN
    needs = ("unknown-form",)

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Let every single thing fail; signals of which the same is to be said are named together."""
        from lampwright_proving.failing.report import every

        found: dict[tuple[str, Case], list[BoundSignal]] = {}
        for signal in subject.signals.values():
            for case in every(signal):
                if case.outcome is Outcome.FREER and case.kind != STUCK:
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
            tip=f"{case.because}; on a layout one may also accept it: `accepted: ...` in place of `then`",
        )
