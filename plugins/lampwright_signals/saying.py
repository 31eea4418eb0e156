"""What several checks say or ask in the same way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.words import with_article

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.findings import Citation, Spot
    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.model import Form

FORM_FIRST = ("unknown-form", "unknown-lamp", "missing-lamp", "surplus-lamp", "wrong-lamp-colour")
"""Checks that leave the form in doubt: what hangs on it, or leads to it, is not compared then."""


def no_rulebook(layout: Layout) -> str:
    """Return why nothing that asks a rulebook can run, or an empty text."""
    named = layout.rulebook_name or any(signal.entry.rulebook for signal in layout.signals.values())
    return "" if named else "no rulebook given"


def no_year(layout: Layout) -> str:
    """Return why nothing that compares years can run, or an empty text."""
    dated = layout.year_text or any(signal.entry.year for signal in layout.signals.values())
    return no_rulebook(layout) or ("" if dated else "no year given")


def taken_over(signal: BoundSignal, *keys: str) -> bool:
    """Tell whether a signal has what it says under these keys from the one it is ``like``: that one has the finding."""
    said = [key for key in keys if getattr(signal.entry, key)]
    return bool(said) and all(key in signal.entry.inherited for key in said)


def kind(name: str, form: Form) -> str:
    """Return what a form is called in a sentence: ``a four-aspect signal``."""
    title = form.title.partition(",")[0].partition(" (")[0]
    return with_article(title[:1].lower() + title[1:]) if title else f"the form {name}"


def form_spot(signal: BoundSignal) -> tuple[Spot, ...]:
    """Return where the plan says the form, with the years in which it is taken."""
    if not signal.entry.form:
        return ()
    label = f"as in use in {signal.years}" if signal.years else "this form"
    return (signal.spot("form", label=label),)


def state_of(token: str) -> str:
    """Return how a lamp that is not plainly lit looks: ``flashing``, ``green``, ``flashing green``."""
    words = ["flashing" if word == "flash" else word for word in token.split() if word != "lit"]
    return " ".join(words)


def seen(display: Mapping[str, str]) -> list[str]:
    """Return the lamps of a display as they look: ``green``, ``lower-yellow flashing``, ``lens red``."""
    return [f"{name} {state_of(token)}".strip() for name, token in display.items()]


def short(form: FormReader, name: str) -> str:
    """Return the shortest name of a lamp that leaves no doubt: without its part, if no other part has its like."""
    part, _, rest = name.partition(".")
    others = (other for key, other in form.parts.items() if key != part)
    if part not in form.parts or any(rest in other.lamps for other in others):
        return name
    return rest


def short_aspect(form: FormReader, aspect: str) -> str:
    """Return the shortest name of an aspect that leaves no doubt: without its part, if no other part can give it."""
    part, _, rest = aspect.partition(".")
    others = (other for key, other in form.parts.items() if key != part)
    return aspect if part not in form.parts or any(rest in other.gives for other in others) else rest


def blanked(signal: BoundSignal) -> frozenset[str]:
    """Return the lamps of the form that are plated over on this signal, by full name."""
    return frozenset(name for lamp in signal.entry.blanked if (name := signal.element(lamp)))


def why_lamp(signal: BoundSignal, lamp: str, *steps: str) -> tuple[Citation, ...]:
    """Return the source of a lamp of the signal's form, or of a datum of it."""
    form, inner = owner(signal, lamp)
    if signal.rulebook is None or not form:
        return ()
    return (signal.rulebook.why("forms", form, *_steps(signal, form, inner), *steps),)


def lamp_spot(signal: BoundSignal, lamp: str, label: str) -> tuple[Spot, ...]:
    """Return where the rulebook has a lamp of the signal's form."""
    form, inner = owner(signal, lamp)
    if signal.rulebook is None or not form:
        return ()
    return (signal.rulebook.spot("forms", form, *_steps(signal, form, inner), label=label, on_key=True),)


def owner(signal: BoundSignal, name: str) -> tuple[str, str]:
    """Return the form that has a lamp, a part's form if the post has parts, and the lamp's name in it."""
    reader = signal.reader
    if reader is None:
        return "", name
    part, _, rest = name.partition(".")
    if part in reader.parts:
        return reader.parts[part].name, rest
    return reader.name, name


def _steps(signal: BoundSignal, form: str, lamp: str) -> tuple[str, ...]:
    """Return the path of a lamp in its form: its own, or that of the head it belongs to."""
    record = signal.rulebook.forms[form] if signal.rulebook is not None else None
    if record is not None and lamp not in record.lamps:
        head, _, inner = lamp.partition(".")
        return ("heads", head, "lamps", inner) if inner in record.heads[head].lamps else ("heads", head)
    return ("lamps", lamp)
