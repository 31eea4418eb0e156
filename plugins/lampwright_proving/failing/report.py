"""What a driver would read if one thing failed, signal by signal: as text, and for programs."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, to_builtins

from lampwright.plans.model import DUMMY
from lampwright.reports.printable import printable, wrapped
from lampwright.reports.tables import table
from lampwright.words import counted, listed
from lampwright_proving.failing import boxes
from lampwright_proving.failing.faults import faults
from lampwright_proving.failing.judging import Case, Outcome, cases

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import BoundSignal, Layout
    from lampwright.reports.style import Style

FORMAT: Final = "lampwright-lamp-failure/1"
HEADINGS: Final = {
    Outcome.FREER: "A driver may do more, and nothing covers it",
    Outcome.COVERED: "A driver might do more, but that is covered",
    Outcome.APART: "Another thing is read, neither freer nor tighter",
    Outcome.SAFE: "Nothing freer is read",
}
CAUTION: Final = "For model railways only: nothing here is fit for a real one."


class Judged(Struct, frozen=True):
    """A signal with everything that one fault can make of it."""

    signal: str
    form: str
    cases: tuple[Case, ...]


def judged(layout: Layout, names: Sequence[str] = ()) -> list[Judged]:
    """Return the signals of a plan whose forms are known, all or those named, each with its cases."""
    wanted = [signal for name, signal in layout.signals.items() if not names or name in names]
    return [Judged(signal.name, signal.form_name, tuple(every(signal))) for signal in wanted if signal.reader]


def every(signal: BoundSignal) -> Iterator[Case]:
    """Yield every case of a signal; a dummy lights nothing."""
    if signal.entry.stage != DUMMY:
        yield from cases(signal, faults(signal))
        yield from boxes.cases(signal)


def record(layout: Layout, found: Sequence[Judged]) -> dict[str, Any]:
    """Return what was found as plain values."""
    signals = [to_builtins(one) for one in found]
    return {"format": FORMAT, "plan": layout.plan.name or layout.plan.stem, "signals": signals, "caution": CAUTION}


def lines(layout: Layout, found: Sequence[Judged], style: Style, width: int) -> Iterator[str]:
    """Yield the lines of a report; signals of which the same is to be said are told once."""
    yield style("strong", printable(layout.plan.name or layout.plan.stem)) + "  if one thing failed"
    yield printable(" in ".join(filter(None, (layout.rulebook_name, layout.year_text))))
    alike: dict[tuple[str, tuple[Case, ...]], list[str]] = {}
    for one in found:
        alike.setdefault((one.form, one.cases), []).append(one.signal)
    for (form, same), names in alike.items():
        yield ""
        yield style("strong", printable(listed(names))) + printable(f"  {form}")
        for outcome in Outcome:
            yield from _section(outcome, [case for case in same if case.outcome is outcome], width)
    yield ""
    lacking = [one.form for one in found if one.form not in layout.plan.forms and any(map(_lacks_fault, one.cases))]
    if lacking:
        yield from wrapped(printable(in_plan(lacking[0])), width)
    yield from wrapped(_summary(found), width)
    yield CAUTION


def _lacks_fault(case: Case) -> bool:
    """Tell whether what would cover a case is a fault of its form."""
    return case.outcome is Outcome.FREER and case.because.startswith("needs proving, as `{")


def in_plan(form: str) -> str:
    """Say how the faults of a form are said by who does not write its rulebook."""
    return (
        f"A plan says the faults of a form of the rulebook in a form of its own, all of them: `forms: {{my-{form}: "
        f"{{like: {form}, faults: [...]}}}}`, then `form: my-{form}`. `accepted: WHY` in place of `then` says that "
        "you live with it."
    )


def _section(outcome: Outcome, of: Sequence[Case], width: int) -> Iterator[str]:
    """Yield the cases of one outcome: what should be read, what is, and everything that makes it so."""
    if not of:
        return
    yield f"  {HEADINGS[outcome]}:"
    together: dict[str, dict[tuple[str, str], list[str]]] = {}
    for case in of:
        together.setdefault(case.at, {}).setdefault((case.read, case.because), []).extend(case.faults)
    rows = [
        (printable(at), printable(f"as {read}"), printable(_last(names, because)))
        for at, readings in together.items()
        for (read, because), names in readings.items()
    ]
    yield from table(rows, width, indent="    ")


def _last(names: Sequence[str], because: str) -> str:
    """Return what has failed, any of it, and what is to be said of it."""
    failed = ", ".join(dict.fromkeys(names))
    return f"{failed}: {because}" if because else failed


def _summary(found: Sequence[Judged]) -> str:
    """Return how much was found of each outcome."""
    every_case = [case for one in found for case in one.cases]
    counts = Counter(case.outcome for case in every_case)
    stuck = sum(case.outcome is Outcome.FREER and case.kind == "stuck" for case in every_case)
    return (
        f"{counted(len(every_case), 'case')}: {counts[Outcome.FREER]} freer and not covered "
        f"({stuck} of them by lamps stuck lit), {counts[Outcome.COVERED]} covered, "
        f"{counts[Outcome.APART]} not comparable, {counts[Outcome.SAFE]} not freer."
    )
