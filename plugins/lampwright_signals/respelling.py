"""Lamps as a plan writes them, and how slips in writing them are mended."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.findings import Fix
from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.findings import Spot
    from lampwright.layout import BoundSignal
    from lampwright.plans import BuiltLamp
    from lampwright.rulebooks.displays import FormReader
    from lampwright_signals.built import Place


def index_of(lamp: BuiltLamp) -> int:
    """Return the place of a lamp in its list."""
    return next((step for step in lamp.path if isinstance(step, int)), 0)


def built_spot(signal: BoundSignal, lamp: BuiltLamp) -> Spot:
    """Return where the plan has a lamp as built."""
    if signal.entry.listed:
        return signal.spot("lamps", index_of(lamp))
    return signal.spot("lamps", lamp.name, lamp.colour, on_key=True)


def reordered(signal: BoundSignal, built: list[str], order: tuple[Place, ...]) -> tuple[Fix, ...]:
    """Return the fix that writes the lamps in the order of the form, each as it is written."""
    written = signal.layout.plan.values["signals"][signal.path[1]].get("lamps")
    if not isinstance(written, list) or len(written) != len(built):
        return ()
    from lampwright.edits import Change  # only what is wrong pays for it

    wrong = [index for index, place in enumerate(order) if built[index] != place.colour]
    left = list(wrong)
    changes = []
    for index in wrong:
        source = next(other for other in left if built[other] == order[index].colour)
        left.remove(source)
        changes.append((signal.layout.plan.file, Change.replace((*signal.path, "lamps", index), written[source])))
    return (Fix(f"write them from the top: {', '.join(place.colour for place in order)}", tuple(changes)),)


def spelt(signal: BoundSignal, form: FormReader, wrong: Iterable[tuple[BuiltLamp, Place]]) -> tuple[Fix, ...]:
    """Return the fix that writes the colours as they are spelt, if all are slips of the pen for the right ones."""
    from lampwright.edits import Change  # only what is wrong pays for it
    from lampwright.rulebooks.colours import known
    from lampwright.words import Meant, did_you_mean

    changes = []
    for lamp, place in wrong:
        tip = did_you_mean(lamp.colour, known(form.rulebook))
        path = built_spot(signal, lamp).path
        if lamp.colour in known(form.rulebook) or not isinstance(tip, Meant) or tip.meant != place.colour:
            return ()
        written = signal.layout.plan.values["signals"][signal.path[1]].get("lamps")
        if isinstance(written, list) and not isinstance(written[index_of(lamp)], dict):
            changes.append((signal.layout.plan.file, Change.replace(path, place.colour)))
        elif isinstance(written, list):
            changes.append((signal.layout.plan.file, Change.rename((*path, lamp.colour), place.colour)))
        else:
            return ()
    return (Fix(f"write {listed(place.colour for _, place in wrong)}", tuple(changes), safe=True),)
