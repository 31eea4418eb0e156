"""Plans of one signal made at random: any form of any bundled rulebook, wired to one or two boards."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from lampwright.layout import Layout, Settings
from lampwright.plans import load
from lampwright.rulebooks.displays import reader
from lampwright_proving.standing import standing
from support import bundled, library

if TYPE_CHECKING:
    from random import Random

    from lampwright_proving.standing import Standing


@cache
def forms(most: int) -> tuple[tuple[str, str], ...]:
    """Return rulebooks with forms of two lamps or more, up to a number of lamps."""
    found = [
        (book, form)
        for book in library().ids
        for form in bundled(book).forms
        if 2 <= sum(map(len, lamps_of(book, form).values())) <= most
    ]
    return tuple(sorted(found))


@cache
def lamps_of(book: str, form: str) -> dict[str, tuple[str, ...]]:
    """Return the lamps of a form with their colours."""
    from lampwright.placed import lamp_of

    reads = reader(bundled(book), form)
    return {name: lamp_of(reads, name).colours for name in reads.lamps}


def random_standing(luck: Random, most: int = 6) -> Standing:
    """Return a signal on the bench that has something to show."""
    while True:
        book, form = luck.choice(forms(most))
        stands = standing(Layout(load(values(luck, book, form), "plan.yaml"), library(), Settings()), ["HF1"])
        if stands.tables and len(stands.bench.commands) > 1 and 2 <= len(stands.bench.lights) <= most:
            return stands


def values(luck: Random, book: str, form: str) -> dict[str, object]:
    """Return the values of a plan with one signal, its outputs in any order."""
    lamps = lamps_of(book, form)
    outputs = [f"{luck.choice('AAAB')}.{number}" for number in range(sum(map(len, lamps.values())))]
    luck.shuffle(outputs)
    wired = {
        name: outputs.pop() if len(colours) == 1 else {colour: outputs.pop() for colour in colours}
        for name, colours in lamps.items()
    }
    boards = {name: {"kind": "pwm-16"} for name in "AB"}
    return {
        "plan": 1,
        "rulebook": book,
        "boards": boards,
        "leds": {"yellow": {"level": "80 %"}},
        "signals": {"HF1": {"form": form, "lamps": wired}},
    }
