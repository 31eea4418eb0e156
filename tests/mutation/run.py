"""Makes slips in the example plans, one at a time, and counts which are found, where, and with how much noise.

    PYTHONPATH=tests python -m mutation.run

The table tells for each operator: slips made, slips found, the share, those whose first finding in the order of the
report stands on the line of the slip, those where it shows that line at least beside its own, and the median number of
findings for one slip. Then come by name the slips that were not found, and those whose line is not shown; and how many
findings the plans without a slip have, which must be none.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from statistics import median
from typing import TYPE_CHECKING

from lampwright.reports.contract import ordered
from mutation.operators import OPERATORS
from mutation.plans import EXAMPLES, Mutant, plan, written
from support import PLAN, result_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Spot
    from lampwright.project import Result


@dataclass
class Score:
    """How one operator fared."""

    group: str
    operator: str
    made: int = 0
    found: int = 0
    placed: int = 0
    shown: int = 0
    findings: list[int] = field(default_factory=list)
    survivors: list[str] = field(default_factory=list)
    astray: list[str] = field(default_factory=list)

    def count(self, mutant: Mutant, label: str) -> None:
        """Check one mutant."""
        result = result_of(mutant.text)
        self.made += 1
        self.findings.append(len(result.findings))
        if not result.findings:
            self.survivors.append(label)
            return
        self.found += 1
        first = min(ordered(result), key=lambda item: -item[0].level)[0]
        self.placed += on_line(result, first.spot, mutant)
        if any(on_line(result, spot, mutant) for spot in (first.spot, *first.related)):
            self.shown += 1
        else:
            self.astray.append(f"{label}: {first.rule} at {'.'.join(map(str, first.spot.path))}")


def on_line(result: Result, spot: Spot, mutant: Mutant) -> bool:
    """Tell whether a spot is on the line of the slip, or in the lines of what was changed."""
    document = result.documents[PLAN]
    if spot.file != PLAN:
        return False
    line = document.place(spot.path, on_key=spot.on_key).line
    return document.place(mutant.target, on_key=True).line <= line <= document.place(mutant.target).end_line


def scores(most: int | None = None) -> Iterator[Score]:
    """Yield how each operator fares; ``most`` limits its mutants, spread over all it can make in each plan."""
    plans = {path.stem: plan(path) for path in EXAMPLES}
    for group, operators in OPERATORS.items():
        for operator in operators:
            score = Score(group, operator.__name__.replace("_", " "))
            for name, values in plans.items():
                mutants = list(operator(values))
                step = max(1, len(mutants) // most) if most else 1
                for mutant in mutants[::step][:most]:
                    score.count(mutant, f"{name}: {operator.__name__}: {mutant.name}")
            yield score


def false_alarms() -> list[str]:
    """Return what is found in the plans without a slip, written as the mutants are."""
    return [
        f"{path.stem}: {finding.message}" for path in EXAMPLES for finding in result_of(written(plan(path))).findings
    ]


def table(rows: list[Score]) -> Iterator[str]:
    """Yield the lines of the table."""
    yield f"{'group':<16}{'operator':<24}{'made':>6}{'found':>7}{'share':>8}{'on line':>9}{'shown':>7}{'findings':>10}"
    for row in rows:
        share = f"{100 * row.found / row.made:.0f} %" if row.made else "-"
        noise = f"{median(row.findings):g}" if row.findings else "-"
        start = f"{row.group:<16}{row.operator:<24}{row.made:>6}{row.found:>7}{share:>8}"
        yield f"{start}{row.placed:>9}{row.shown:>7}{noise:>10}"
    made, found, placed, shown = (
        sum(getattr(row, key) for row in rows) for key in ("made", "found", "placed", "shown")
    )
    yield f"{'':<16}{'all':<24}{made:>6}{found:>7}{100 * found / made:>6.1f} %{placed:>9}{shown:>7}"
    for title, key in (("not found", "survivors"), ("found elsewhere", "astray")):
        names = [name for row in rows for name in getattr(row, key)]
        yield f"\n{title}: {len(names)}"
        yield from (f"  {name}" for name in names)


def main() -> int:
    """Print the table; fail if a clean plan has a finding."""
    alarms = false_alarms()
    for line in (*table(list(scores())), f"\nfalse alarms: {len(alarms)}", *(f"  {alarm}" for alarm in alarms)):
        sys.stdout.write(f"{line}\n")
    return 1 if alarms else 0


if __name__ == "__main__":
    sys.exit(main())
