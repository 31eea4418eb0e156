"""Aspect sheets: everything that a signal, or a form of a rulebook, can show, each drawn and named."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.rulebooks.flashing import flash
from lampwright.words import counted
from lampwright_drawing.elevations import signal as drawn
from lampwright_drawing.grid import Cell, grid, headed
from lampwright_drawing.inks import LEGEND
from lampwright_drawing.subjects import Shown, of_command, of_display, of_form

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.rulebooks.displays import FormReader
    from lampwright.tables import SignalTable
    from lampwright_drawing.subjects import Subject
    from lampwright_drawing.svg import Piece

SAFETY: Final = "For model railways only."


def form_displays(form: FormReader, prefix: str = "") -> Iterator[Shown]:
    """Yield everything a form shows, by the rulebook's order of aspects; parts of a post one after the other."""
    if form.parts:
        for name, part in form.parts.items():
            yield from form_displays(part, f"{prefix}{name}.")
        return
    for meaning in form.meanings:
        if meaning.commanded:
            shown = of_display(form, meaning.aspect, form.display(meaning))
            lamps = {prefix + name: lit for name, lit in shown.lamps.items()}
            yield Shown(prefix + shown.name, lamps, shown.boxes, shown.notes, shown.plates)


def form_sheet(form: FormReader) -> Piece:
    """Return the aspect sheet of a form of a rulebook."""
    shown = list(form_displays(form))
    title = form.form.title or form.name
    below = ", ".join(filter(None, (form.rulebook.title or form.rulebook.id, f"form {form.name}", _years(form))))
    return sheet(of_form(form), shown, title, below)


def signal_sheet(subject: Subject, table: SignalTable) -> Piece:
    """Return the aspect sheet of a signal of a plan: a drawing for each command of its table, with its number."""
    shown = [of_command(subject, command) for command in table.commands]
    numbers = {command.name: command.number for command in table.commands}
    return sheet(subject, shown, subject.name, subject.title, numbers)


def sheet(
    subject: Subject, shown: Sequence[Shown], title: str, below: str = "", numbers: dict[str, int] | None = None
) -> Piece:
    """Return drawings of a signal, one for each thing it shows."""
    cells = [Cell(drawn(subject, one, caption=" "), tuple(_words(subject, one, numbers or {}))) for one in shown]
    desc = f"{counted(len(cells), 'aspect')}: {'; '.join(f'{one.name}: {one.said}' for one in shown)}"
    if not cells:
        cells = [Cell(drawn(subject), (("quiet", "no display is commanded"),))]
    return headed(grid(cells), title, below, (LEGEND, *_doubts(subject), SAFETY), desc)


def _words(subject: Subject, shown: Shown, numbers: dict[str, int]) -> Iterator[tuple[str, str]]:
    """Yield what stands below one drawing."""
    number = numbers.get(shown.name)
    name = shown.name.replace(".", ": ")
    yield "strong", name if number is None else f"{number}  {name}"
    aspect = subject.form.rulebook.aspects.get(shown.name.rpartition(".")[2])
    if aspect is not None and (aspect.code or aspect.name):
        yield "", ": ".join(filter(None, (aspect.code, aspect.name)))
    yield "quiet", shown.said
    for note in (*shown.notes, *_rates(subject, shown)):
        yield "quiet", note


def _rates(subject: Subject, shown: Shown) -> Iterator[str]:
    """Yield how fast lamps flash, as the rulebook says it."""
    for way in dict.fromkeys(lit.way for lit in shown.lamps.values() if lit.beat):
        said = flash(subject.form.rulebook, way)
        rates = dict.fromkeys(f"{float(rate):g}" for rate in said.rate or ()) if said else {}
        yield f"{' to '.join(rates)} a minute" if rates else "rate not established"


def _doubts(subject: Subject) -> Iterator[str]:
    """Yield which places of lamps are not established."""
    from lampwright_drawing.hardware import elevation

    unsure = dict.fromkeys(lens.lamp for lens in elevation(subject.form, subject.mount).lenses if not lens.sure)
    if unsure:
        yield f"Drawn with a dotted ring: the place is not established of {', '.join(unsure)}."


def _years(form: FormReader) -> str:
    """Say when a form was in use, unless that is always."""
    years = str(form.form.years)
    return years if years != ".." else ""
