"""Which form has the lamps that were built."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.rulebooks.displays import reader

if TYPE_CHECKING:
    from lampwright.plans import Signal
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.model import Form
    from lampwright.years import Years


class Identified(Struct, frozen=True):
    """The forms that have exactly these lamps; if none has, the nearest one and what differs."""

    forms: tuple[str, ...]
    nearest: str = ""
    difference: str = ""


def identify(rulebook: Rulebook, signal: Signal, years: Years | None) -> Identified:
    """Return the forms in use in the years whose lamps are those as built, by place or by name.

    A mount that the signal says narrows them; so do the colours of a lens that is told by colours.
    """
    built = as_built(signal)
    candidates = {
        name: lamps_of(reader(rulebook, name, years), signal)
        for name, form in rulebook.forms.items()
        if (years is None or form.years.meets(years)) and _may_be(form, signal)
    }
    exact = (name for name, lamps in candidates.items() if lamps == built)
    fitting = tuple(name for name in exact if _colours_fit(reader(rulebook, name, years), signal))
    if fitting:
        return Identified(fitting)
    known = {name: lamps for name, lamps in candidates.items() if lamps}
    if not known:
        return Identified(())
    nearest = min(known, key=lambda name: _apart(built, known[name]))
    return Identified((), nearest, _difference(built, known[nearest]))


def _may_be(form: Form, signal: Signal) -> bool:
    """Tell whether a form can stand by itself, and so as the signal does."""
    return "subsidiary" not in form.roles and signal.mount in ("", form.mount)


def _colours_fit(form: FormReader, signal: Signal) -> bool:
    """Tell whether lenses that are told by their colours have those of the form."""
    told: dict[str, set[str]] = {}
    for lamp in signal.lamps or ():
        if lamp.name in form.anatomy.lamps and lamp.colour:
            told.setdefault(lamp.name, set()).add(lamp.colour)
    return all(colours == set(form.anatomy.lamps[name].colours) for name, colours in told.items())


def _apart(built: tuple[str, ...], wanted: tuple[str, ...]) -> tuple[int, int, int]:
    """Return how far lamps are from a form's: those of another kind, the difference in number, those misplaced."""
    here, there = Counter(built), Counter(wanted)
    strange = max((here - there).total(), (there - here).total())
    misplaced = sum(one != other for one, other in zip(built, wanted, strict=False))
    return strange, abs(len(built) - len(wanted)), misplaced


def as_built(signal: Signal) -> tuple[str, ...]:
    """Return the lamps as built: colours top to bottom if they were listed, else names."""
    if signal.listed:
        return tuple(lamp.colour for lamp in signal.lamps or ())
    return tuple(sorted({lamp.name for lamp in signal.lamps or ()}))


def lamps_of(form: FormReader, signal: Signal) -> tuple[str, ...]:
    """Return a form's lamps in the way the signal tells its own; empty if they cannot be told so."""
    if signal.listed:
        return tuple(colour for _, colour in form.column or ())
    return tuple(sorted(form.lamps))


def _difference(built: tuple[str, ...], wanted: tuple[str, ...]) -> str:
    """Say what was built and what the form has."""
    return f"it has {', '.join(wanted)}; built are {', '.join(built) or 'none'}"
