"""A signal as small as it stands in a diagram: the same hardware to a smaller scale, its letters beside its name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.reports.lamps import letter
from lampwright.tables import tables
from lampwright_drawing.arms import along, colour_of
from lampwright_drawing.boards import outline
from lampwright_drawing.hardware import elevation, middle_of
from lampwright_drawing.lenses import lens
from lampwright_drawing.subjects import DARK_SIGNAL, Lit, of_command, of_signal
from lampwright_drawing.svg import Markup, number, tag

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright.tables import Beat
    from lampwright_drawing.subjects import Shown, Subject

SCALE: Final = 0.4
MOST: Final = 13.0
"""Most that it takes on either side of its post."""
POST: Final = 26.0
PIVOT: Final = 7.0
"""From the top of the boards to where arms meet."""
ARM: Final = (9.0, 18.0, 27.0)
ARM_LIGHT: Final = 4.0
"""Lights of an arm: how far from where arms meet, and their radius; all five would be too small to see."""


class Miniature(Struct, frozen=True):
    """A small signal upright on its foot at nought: how high it is, half its width, and what it shows in letters."""

    body: Markup
    length: float
    half: float
    letters: str
    title: str
    beats: frozenset[Beat]


def miniature(layout: Layout, name: str, shown: Shown | None = None) -> Miniature | None:
    """Return a signal of a plan as it shows something, else what it falls to; None if its form is not known."""
    signal = layout.signals.get(name)
    subject = of_signal(signal) if signal is not None else None
    if subject is None:
        return None
    table = tables(layout).signals.get(name)
    shown = shown or (of_command(subject, table.failsafe) if table else DARK_SIGNAL)
    seen = elevation(subject.form, subject.mount)
    left, top, right, bottom = seen.box
    middle = middle_of(seen)
    pivot = middle, top - PIVOT
    arms = [_arm(subject, indicator, position, pivot, shown) for indicator, position in subject.arms]
    points = [point for places, _ in arms for point in places]
    sides = [middle - left, right - middle, *(abs(x - middle) + ARM_LIGHT for x, _ in points)]
    top = min([top, *(y - ARM_LIGHT for _, y in points)])
    half = max(sides)
    scale = min(SCALE, MOST / half)
    lit = {one.lamp: next((shown.lamps[key] for key in one.names if key in shown.lamps), None) for one in seen.lenses}
    ordered = sorted(seen.lenses, key=lambda one: lit[one.lamp] is not None)
    lenses = [lens(one.lamp, one.colours, (one.x, one.y, one.radius), lit[one.lamp]) for one in ordered if one.fitted]
    foot = bottom + (POST / 3 if seen.low else POST)
    post = tag("line", class_="line", x1=middle, y1=pivot[1] if arms else top + 8, x2=middle, y2=foot)
    move = f"scale({scale:.3f}) translate({number(-middle)} {number(-foot)})"
    drawn = [post, *(arm for _, arm in arms), *map(outline, seen.boards), *lenses]
    body = tag("g", *drawn, transform=move, class_="tiny")
    return Miniature(
        body, (foot - top) * scale, half * scale, _letters(subject, shown), _title(name, shown), _beats(shown)
    )


def _arm(
    subject: Subject, indicator: str, position: str, pivot: tuple[float, float], shown: Shown
) -> tuple[list[tuple[float, float]], Markup]:
    """Return where the lights of an arm are, three for its row, and the arm."""
    record, colour = subject.form.rulebook.indicators[indicator], _colour(subject, indicator)
    lit = Lit(colour) if shown.boxes.get(indicator) == position else None
    places = along(record.positions, position, pivot, ARM)
    lights = [lens(position, (colour,), (x, y, ARM_LIGHT), lit) for x, y in places]
    x, y = places[-1]
    line = tag("line", class_="line", x1=pivot[0], y1=pivot[1], x2=x, y2=y)
    return places, tag("g", line, *lights, data_position=position)


def _letters(subject: Subject, shown: Shown) -> str:
    """Return what is lit as letters, each once; that of an arm last."""
    arms = [indicator for indicator, position in subject.arms if shown.boxes.get(indicator) == position]
    colours = [*(lit.colour for lit in shown.lamps.values()), *(_colour(subject, indicator) for indicator in arms)]
    return "".join(dict.fromkeys(map(letter, colours)))


def _colour(subject: Subject, indicator: str) -> str:
    """Return the colour of an arm."""
    return colour_of(subject.form.rulebook.indicators[indicator])


def _title(name: str, shown: Shown) -> str:
    """Say what a signal shows."""
    return f"{name}: {shown.name or 'dark'}"


def _beats(shown: Shown) -> frozenset[Beat]:
    """Return the beats of what flashes."""
    return frozenset(lit.beat for lit in shown.lamps.values() if lit.beat)
