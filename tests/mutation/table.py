"""The table of a run: how each operator fared, then by name what was not found and why.

Slips made; found; ``same`` are those shown to change nothing, which do not count; the share of the others; ``blind``
those that survive because nothing in the file contradicts them, ``gap`` those that survive although it does; those
whose first finding in the order of the report stands on the line of the slip, those where it shows that line at least
beside its own; and the median number of findings for one slip.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from support import all_checks

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from mutation.score import Outcome, Score

GOAL = 95
HEAD = f"{'group':<16}{'operator':<29}{'made':>6}{'found':>7}{'same':>6}{'share':>8}{'blind':>7}{'gap':>5}"
PLACES = f"{'on line':>9}{'shown':>7}{'findings':>10}"


def table(rows: Sequence[Score], alarms: Sequence[str]) -> Iterator[str]:
    """Yield the lines."""
    yield f"{HEAD}{PLACES}"
    yield from (line(row) for row in rows)
    yield total(rows)
    yield from survivors(rows)
    for title, names in (
        ("found elsewhere", astray(rows)),
        ("false alarms", alarms),
        ("rules without a slip", idle(rows)),
    ):
        yield f"\n{title}: {len(names)}"
        yield from (f"  {name}" for name in names)


def line(row: Score) -> str:
    """Return the line of one operator."""
    start = (
        f"{row.operator.group:<16}{row.operator.name:<29}{len(row.outcomes):>6}{len(row.found):>7}{len(row.same):>6}"
    )
    start += f"{percent(share([row])):>8}{len(row.blind):>7}{len(row.gaps):>5}"
    return f"{start}{sum(one.placed for one in row.found):>9}{sum(one.shown for one in row.found):>7}{row.noise:>10g}"


def total(rows: Sequence[Score]) -> str:
    """Return the last line."""
    sums = [sum(len(found) for found in column) for column in zip(*map(_columns, rows), strict=True)]
    made, found, same, blind, gaps, placed, shown = sums
    start = f"{'':<16}{'all':<29}{made:>6}{found:>7}{same:>6}{percent(share(rows)):>8}{blind:>7}{gaps:>5}"
    return f"{start}{placed:>9}{shown:>7}"


def share(rows: Sequence[Score]) -> float | None:
    """Return the share found of what is not shown to change nothing, in percent; None if that is nothing."""
    count = sum(len(row.outcomes) - len(row.same) for row in rows)
    return 100 * sum(len(row.found) for row in rows) / count if count else None


def enough(rows: Sequence[Score]) -> bool:
    """Tell whether all is found that the files contradict, and most of everything."""
    return not any(row.gaps for row in rows) and (share(rows) or 0) >= GOAL


def survivors(rows: Sequence[Score]) -> Iterator[str]:
    """Yield what was not found, by reason and operator."""
    kinds = (
        ("not found although contradicted", "gaps"),
        ("shown to change nothing", "same"),
        ("contradicted by nothing", "blind"),
    )
    for title, kind in kinds:
        yield f"\n{title}: {sum(len(getattr(row, kind)) for row in rows)}"
        for row in rows:
            found: list[Outcome] = getattr(row, kind)
            if found:
                reason = found[0].proof or (row.operator.blind if kind == "blind" else "")
                yield f"  {row.operator.name}: {len(found)}{f' ({reason})' if reason else ''}"
                yield from (f"    {one.label}" for one in found)


def astray(rows: Sequence[Score]) -> list[str]:
    """Return the slips whose line is not shown, with what was found instead."""
    return [f"{row.operator.name}: {one.label}: {one.first}" for row in rows for one in row.astray]


def idle(rows: Sequence[Score]) -> list[str]:
    """Return the rules that no slip has set off."""
    seen = {rule for row in rows for one in row.outcomes for rule in one.rules}
    return sorted(check.name for check in all_checks() if check.name not in seen)


def percent(value: float | None) -> str:
    """Return a share as text; all is said only of all."""
    return "-" if value is None else "100 %" if value == 100 else f"{min(value, 99.9):.1f} %"


def _columns(row: Score) -> tuple[list[Outcome], ...]:
    """Return the outcomes that each column counts."""
    placed, shown = ([one for one in row.found if getattr(one, key)] for key in ("placed", "shown"))
    return row.outcomes, row.found, row.same, row.blind, row.gaps, placed, shown
