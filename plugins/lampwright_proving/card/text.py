"""The bench card as text: a list to tick, for the terminal or any printer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.reports.printable import printable, wrapped
from lampwright.reports.tables import Drawn, table
from lampwright_proving.card.model import CAUTIONS, FILE, HOW

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.reports.style import Style
    from lampwright_proving.card.model import Card, Lamp, SignalCard

BLANK = "________"


def lines(card: Card, style: Style, width: int) -> Iterator[str]:
    """Yield the lines of a card."""
    yield style("strong", printable(card.plan)) + f"  bench card  fingerprint {card.fingerprint}"
    yield printable(" in ".join(filter(None, (card.rulebook, card.year))))
    yield ""
    yield from wrapped(f"{HOW} {FILE.format(card.fingerprint)}", width)
    yield ""
    for signal in card.signals:
        yield from _signal(signal, style)
    for one in card.left_out:
        yield printable(f"{one.signal}: no card, for {one.because}")
    for caution in CAUTIONS:
        yield from wrapped(caution, width)


def _signal(signal: SignalCard, style: Style) -> Iterator[str]:
    """Yield the lines of one signal."""
    yield style("strong", printable(signal.signal)) + printable("  " + "  ".join(heading(signal)))
    for step in signal.steps:
        yield ""
        behind = f"  ({step.remark})" if step.remark else ""
        yield style("strong", printable(f"  {step.number}  {step.name}")) + behind
        yield from table([_row(lamp, style) for lamp in step.lamps], indent="     ")
    yield ""


def heading(signal: SignalCard) -> list[str]:
    """Return what stands behind a signal's name."""
    address = f"address {signal.address}" if signal.address is not None else ""
    said = [signal.form, signal.stage, address, f"failsafe {signal.failsafe}", f"fingerprint {signal.fingerprint}"]
    return [text for text in said if text]


def _row(lamp: Lamp, style: Style) -> tuple[Drawn | str, ...]:
    """Return one lamp: a box to tick, what must be seen, and room for what was."""
    must = Drawn(lamp.must, style("faint" if lamp.must == "dark" else lamp.colour, lamp.must))
    return ("[ ]", lamp.place, lamp.name, lamp.colour, must, lamp.output, f"seen {BLANK}")
