"""Slips in the lamps of signals as built."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from mutation.plans import Mutant, near, put, renamed, slip, without
from mutation.signals import colour_of, inherited, signals

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.plans import Values, Way

GROUP = "lamps"
NO_FORM = "a signal that says no form is what its lamps make it"


@slip(GROUP, blind=NO_FORM)
def lamps_swapped(values: Values) -> Iterator[Mutant]:
    """Swap two lamps of unlike colour in a list from the top down."""
    for name, signal in signals(values):
        lamps = signal.get("lamps") or []
        for one, other in combinations(range(len(lamps)), 2) if isinstance(lamps, list) else ():
            if colour_of(lamps[one]) != colour_of(lamps[other]):
                turned = list(lamps)
                turned[one], turned[other] = lamps[other], lamps[one]
                made = put(values, ("signals", name, "lamps"), turned)
                yield Mutant(f"{name}: {one} and {other}", made, ("signals", name, "lamps"), formed(values, name))


@slip(GROUP, blind=NO_FORM)
def lamp_dropped(values: Values) -> Iterator[Mutant]:
    """Take a lamp out."""
    for name, signal in signals(values):
        lamps = signal.get("lamps") or {}
        for key in range(len(lamps)) if isinstance(lamps, list) else lamps:
            place: Way = ("signals", name, "lamps")
            yield Mutant(f"{name}: {key}", without(values, (*place, key)), place, formed(values, name))


@slip(GROUP, blind=NO_FORM)
def lamp_added(values: Values) -> Iterator[Mutant]:
    """Put a lamp more at the bottom of a list."""
    for name, signal in signals(values):
        if isinstance(lamps := signal.get("lamps"), list):
            made = put(values, ("signals", name, "lamps"), [*lamps, "white"])
            yield Mutant(name, made, ("signals", name, "lamps"), formed(values, name))


@slip(GROUP, blind=NO_FORM)
def lamp_of_other_colour(values: Values) -> Iterator[Mutant]:
    """Give a lamp in a list another colour."""
    for name, signal in signals(values):
        lamps = signal.get("lamps") or []
        for number, lamp in enumerate(lamps) if isinstance(lamps, list) else ():
            wrong = "white" if colour_of(lamp) != "white" else "red"
            new = {wrong: lamp[colour_of(lamp)]} if isinstance(lamp, dict) else wrong
            made = put(values, ("signals", name, "lamps", number), new)
            yield Mutant(f"{name}: {number}", made, ("signals", name, "lamps"), formed(values, name))


@slip(GROUP)
def lamp_misspelt(values: Values) -> Iterator[Mutant]:
    """Misspell a lamp that is built by name, or that a display names."""
    for name, signal in signals(values):
        if isinstance(lamps := signal.get("lamps"), dict):
            for lamp in lamps:
                made = renamed(values, ("signals", name, "lamps", lamp), near(lamp, lamps))
                yield Mutant(f"{name}: {lamp}", made, ("signals", name, "lamps"))
        for aspect, shown in signal.get("shows", {}).items():
            if isinstance(shown, str) and shown != "dark":
                place: Way = ("signals", name, "shows", aspect)
                yield Mutant(f"{name}: {aspect}", put(values, place, near(shown, ())), place)


@slip(GROUP)
def blanked_misspelt(values: Values) -> Iterator[Mutant]:
    """Misspell a lamp that is blanked."""
    for name, signal in signals(values):
        for number, lamp in enumerate(signal.get("blanked", ())):
            place: Way = ("signals", name, "blanked", number)
            yield Mutant(f"{name}: {lamp}", put(values, place, near(lamp, ())), place)


@slip(GROUP, blind="a lamp that no asked aspect lights may stand there, and need not be said to be blanked")
def blanked_dropped(values: Values) -> Iterator[Mutant]:
    """Forget that a lamp is blanked."""
    for name, signal in signals(values):
        for number, lamp in enumerate(signal.get("blanked", ())):
            place: Way = ("signals", name, "blanked")
            yield Mutant(f"{name}: {lamp}", without(values, (*place, number)), place, held="lamps" in signal)


def formed(values: Values, name: str) -> bool:
    """Tell whether a signal says its form, or is like one that does."""
    return inherited(values, name, "form") is not None
