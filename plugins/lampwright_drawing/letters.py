"""Signals as letters: lamps from the top down, in their colours where the terminal has them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.placed import shared
from lampwright.reports.lamps import LEGEND, Lamps
from lampwright.reports.printable import printable
from lampwright.reports.style import Style
from lampwright.reports.tables import Drawn, table

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from lampwright.layout import Layout
    from lampwright.reports import Options
    from lampwright.reports.tables import Cell
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.tables import Command, SignalTable

BETWEEN: Final = "   "


def of_signals(layout: Layout, wanted: Collection[str], usual: Options) -> Iterator[str]:
    """Yield each signal of a plan with everything it can be told to show."""
    from lampwright.tables import tables

    style = Style(colour=usual.colour)
    found = tables(layout)
    for name, table_of in found.signals.items():
        form = layout.signals[name].reader
        if form is not None and (not wanted or name in wanted):
            yield from table(_signal(name, form, table_of, style), usual.width)
            yield ""
    for item in found.left_out:
        if not wanted or item.signal in wanted:
            yield f"{printable(item.signal)}  not drawn: {item.because}\n"
    yield LEGEND


def of_forms(book: Rulebook, wanted: Collection[str], usual: Options) -> Iterator[str]:
    """Yield each form of a rulebook with its displays."""
    from lampwright.commands.form_page import form

    style = Style(colour=usual.colour)
    for name in book.forms:
        if not wanted or name in wanted:
            yield from form(book, name, style, usual.width)
            yield ""


def _signal(name: str, form: FormReader, commands: SignalTable, style: Style) -> list[Sequence[Cell]]:
    """Return one signal as rows of a table: its lamps, then each command."""
    named = printable(name)
    head, *drawn = _lamps(form, [_display(form, command) for command in commands.commands], style)
    rows: list[Sequence[Cell]] = [[Drawn(named, style("strong", named)), head, form.name]]
    rows += [[f"  {one.number}  {one.name}", row] for one, row in zip(commands.commands, drawn, strict=True)]
    return rows


def _display(form: FormReader, command: Command) -> dict[str, str]:
    """Return what is lit under a command, by all names of each lamp."""
    lit: dict[str, str] = {}
    for shine in command.lamps:
        if shine.lit and shine.lamp in form.lamps:
            state = f"{'flash ' if shine.flash else ''}{shine.colour}"
            lit |= dict.fromkeys(shared(form, shine.lamp), state)
    return lit


def _lamps(form: FormReader, displays: Sequence[Mapping[str, str]], style: Style) -> list[Drawn]:
    """Return the lamps and each display below, part by part, each part's in its own columns."""
    if not form.parts:
        return Lamps(form, style).sheet(displays)
    columns = []
    for name, part in form.parts.items():
        start = f"{name}."
        inner = [
            {key.removeprefix(start): state for key, state in one.items() if key.startswith(start)} for one in displays
        ]
        columns.append(_lamps(part, inner, style))
    return [
        Drawn(BETWEEN.join(cell.plain for cell in row), BETWEEN.join(cell.shown for cell in row))
        for row in zip(*columns, strict=True)
    ]
