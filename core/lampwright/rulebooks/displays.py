"""Reading a display: one aspect, none, or ambiguous; and what a form can give."""

from __future__ import annotations

from enum import StrEnum
from functools import cached_property
from itertools import product
from math import prod
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.rulebooks.anatomy import DARK, LIT, Anatomy, anatomy
from lampwright.rulebooks.boxes import FLASH, holds
from lampwright.rulebooks.meanings import Meaning, meanings
from lampwright.rulebooks.posts import dark_by_rule
from lampwright.rulebooks.sight import shape

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.rulebooks.model import Rulebook
    from lampwright.years import Years

Display = dict[str, str]
"""What is physically seen: elements with their states; a lamp that is not named is dark, a plate absent."""


class Kind(StrEnum):
    """What a display turned out to be."""

    ASPECT = "aspect"
    REST = "rest"
    NONE = "none"
    AMBIGUOUS = "ambiguous"


class Reading(Struct, frozen=True):
    """What a driver makes of a display; ``in_doubt`` is the aspect a display that is none counts as."""

    kind: Kind
    aspects: tuple[str, ...] = ()
    in_doubt: str = ""
    meanings: tuple[Meaning, ...] = ()

    @property
    def aspect(self) -> str:
        """The one aspect that was read, or an empty text."""
        return self.aspects[0] if self.kind is Kind.ASPECT else ""

    @property
    def taken_for(self) -> str:
        """The aspect a driver acts on: the one read, or the one that counts in doubt."""
        return self.aspect or self.in_doubt


