"""Forms as a driver sees them: where which lamps are, and what marks the post has; their names do not show."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.rulebooks.displays import Kind, reader
from lampwright.rulebooks.epochs import epochs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.rulebooks.meanings import Meaning

Look = tuple[Any, ...]


class Seen(Struct, frozen=True, eq=False, dict=True):
    """A form with its lamps by what is seen of each."""

    form: FormReader
    lamps: dict[Look, str]

    def told_by(self, other: Seen) -> Iterator[tuple[Meaning, Meaning]]:
        """Yield the displays of this form that mean another aspect on the other, with what they mean there."""
        there = {lamp: other.lamps[look] for look, lamp in self.lamps.items()}
        for meaning in self.form.meanings:
            display = {there.get(name, name): state for name, state in self.form.display(meaning).items()}
            reading = other.form.read(display)
            own = self.form.read(self.form.display(meaning))
            if own.aspect == meaning.aspect and reading.kind is Kind.ASPECT and reading.aspect != meaning.aspect:
                yield meaning, reading.meanings[0]


def alike(rulebook: Rulebook) -> Iterator[tuple[Seen, Seen]]:
    """Yield every two forms that look alike in some span of years, as they read in it."""
    for epoch in epochs(rulebook):
        groups: dict[Look, list[Seen]] = {}
        for name, form in rulebook.forms.items():
            seen = _seen(reader(rulebook, name, epoch)) if form.years.meets(epoch) and not form.parts else None
            if seen is not None:
                marks = tuple(sorted(form.marks.items()))
                groups.setdefault((frozenset(seen.lamps), marks, form.mount), []).append(seen)
        for group in groups.values():
            yield from combinations(group, 2)


def _seen(form: FormReader) -> Seen | None:
    """Return a form as it is seen; None if the place of a lamp is not said, or two lamps are in one place."""
    lamps: dict[Look, str] = {}
    for name, lamp in form.anatomy.lamps.items():
        lamps.setdefault((lamp.at, frozenset(lamp.colours), lamp.size), name)
    placed = all(lamp.at for lamp in form.anatomy.lamps.values())
    return Seen(form, lamps) if placed and len(lamps) == len(form.anatomy.lamps) else None
