"""What drawing adds to the page of a plan: the track, and each signal with what it shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.page import PagePart, Place
from lampwright.page.markup import paragraph, table, text
from lampwright.tables import tables
from lampwright.tables.beats import beat_class
from lampwright_drawing.inks import FILLS, LEGEND, ON_DARK, OTHER, motion, shape, stylesheet
from lampwright_drawing.svg import inline

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lampwright.layout import BoundSignal, Layout
    from lampwright.tables import Command, Shine

LAMPS: str = (
    ".lens-mark{display:inline-block;min-width:1.6em;padding:0 .2em;text-align:center;border:1px solid currentColor;"
    "font-weight:600;line-height:1.35}"
    ".lens-mark.ring{border-radius:50%}.lens-mark.triangle{border-radius:50% 50% 0 0}.lens-mark.flashing{"
    "outline:1.5px dashed var(--ink);outline-offset:2px}"
    + "".join(
        f".lens-mark.{colour}{{background:{fill};color:{'#fff' if colour in ON_DARK else '#1b1b1b'}}}"
        for colour, fill in {**FILLS, "other": OTHER}.items()
    )
    + ".lens-mark{print-color-adjust:exact}"
)
"""Lamps in a table: the letter, the shape and the colour that a drawing has."""


def parts() -> list[PagePart]:
    """Return the parts."""
    return [
        PagePart("diagram", "The track", 100, Place.BEFORE, diagram, style=stylesheet(), prints=True),
        PagePart("drawing", "Drawing", 10, Place.SIGNAL, drawing),
        PagePart("aspects", "Aspects", 20, Place.SIGNAL, aspects, style=LAMPS),
    ]


def diagram(layout: Layout) -> str:
    """Return the track of a plan, and how lamps of its signals flash."""
    from lampwright_drawing.diagram import track

    drawn, notes = track(layout, showing="what it shows as the layout is worked below")
    flashing = motion(tables(layout).beats())
    style = f"<style>{flashing}</style>" if flashing else ""
    whole = f'<div class="wide" tabindex="0" role="region" aria-label="The track">{inline(drawn)}</div>'
    return style + whole + "".join(paragraph(note, "quiet") for note in (*notes, LEGEND))


def drawing(signal: BoundSignal) -> str:
    """Return a signal with its lamps named; nothing if its form is not known."""
    from lampwright_drawing.elevations import signal as drawn
    from lampwright_drawing.subjects import of_signal

    subject = of_signal(signal)
    return "" if subject is None else f"<figure>{inline(drawn(subject, names=True))}</figure>"


def aspects(signal: BoundSignal) -> str:
    """Return everything a signal can be told to show, lamp by lamp; nothing if it has no table."""
    known = tables(signal.layout).signals.get(signal.name)
    if known is None:
        return ""
    lamps = list(dict.fromkeys(shine.lamp for shine in known.failsafe.lamps))
    rows = [_row(signal, command, lamps) for command in known.commands]
    return table(["", "aspect", *lamps, "means"], rows, right={0}, kind="aspects", title=f"What {signal.name} can show")


def _row(signal: BoundSignal, command: Command, lamps: Sequence[str]) -> list[str]:
    """Return one command: its number, its name, each lamp, what it means."""
    by_lamp: dict[str, list[Shine]] = {}
    for shine in command.lamps:
        by_lamp.setdefault(shine.lamp, []).append(shine)
    book = signal.rulebook
    meant = [book.aspects[one] for _, one in command.aspects if book is not None and one in book.aspects]
    means = "; ".join(filter(None, (": ".join(filter(None, (one.code, one.name))) for one in meant)))
    return [str(command.number), text(command.name), *(_lamp(by_lamp.get(name, [])) for name in lamps), text(means)]


def _lamp(shines: Sequence[Shine]) -> str:
    """Return a lamp as it is lit, or a dot."""
    lit = next((shine for shine in shines if shine.lit), None)
    if lit is None:
        return '<span class="quiet" aria-label="dark">·</span>'
    colour = lit.colour if lit.colour in FILLS else "other"
    said = f"{lit.colour} flashing" if lit.flash else lit.colour
    more = f" flashing {beat_class(lit.flash)}" if lit.flash else ""
    letter = f"{lit.colour[:1].upper()}{'*' if lit.flash else ''}"
    return f'<b class="lens-mark {colour} {shape(lit.colour)}{more}" title="{text(said)}">{text(letter)}</b>'
