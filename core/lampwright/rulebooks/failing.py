"""What a driver reads when one thing of a display fails: a lamp, a box or a plate lost, a flasher stuck steady."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.rulebooks.anatomy import LIT, UNLIT_STATES
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.flashing import flash
from lampwright.rulebooks.order import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks.displays import Display, FormReader, Reading
    from lampwright.rulebooks.meanings import Meaning
    from lampwright.rulebooks.model import Fault

LOST: Final = "lost"
STEADY: Final = "steady"
STUCK: Final = "stuck"
ANY: Final = "any"
GRAVITY: Final = (Verdict.YES, Verdict.UNSAID, Verdict.INCOMPARABLE, Verdict.NO)
"""Comparisons with what should be read, the worst first."""


class Failing(Struct, frozen=True):
    """A display with one thing failed, and what is read instead.

    ``elements`` are the lamps, or the box or plate, that are not as they should be; ``how`` is ``lost``, ``steady``, or
    ``stuck`` of lamps that stay lit, which only a plan can be judged by.
    """

    meaning: Meaning
    how: str
    elements: tuple[str, ...]
    display: Display
    reading: Reading

    def __str__(self) -> str:
        """Say what has failed."""
        return f"{' and '.join(self.elements)} {self.how}"


def failings(form: FormReader) -> Iterator[Failing]:
    """Yield every single failing of every display that is commanded and reads as itself; of a form without parts."""
    for meaning in form.meanings:
        display = form.display(meaning)
        if meaning.commanded and form.read(display).aspect == meaning.aspect:
            for how, elements, seen in (*_lost(form, display), *_steady(form, display)):
                yield Failing(meaning, how, elements, seen, form.read(seen))


def taken_for(reading: Reading) -> tuple[str, ...]:
    """Return every aspect that a driver may act on: the one read, those it may be, the one that counts in doubt."""
    return tuple(dict.fromkeys(filter(None, (*reading.aspects, reading.in_doubt))))


def verdict(form: FormReader, aspect: str, reading: Reading) -> tuple[Verdict, str]:
    """Compare what is read with the aspect that should be: the worst verdict, and the aspect that has it.

    A display that is no aspect, and counts as none in doubt, is no freer than anything.
    """
    if reading.kind is Kind.REST:
        return Verdict.NO, ""
    order = form.rulebook.order
    found = [(order.less_restrictive(read, aspect), read) for read in taken_for(reading)]
    return min(found, key=lambda item: GRAVITY.index(item[0]), default=(Verdict.NO, ""))


def answer(form: FormReader, failing: Failing) -> tuple[int, Fault] | None:
    """Return what the rulebook answers to a failing, with its number; None if nothing does."""
    for number, fault in enumerate(form.form.faults):
        named = {LOST: fault.lost, STEADY: fault.steady, STUCK: fault.stuck}[failing.how]
        fits = named == ANY or any(element == named or element.startswith(f"{named}.") for element in failing.elements)
        if named and fits and (not fault.within or failing.meaning.aspect in fault.within):
            return number, fault
    return None


def _lost(form: FormReader, display: Display) -> Iterator[tuple[str, tuple[str, ...], Display]]:
    """Yield a display without one of its lamps, boxes or plates; a lens may fall to its colour without power."""
    for element, state in display.items():
        if state in UNLIT_STATES or element in form.form.marks:
            continue
        yield LOST, (element,), {name: other for name, other in display.items() if name != element}
        lamp = form.anatomy.lamps.get(element)
        if lamp is not None and lamp.unpowered and state != lamp.unpowered:
            yield LOST, (element,), {**display, element: lamp.unpowered}


def _steady(form: FormReader, display: Display) -> Iterator[tuple[str, tuple[str, ...], Display]]:
    """Yield a display with all that flashes steady, and with each lamp that flashes steady alone."""
    flashing = {element: steady for element, state in display.items() if (steady := _stopped(form, element, state))}
    groups = [tuple(flashing), *((element,) for element in flashing)] if flashing else []
    for elements in dict.fromkeys(groups):
        yield STEADY, elements, {**display, **{element: flashing[element] for element in elements}}


def _stopped(form: FormReader, element: str, state: str) -> str:
    """Return the state of a flashing lamp or box whose flasher is stuck lit; empty if it does not flash."""
    if element in form.anatomy.lamps:
        colours = form.anatomy.lamps[element].colours
        colour = next((word for word in state.split() if word in colours), "")
        ways = [word for word in state.split() if word != colour]
        return (colour or LIT) if ways and flash(form.rulebook, ways[0]) else ""
    return state.removeprefix("flash").strip() or LIT if state.startswith("flash") else ""
