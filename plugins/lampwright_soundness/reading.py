"""What reads each form, in every span of years in which it reads differently and under every regime."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.epochs import epochs, in_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Spot
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.meanings import Meaning


def readers(rulebook: Rulebook) -> Iterator[tuple[FormReader, str]]:
    """Yield what reads each form without parts, once for each way it reads; and when and how that is, in words."""
    for name, form in rulebook.forms.items():
        if not form.parts:
            for regime in ("", *rulebook.regimes):
                yield from _over_years(rulebook, name, regime)


def _over_years(rulebook: Rulebook, name: str, regime: str) -> Iterator[tuple[FormReader, str]]:
    """Yield what reads a form under one regime, once for each way it reads."""
    known: set[object] = set()
    for epoch in epochs(rulebook):
        if rulebook.forms[name].years.meets(epoch):
            made = reader(rulebook, name, epoch, regime)
            key = (made.meanings, tuple(made.lamps))
            if key not in known:
                when = in_words(epoch, rulebook.years) if known else ""
                yield made, ", ".join(filter(None, (f"under {regime}" if regime else "", when)))
                known.add(key)


def shown_at(form: FormReader, meaning: Meaning, label: str = "") -> Spot:
    """Return where a display is written."""
    return form.rulebook.spot(*meaning.path, label=label)


def clause(*words: str) -> str:
    """Join the parts of a clause, those that are empty left out."""
    return ", ".join(filter(None, words))
