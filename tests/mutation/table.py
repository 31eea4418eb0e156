"""The tables of a run: how each operator fared, then by name what was not found and why.

Slips made; found; ``same`` are those shown to change nothing, ``blind`` those that survive because the file says a
thing once, and no file could show that it is another; the share found of the rest; ``missed`` are those of the rest
that survive, ``gap`` those that survive although the file contradicts them; then those whose first finding in the order
of the report stands on the line of the slip, those where it shows that line at least beside its own; and the median
number of findings for one slip. For rulebooks, the last columns tell what finds a slip: the check of the rulebook, its
examples, its cases, and, of those that none of the three finds, the tests of what published sources say.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from support import all_checks

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from mutation.score import Outcome, Score

GOAL = 95
COLUMNS = ("made", "found", "same", "blind", "share", "missed", "gap", "on line", "shown", "findings")
WAYS = ("check", "examples", "cases", "sources")
KINDS = (
    ("not found although contradicted", "gaps"),
    ("not found", "missed"),
    ("shown to change nothing", "same"),
    ("contradicted by nothing", "blind"),
)


def table(name: str, rows: Sequence[Score]) -> Iterator[str]:
    """Yield the lines for plans, or for rulebooks."""
    ways = WAYS if name == "rulebooks" else ()
    yield f"slips in {name}"
    yield line("group", "operator", [*COLUMNS, *ways])
    for row in rows:
        yield line(row.operator.group, row.operator.name, [*cells([row]), f"{row.noise:g}", *ways_of([row], ways)])
    yield line("", "all", [*cells(rows), "", *ways_of(rows, ways)])
    yield f"found, without what changes nothing and what no file can show: {percent(share(rows))}"
    yield f"found, of all that changes something: {percent(share(rows, blind=True))}"
    yield from survivors(rows)
    for title, names in (("found elsewhere", astray(rows)), ("rules without a slip", idle(rows, name))):
        yield f"\n{title}: {len(names)}"
        yield from (f"  {one}" for one in names)
    yield ""


def line(group: str, operator: str, values: Sequence[str]) -> str:
    """Return a line of the table."""
    return f"{group:<16}{operator:<29}" + "".join(f"{value:>9}" for value in values)


def cells(rows: Sequence[Score]) -> list[str]:
    """Return the first columns of one operator, or of all."""
    counts = [
        sum(len(getattr(row, key)) for row in rows) for key in ("outcomes", "found", "same", "blind", "missed", "gaps")
    ]
    places = [sum(getattr(one, key) for row in rows for one in row.found) for key in ("placed", "shown")]
    made, found, same, blind, missed, gaps = map(str, counts)
    return [made, found, same, blind, percent(share(rows)), missed, gaps, *map(str, places)]


def ways_of(rows: Sequence[Score], ways: Sequence[str]) -> list[str]:
    """Return how many slips each way found."""
    found = Counter(way for row in rows for one in row.found for way in one.way.split())
    return [str(found[way]) for way in ways]


def share(rows: Sequence[Score], *, blind: bool = False) -> float | None:
    """Return the share found of what changes something and can be seen, in percent; None if that is nothing.

    With ``blind``, what no file can show counts as not found.
    """
    count = sum(len(row.outcomes) - len(row.same) - (0 if blind else len(row.blind)) for row in rows)
    return 100 * sum(len(row.found) for row in rows) / count if count else None


def enough(rows: Sequence[Score]) -> bool:
    """Tell whether all is found that the files contradict, and most of everything."""
    return not any(row.gaps for row in rows) and (share(rows) or 0) >= GOAL


def survivors(rows: Sequence[Score]) -> Iterator[str]:
    """Yield what was not found, by reason and operator."""
    for title, kind in KINDS:
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


def idle(rows: Sequence[Score], name: str) -> list[str]:
    """Return the rules of plans, or of rulebooks, that no slip has set off."""
    seen = {rule for row in rows for one in row.outcomes for rule in one.rules}
    mine = (check for check in all_checks() if (check.scope.of == "rulebook") == (name == "rulebooks"))
    return sorted(check.name for check in mine if check.name not in seen)


def percent(value: float | None) -> str:
    """Return a share as text; all is said only of all."""
    return "-" if value is None else "100 %" if value == 100 else f"{min(value, 99.9):.1f} %"
