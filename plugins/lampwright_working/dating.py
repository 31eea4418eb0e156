"""The years in which everything a plan uses existed together, and what bounds them."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.years import BEGINNING, END, Years
from lampwright_working.dated import Use, clashes, uses
from lampwright_working.phases import Phase, cut, phases

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.layout import Layout
    from lampwright_working.dated import Dated, Time


class Bound(Struct, frozen=True):
    """What keeps a plan out of some years: a thing with the signals that use it.

    ``missing`` is the aspect that the signals are asked for in those years and cannot show, if that is why.
    """

    use: Use
    missing: str = ""


class Spell(Struct, frozen=True):
    """Years in which everything existed together, and what keeps the plan out of those before and after."""

    years: Years
    lower: tuple[Bound, ...]
    upper: tuple[Bound, ...]


class Never(Struct, frozen=True):
    """Why there are no such years: ``met`` are the two things that never met, the earlier one first.

    Where it is not two things alone, ``pieces`` say what is against each span of years in which everything named was in
    use.
    """

    met: tuple[Bound, Bound] | None
    pieces: tuple[tuple[Years, tuple[Bound, ...]], ...] = ()


class Otherwise(Struct, frozen=True):
    """What a source that disagrees about one thing makes of the years."""

    use: Use
    time: Time
    years: tuple[Years, ...]


class Dating:
    """When a plan can be set.

    Time is cut into pieces in which nothing that matters begins or ends. A piece is good if everything the plan names
    was in use, and every signal can show what the sequence of those years asks of it.
    """

    def __init__(self, layout: Layout) -> None:
        """Gather what the plan uses, and what is asked of it in which years."""
        self.layout = layout
        self.named = uses(layout)
        found = tuple(clashes(layout))
        self.clashes = tuple(clash for clash in found if clash.other is None)
        self.doubts = tuple(clash for clash in found if clash.other is not None)
        self.apart = tuple(signal for signal in layout.signals.values() if signal.entry.year)
        self._phases = phases(layout)
        spans = [use.thing.time.years for use in self.named] + [phase.years for phase in self._phases]
        self._pieces = cut(spans)

    @cached_property
    def spells(self) -> tuple[Spell, ...]:
        """The spans of good years with what bounds each; none if there are none."""
        if self.clashes:
            return ()
        good = merged(piece for piece in self._pieces if not self._against(piece))
        return tuple(Spell(span, self._at(span.first - 1), self._at(span.last + 1)) for span in good)

    @property
    def years(self) -> tuple[Years, ...]:
        """The spans of good years."""
        return tuple(spell.years for spell in self.spells)

    @cached_property
    def used(self) -> tuple[Use, ...]:
        """Everything dated that the plan names, then the aspects its routes ask for in good years, or else in any."""
        users = {use.thing: dict.fromkeys(use.signals) for use in self.named}
        for phase in self._phases:
            if not self.spells or any(span.meets(phase.years) for span in self.years):
                for dated, names in phase.asked.items():
                    users.setdefault(dated, {}).update(dict.fromkeys(names))
        return tuple(Use(dated, tuple(names)) for dated, names in users.items())

    @cached_property
    def never(self) -> Never | None:
        """Why there are no good years; None if there are, or if signals were put up out of time (see ``clashes``)."""
        if self.spells or self.clashes:
            return None
        together = [piece for piece in self._pieces if not any(self._unused(piece))]
        against = [(piece, self._against(piece)) for piece in together]
        everywhere = (
            [bound for bound in against[0][1] if all(bound in other for _, other in against)] if against else []
        )
        bounds = [*(Bound(use) for use in self.named), *everywhere]
        came = max(bounds, key=lambda bound: bound.use.thing.time.years.first)
        went = min(bounds, key=lambda bound: bound.use.thing.time.years.last)
        if came.use.thing.time.years.first > went.use.thing.time.years.last:
            return Never((went, came))
        return Never(None, tuple(against))

    @cached_property
    def otherwise(self) -> tuple[Otherwise, ...]:
        """What sources that disagree make of the years, where these are others."""
        if self.clashes:
            return ()
        found = (
            Otherwise(use, time, self._if(use.thing, time.years)) for use in self.used for time in use.thing.others
        )
        return tuple(other for other in found if other.years != self.years)

    def _if(self, changed: Dated, years: Years) -> tuple[Years, ...]:
        """Return what would be good years if one thing had other years than are taken for it."""
        pieces = cut([*self._pieces, years])
        return merged(piece for piece in pieces if self._good_if(piece, changed, years))

    def _good_if(self, piece: Years, changed: Dated, years: Years) -> bool:
        """Tell whether a piece would be good if one thing had other years."""
        inside = years.covers(piece)
        if any(not (inside if use.thing == changed else use.thing.time.years.covers(piece)) for use in self.named):
            return False
        phase = self._phase(piece)
        if phase is None:
            return True
        asked = changed in phase.asked or any(item.cause == changed for item in phase.missing)
        others = any(item.cause != changed for item in phase.missing)
        return not others and (inside or not asked)

    def _against(self, piece: Years) -> tuple[Bound, ...]:
        """Return what keeps the plan out of a piece of time."""
        phase = self._phase(piece)
        missing: dict[tuple[Dated, str], list[str]] = {}
        for item in phase.missing if phase else ():
            missing.setdefault((item.cause, item.aspect), []).append(item.signal)
        lacking = (Bound(Use(cause, tuple(names)), aspect) for (cause, aspect), names in missing.items())
        return (*(Bound(use) for use in self._unused(piece)), *lacking)

    def _unused(self, piece: Years) -> Iterator[Use]:
        """Yield what the plan names that was not in use in a piece of time."""
        return (use for use in self.named if not use.thing.time.years.covers(piece))

    def _at(self, year: int) -> tuple[Bound, ...]:
        """Return what keeps the plan out of a year; nothing before and after all time."""
        if not BEGINNING <= year <= END:
            return ()
        return next(self._against(piece) for piece in self._pieces if piece.first <= year <= piece.last)

    def _phase(self, piece: Years) -> Phase | None:
        """Return the phase that a piece of time lies in."""
        return next((phase for phase in self._phases if phase.years.covers(piece)), None)


def merged(pieces: Iterable[Years]) -> tuple[Years, ...]:
    """Return pieces of time in order, those that touch made one."""
    found: list[Years] = []
    for piece in pieces:
        if found and found[-1].last + 1 == piece.first:
            found[-1] = Years(found[-1].first, piece.last)
        else:
            found.append(piece)
    return tuple(found)