class FormReader:
    """Reads the displays of one form in given years, under one regime; parts are read each by itself."""

    def __init__(self, rulebook: Rulebook, form: str, years: Years | None, regime: str = "") -> None:
        """Gather every display of the form that means something."""
        self.rulebook = rulebook
        self.name = form
        self.years = years
        self.form = rulebook.forms[form]
        self.regime = rulebook.regimes.get(regime)
        self.anatomy: Anatomy = anatomy(rulebook, form, years)
        self.meanings = tuple(meanings(rulebook, self.anatomy, years, self.regime))
        self.parts = {part: reader(rulebook, item.form, years, regime) for part, item in self.form.parts.items()}
        self._by_lamps: dict[frozenset[tuple[str, str]], list[Meaning]] = {}
        for meaning in self.meanings:
            self._by_lamps.setdefault(meaning.lamps, []).append(meaning)

    @cached_property
    def column(self) -> tuple[tuple[str, str], ...] | None:
        """The lamps, if they are one plain column, top to bottom, each with its colour; None if they are not.

        Heads one above the other are a column too, if it is said where each of their lamps is.
        """
        if self.parts:
            return None
        lamps = self.anatomy.lamps
        places = {lamp: record.at[0] for lamp, record in lamps.items() if len(record.at) == 1}
        if len({place[0] for place in places.values()}) > 1 or len(set(places.values())) != len(lamps):
            return None
        if any(len(record.colours) != 1 for record in lamps.values()):
            return None
        order = sorted(lamps, key=lambda lamp: -places[lamp][1])
        return tuple((lamp, lamps[lamp].colours[0]) for lamp in order)

    def read(self, display: Mapping[str, str]) -> Reading:
        """Read a display of a form without parts.

        Elements are lamps, heads, indicators, plates and marks; an element the form does not have makes no aspect.
        """
        if (told := self._regime_told(display)) and self.regime is None:
            return reader(self.rulebook, self.name, self.years, told).read(display)
        split = self.anatomy.lit(tuple(display.items()))
        if split is None:
            return self._none()
        seen = {**self.form.marks, **dict(split[1])}
        lamps = frozenset(split[0].items())
        fitting = [meaning for meaning in self._by_lamps.get(lamps, ()) if holds(meaning.tests, seen)]
        if not fitting and self.form.read_by == "sight":
            fitting = [item for item in self._by_shape.get(shape(self.anatomy, lamps), ()) if holds(item.tests, seen)]
        return self._reading(fitting, lamps)

    def read_parts(self, display: Mapping[str, str], facts: Mapping[str, Any] | None = None) -> dict[str, Reading]:
        """Read each part of the post from names like ``main.red``; a form without parts is the part ````.

        A part that a coupling keeps dark rests; ``facts`` are those of the route, if they are known.
        """
        if not self.parts:
            return {"": self.read(display)}
        readings = {part: item.read(of_part(display, part)) for part, item in self.parts.items()}
        for part in dark_by_rule(self.rulebook, self.form, readings, facts or {}):
            if not of_part(display, part):
                readings[part] = Reading(Kind.REST)
        return readings

    def at(self, lamp: str) -> tuple[tuple[Any, Any], ...]:
        """Return where a lamp is seen, mirrored if the regime says so; empty if it is not known."""
        if self.parts:
            part, _, rest = lamp.partition(".")
            return self.parts[part].at(rest)
        places = self.anatomy.places[lamp].at
        return tuple((-right, up) for right, up in places) if self.regime and self.regime.mirror else places

    @cached_property
    def gives(self) -> tuple[str, ...]:
        """The aspects whose display reads back as themselves, in the rulebook's order; parts as ``main.clear``."""
        if self.parts:
            return tuple(f"{part}.{aspect}" for part, item in self.parts.items() for aspect in item.gives)
        return tuple(dict.fromkeys(item.aspect for item in self.meanings if item.commanded and self._returns(item)))

    def displays(self, aspect: str) -> tuple[Display, ...]:
        """Return the displays that are commanded for an aspect; the tests on boxes and plates included."""
        if self.parts:
            part, _, rest = aspect.partition(".")
            found = self.parts[part].displays(rest) if part in self.parts else ()
            return tuple({f"{part}.{name}": state for name, state in display.items()} for display in found)
        return tuple(self.display(item) for item in self.meanings if item.aspect == aspect and item.commanded)

    def display(self, meaning: Meaning) -> Display:
        """Return the display of a meaning, lamps in the order of the form; the plate of the regime included."""
        lit = dict(meaning.lamps)
        told = {self.regime.told_by: "present"} if self.regime and self.regime.told_by else {}
        return {lamp: lit[lamp] for lamp in self.anatomy.lamps if lamp in lit} | dict(meaning.tests) | told

    def combinations(self) -> Iterator[Display]:
        """Yield every combination of the lamps' states, all dark first."""
        names = list(self.lamps)
        for tokens in product(*self.lamps.values()):
            yield {name: token for name, token in zip(names, tokens, strict=True) if token != DARK}

    def count(self) -> int:
        """Return how many combinations there are."""
        return prod(len(tokens) for tokens in self.lamps.values())

    @cached_property
    def lamps(self) -> dict[str, tuple[str, ...]]:
        """Every lamp, parts' included, with the tokens it can have."""
        if self.parts:
            return {
                f"{part}.{lamp}": tokens for part, item in self.parts.items() for lamp, tokens in item.lamps.items()
            }
        return {lamp: self.anatomy.tokens(lamp, self._ways) for lamp in self.anatomy.lamps}

    @cached_property
    def _ways(self) -> tuple[str, ...]:
        """Steady, flashing, and in what other states the form's displays have lamps."""
        words = [word for meaning in self.meanings for _, token in meaning.lamps for word in token.split()]
        return tuple(dict.fromkeys((LIT, FLASH, *(word for word in words if word in self.rulebook.states))))

    @cached_property
    def _by_shape(self) -> dict[object, list[Meaning]]:
        """Meanings by what is seen from afar: colours, number and shape."""
        found: dict[object, list[Meaning]] = {}
        for meaning in self.meanings:
            found.setdefault(shape(self.anatomy, meaning.lamps), []).append(meaning)
        return found

    def _regime_told(self, display: Mapping[str, str]) -> str:
        """Return the regime whose plate the display carries."""
        for name, regime in self.rulebook.regimes.items():
            if regime.told_by and display.get(regime.told_by, "absent") != "absent":
                return name
        return ""

    def _reading(self, fitting: list[Meaning], lamps: frozenset[tuple[str, str]]) -> Reading:
        """Judge the meanings that fit: the one that asks for more wins."""
        best = [item for item in fitting if not any(set(item.tests) < set(other.tests) for other in fitting)]
        aspects = tuple(dict.fromkeys(item.aspect for item in best))
        if not aspects:
            return Reading(Kind.REST) if not lamps and self.form.rest == DARK else self._none()
        kind = Kind.ASPECT if len(aspects) == 1 else Kind.AMBIGUOUS
        return Reading(kind, aspects, "" if kind is Kind.ASPECT else self.form.in_doubt, tuple(best))

    def _none(self) -> Reading:
        """Return the reading of a display that is no aspect."""
        return Reading(Kind.NONE, in_doubt=self.form.in_doubt)

    def _returns(self, meaning: Meaning) -> bool:
        """Tell whether a display reads as the aspect it is shown for."""
        return self.read(self.display(meaning)).aspect == meaning.aspect


def reader(rulebook: Rulebook, form: str, years: Years | None = None, regime: str = "") -> FormReader:
    """Return the reader of a form in given years; made once for each rulebook."""
    key = ("reader", form, years and (years.first, years.last), regime)
    if key not in rulebook.cache:
        rulebook.cache[key] = FormReader(rulebook, form, years, regime)
    made: FormReader = rulebook.cache[key]
    return made


def of_part(display: Mapping[str, str], part: str) -> Display:
    """Return the elements of one part, by their names inside it."""
    start = len(part) + 1
    return {name[start:]: state for name, state in display.items() if name.startswith(f"{part}.")}
