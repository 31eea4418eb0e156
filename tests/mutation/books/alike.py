"""Proofs that a slip in a rulebook changes nothing that is asked of it.

What the program takes from a rulebook is asked of both, the one with the slip and the one without: every display of
every form in every span of years, and how it reads whole and with one lamp lost; which aspect is freer; beside which
aspects an indicator may be lit; what the sequence asks in every situation that either of the two tells apart. All other
data must be equal as they are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec.structs import replace

from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.epochs import epochs
from lampwright.rulebooks.sequence import fits
from lampwright_soundness.situations import explored
from support import bundled

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lampwright.rulebooks import Rulebook
    from lampwright.years import Years
    from lampwright_soundness.situations import Situations

PROOF: Final = "every display reads alike, the order is the same, and so is what is asked in every situation"
ASKED: Final = {"aspects", "chains", "incomparable", "forms", "indicators", "sequence"}
"""Fields of a rulebook of which it is asked, and not compared, whether they say the same."""


def proof(path: Path, after: Rulebook | None) -> str:
    """Return how a changed rulebook is shown to say the same; empty if it does not."""
    before = bundled(path.parent.name)
    if after is None or plain(before) != plain(after) or answers(before) != answers(after):
        return ""
    return PROOF if followed(before, after) else ""


def plain(book: Rulebook) -> Any:
    """Return everything of a rulebook that no question is asked of."""
    said = book.__struct_fields__[: book.__struct_fields__.index("file")]
    forms = {name: replace(form, shows={}, also_read=()) for name, form in book.forms.items()}
    aspects = {name: replace(aspect, shows=None, patterns={}) for name, aspect in book.aspects.items()}
    indicators = {name: replace(box, stands_with=None) for name, box in book.indicators.items()}
    return [getattr(book, name) for name in said if name not in ASKED], forms, aspects, indicators


def answers(book: Rulebook) -> Any:
    """Return how everything that any form can show reads, which aspect is freer, and beside which a box may be lit."""
    readings = {
        (name, epoch, meaning.aspect, meaning.lamps, meaning.tests, meaning.commanded)
        for epoch in epochs(book)
        for name in book.forms
        for meaning in reader(book, name, epoch).meanings
    }
    order = {(one, two): book.order.less_restrictive(one, two) for one in book.aspects for two in book.aspects}
    beside = {
        (name, aspect): not box.stands_with or fits(book, {"here": box.stands_with}, {"here": aspect})
        for name, box in book.indicators.items()
        for aspect in book.aspects
    }
    return readings, order, beside


def followed(before: Rulebook, after: Rulebook) -> bool:
    """Tell whether the sequence asks the same of both, in every situation that either tells apart.

    A situation of the one is taken on by the other: what that asks besides is tried in all its values.
    """
    known, changed = (dict(sequences(book)) for book in (before, after))
    if known.keys() != changed.keys():
        return False
    return all(
        outcome.shown(gives) == other.shown(gives)
        for key, mine in known.items()
        for outcome in mine.outcomes()
        for other in changed[key].outcomes(start=outcome.facts)
        for gives in set(mine.forms.values()) | set(changed[key].forms.values())
    )


def sequences(book: Rulebook) -> Iterator[tuple[tuple[str, Years], Situations]]:
    """Yield the sequence of each role in each span of years."""
    yield from (((made.role, made.epoch), made) for made, _ in explored(book))
