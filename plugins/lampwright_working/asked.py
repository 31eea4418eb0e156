"""What several checks of the sequence say alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.findings import Fix
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.titles import kind
from lampwright.words import listed, with_article
from lampwright.working.proposals import proposals

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.findings import Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.working.reach import State


def nothing_asked(layout: Layout) -> str:
    """Return why nothing can be said of what signals are asked; empty if it can."""
    books = [signal.rulebook for signal in layout.signals.values() if signal.rulebook is not None]
    if not books:
        return "no rulebook given"
    if not any(book.sequence for book in books):
        return "the rulebook has no sequence"
    leading = any(signal.entry.routes or signal.entry.repeats for signal in layout.signals.values())
    return "" if leading else "no routes given"


def kind_of(signal: BoundSignal) -> str:
    """Return what a signal is called: ``a four-aspect signal``."""
    return kind(signal.form_name, signal.form) if signal.form is not None else "a signal"


def form_spots(signal: BoundSignal) -> tuple[Spot, ...]:
    """Return where the plan says the form, if it does."""
    return (signal.spot("form", label="this form"),) if signal.entry.form else ()


def rule_spot(book: Rulebook, state: State, label: str = "the rule") -> tuple[Spot, ...]:
    """Return where the rulebook asks what a state asks."""
    paths = (step.path for step in state.answer.steps if step.path)
    return tuple(book.spot(*path, label=label) for path in list(paths)[:1])


def without(signal: BoundSignal, aspects: Iterable[str]) -> str:
    """Say what a signal lacks to show aspects: ``has no yellow``, or just that it cannot show them."""
    book = signal.rulebook
    own = _colours(book, signal.form_name, signal) if book is not None else set()
    wanted: list[str] = []
    for aspect in aspects:
        for name in book.forms if book is not None else ():
            shown = book is not None and _shown_by(book, name, aspect, signal)
            if shown:
                wanted += [colour for colour in shown if colour not in own]
                break
    return f"has no {listed(dict.fromkeys(wanted), 'or')}" if wanted else "cannot show it"


def smallest(signal: BoundSignal) -> str:
    """Name the smallest form that can say all a signal is asked; empty if there is none."""
    found = proposals(signal)
    if not found or signal.rulebook is None:
        return ""
    shown = ", ".join(found[0].aspects)
    return f"{found[0].form} is the smallest form that can say all {signal.name} is asked: {shown}"


def enlarged(signal: BoundSignal) -> tuple[Fix, ...]:
    """Return the fix that gives a signal the smallest form that can say all it is asked; none if there is none."""
    found = proposals(signal)
    if not found or "form" not in signal.layout.plan.values["signals"][signal.path[1]]:
        return ()
    from lampwright.edits import Change  # only what is wrong pays for it

    change = Change.replace((*signal.path, "form"), found[0].form)
    return (Fix(f"make it {with_article(found[0].form)} signal", ((signal.layout.plan.file, change),)),)


def _shown_by(book: Rulebook, form: str, aspect: str, signal: BoundSignal) -> list[str]:
    """Return the colours a form without parts lights for an aspect; nothing if it cannot show it."""
    record = book.forms[form]
    if record.parts or aspect not in record.shows:
        return []
    reads = reader(book, form, signal.years)
    displays = reads.displays(aspect)
    lit = displays[0] if displays else {}
    return [
        colour
        for lamp in lit
        if lamp in reads.anatomy.lamps
        for colour in _lit(reads.anatomy.lamps[lamp].colours, lit[lamp])
    ]


def _lit(colours: tuple[str, ...], token: str) -> list[str]:
    """Return the colour of a lamp that is lit."""
    named = [colour for colour in colours if colour in token.split()]
    return named or list(colours[:1])


def _colours(book: Rulebook, form: str, signal: BoundSignal) -> set[str]:
    """Return every colour of a form, its parts' included."""
    if not form:
        return set()
    reads = reader(book, form, signal.years)
    inner = reads.parts.values() or (reads,)
    return {colour for part in inner for lamp in part.anatomy.lamps.values() for colour in lamp.colours}
