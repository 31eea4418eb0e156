"""What proving adds to the page of a plan: the bench card of each signal, and what was proved when."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from lampwright.page import PagePart, Place
from lampwright.page.markup import paragraph, table, text
from lampwright.words import counted
from lampwright_proving.card.model import CAUTIONS, HOW, card
from lampwright_proving.card.page import STEPS, steps
from lampwright_proving.card.text import heading

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lampwright.layout import BoundSignal, Layout
    from lampwright_proving.card.model import Card

FAILED: Final = ("failed", "at", "is read as", "that is", "because")


def parts() -> list[PagePart]:
    """Return the parts."""
    return [
        PagePart("bench-card", "Bench card", 60, Place.SIGNAL, bench_card, style=STEPS, prints=True),
        PagePart("failing", "If one thing failed", 70, Place.SIGNAL, failing),
        PagePart("history", "History", 80, Place.SIGNAL, history),
    ]


def bench_card(signal: BoundSignal) -> str:
    """Return what to command and what must be seen, with room for what is; the reason if a signal has no table."""
    made = _card(signal.layout)
    one = next((one for one in made.signals if one.signal == signal.name), None)
    if one is None:
        return "".join(paragraph(f"No card, for {out.because}.") for out in made.left_out if out.signal == signal.name)
    head = paragraph(f"{signal.name}: {', '.join(heading(one))}; plan {made.fingerprint}. {HOW}", "quiet")
    return head + paragraph(" ".join(CAUTIONS), "caution") + steps(one)


def _card(layout: Layout) -> Card:
    """Return the card of a plan; worked out once."""
    if "bench card" not in layout.cache:
        layout.cache["bench card"] = card(layout)
    known: Card = layout.cache["bench card"]
    return known


def failing(signal: BoundSignal) -> str:
    """Return what a driver would read with one thing failed, where that is not simply something tighter."""
    from lampwright_proving.failing.judging import Outcome
    from lampwright_proving.failing.report import HEADINGS, every

    known = list(every(signal))
    told = [case for case in known if case.outcome is not Outcome.SAFE]
    rows = [
        [text(", ".join(case.faults)), text(case.at), text(case.read), text(case.outcome), text(case.because)]
        for case in sorted(told, key=lambda case: list(HEADINGS).index(case.outcome))
    ]
    left = counted(len(known) - len(told), "other case")
    rest = paragraph(f"In {left} of one fault nothing freer is read.", "quiet") if known else ""
    return (table(FAILED, rows, title=f"{signal.name} with one fault") if rows else "") + rest


def history(signal: BoundSignal) -> str:
    """Return the records of a signal in the log beside the plan, the oldest first; nothing if there are none."""
    records = _of(signal.name, _records(signal.layout))
    keys = list(dict.fromkeys(key for one in records for key in one))
    rows = [[text(one.get(key, "")) for key in keys] for one in records]
    return (
        table([key.replace("-", " ") for key in keys], rows, title=f"What was proved of {signal.name}") if rows else ""
    )


def _of(name: str, records: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return the records of a signal, those under its former names included."""
    found = []
    for record in reversed(records):
        if name in (str(record["signal"]), str(record.get("renamed", ""))):
            name = str(record["signal"])
            found.append(record)
    return found[::-1]


def _records(layout: Layout) -> list[Mapping[str, Any]]:
    """Return the log beside a plan; read once."""
    if "log of proofs" not in layout.cache:
        from lampwright_proving.keeping.log import records

        layout.cache["log of proofs"] = records(Path(layout.plan.file))
    known: list[Mapping[str, Any]] = layout.cache["log of proofs"]
    return known
