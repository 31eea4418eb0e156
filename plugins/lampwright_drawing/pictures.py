"""Which pictures there are of a plan and of a rulebook: each with a name of its own, drawn when it is asked for."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.years import Years
    from lampwright_drawing.svg import Piece

SIGNAL: Final = "signal"
ASPECTS: Final = "aspects"
DIAGRAM: Final = "diagram"
SEQUENCE: Final = "sequence"
KINDS: Final = (DIAGRAM, SIGNAL, ASPECTS, SEQUENCE)


class Picture(Struct, frozen=True):
    """One picture: its kind, what it is of (empty for a whole plan), the name of its file, and how it is drawn."""

    kind: str
    of: str
    name: str
    draw: Callable[[], Piece]


def of_layout(
    layout: Layout, *, names: bool = False, routes: tuple[str, ...] = (), occupied: tuple[str, ...] = ()
) -> Iterator[Picture]:
    """Yield the pictures of a plan; a signal whose form is not known has none."""
    stem = layout.plan.stem
    yield Picture(DIAGRAM, "", f"{stem}-diagram", partial(_diagram, layout, routes, occupied))
    for name, signal in layout.signals.items():
        if signal.reader is not None:
            yield Picture(SIGNAL, name, f"{stem}-{name}", partial(_signal, signal, names=names))
            yield Picture(ASPECTS, name, f"{stem}-{name}-aspects", partial(_aspects, signal))
            yield Picture(SEQUENCE, name, f"{stem}-{name}-sequence", partial(_sequence, layout, name))


def names_of(layout: Layout) -> list[str]:
    """Return the names of all routes of a plan: where each begins and ends, and its own."""
    from lampwright.working.bound import bound_routes

    return [name for route in bound_routes(layout) for name in dict.fromkeys((route.ends, route.name))]


def of_rulebook(rulebook: Rulebook, years: Years | None = None, *, names: bool = False) -> Iterator[Picture]:
    """Yield the pictures of a rulebook's forms, as they were in some years."""
    from lampwright.rulebooks.displays import reader

    for name, form in rulebook.forms.items():
        if years is None or form.years.meets(years):
            made = reader(rulebook, name, years)
            yield Picture(SIGNAL, name, f"{rulebook.id}-{name}", partial(_form, made, names=names))
            yield Picture(ASPECTS, name, f"{rulebook.id}-{name}-aspects", partial(_form_aspects, made))


def _diagram(layout: Layout, routes: tuple[str, ...], occupied: tuple[str, ...]) -> Piece:
    """Draw the track of a plan."""
    from lampwright_drawing.diagram import diagram

    return diagram(layout, routes, occupied)


def _signal(signal: BoundSignal, *, names: bool) -> Piece:
    """Draw a signal of a plan with its lamps dark."""
    from lampwright_drawing.elevations import signal as drawn
    from lampwright_drawing.subjects import of_signal

    subject = of_signal(signal)
    assert subject is not None  # noqa: S101  (its form is known)
    return drawn(subject, names=names)


def _aspects(signal: BoundSignal) -> Piece:
    """Draw everything a signal can be told to show; a dummy only stands there."""
    from lampwright.tables import tables
    from lampwright_drawing.sheets import sheet, signal_sheet
    from lampwright_drawing.subjects import of_signal

    subject = of_signal(signal)
    assert subject is not None  # noqa: S101  (its form is known)
    table = tables(signal.layout).signals.get(signal.name)
    return signal_sheet(subject, table) if table else sheet(subject, (), subject.name, subject.title)


def _sequence(layout: Layout, name: str) -> Piece:
    """Draw the aspect sequence chart of a signal."""
    from lampwright_drawing.sequences import sequence

    return sequence(layout, name)


def _form(form: FormReader, *, names: bool) -> Piece:
    """Draw a form with its lamps dark."""
    from lampwright_drawing.elevations import signal as drawn
    from lampwright_drawing.subjects import of_form

    return drawn(of_form(form), names=names, caption=form.name)


def _form_aspects(form: FormReader) -> Piece:
    """Draw everything a form can show."""
    from lampwright_drawing.sheets import form_sheet

    return form_sheet(form)
