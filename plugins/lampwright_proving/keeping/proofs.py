"""Signals that have changed since they were proved."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.checks import PLAN, Check
from lampwright.findings import Level

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout

PROVED: Final = "proved"


class ChangedSinceProved(Check):
    """Finds a signal that has changed since it was proved on the bench.

    A proof holds for the displays, outputs and polarity that the signal had. After a lamp has moved to another output,
    or the rulebook shows an aspect otherwise, the controller needs new tables, and the bench has to be asked again.
    `lampwright prove PLAN SIGNAL --log good` writes `proved:` into the plan; `--log faulty` takes it away again.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: two-aspect-stop
            stage: proved
            proved: 12ab34cd              # expect: changed-since-proved "HF1 has changed since it was proved"

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1978
        signals:
          HF1:
            form: two-aspect-stop
            stage: proved
            proved: 58407133

    Limits: only what a fingerprint holds is compared: not resistors, nor wires between the same two ends.
    """

    name = "changed-since-proved"
    level = Level.WARNING
    scope = PLAN

    def missing(self, whole: Layout) -> str:
        """Ask for signals with a fingerprint of their proof."""
        return "" if any(PROVED in signal.rest for signal in whole.plan.signals.values()) else "no proofs given"

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Compare what each signal is with what it was."""
        from lampwright.tables import tables
        from lampwright.tables.fingerprint import fingerprint

        for name, signal in subject.plan.signals.items():
            if PROVED not in signal.rest or name not in tables(subject).signals:
                continue
            was, now = str(signal.rest[PROVED]), fingerprint(subject, name)
            if signal.stage == PROVED and was.rjust(len(now), "0") != now:
                yield self.finding(
                    f"{name} has changed since it was proved: its fingerprint was {was} and is {now}",
                    subject.spot(*signal.path, PROVED),
                    tip=f"load the new tables, prove it again, then log it: `lampwright prove PLAN {name} --log good`",
                )
