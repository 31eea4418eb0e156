"""Names in a rulebook that lead nowhere: lamps, aspects, forms, indicators, plates, letters, sources."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.rulebooks.anatomy import UNLIT_STATES, Anatomy, anatomy
from lampwright.rulebooks.patterns import letters_known
from lampwright.rulebooks.sources import WITHOUT_ENTRY
from lampwright.words import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from lampwright.findings import Path
    from lampwright.rulebooks.model import Form, Rulebook

Unknown = tuple["Path", str, str]
"""Where a name stands, what is wrong with it, and what would have been right."""


def unknown_names(rulebook: Rulebook) -> list[Unknown]:
    """Return every name of a rulebook that leads nowhere."""
    found = [*_in_order(rulebook), *_in_aspects(rulebook), *_in_indicators(rulebook), *_in_sequence(rulebook)]
    for name, form in rulebook.forms.items():
        found += _in_form(rulebook, name, form)
    return [*found, *_sources(rulebook, rulebook.values, ())]


def _in_order(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield unknown aspects in the order of restriction."""
    for row, chain in enumerate(rulebook.chains):
        for column, aspect in enumerate(chain):
            yield from _unknown(aspect, rulebook.aspects, "aspects", ("order", row, column))
    for row, item in enumerate(rulebook.incomparable):
        for column, aspect in enumerate(item.pair):
            yield from _unknown(aspect, rulebook.aspects, "aspects", ("incomparable", row, "pair", column))


def _in_aspects(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield patterns with letters that the notation does not have."""
    for name, aspect in rulebook.aspects.items():
        for texts in aspect.patterns.values():
            for text in texts:
                if not letters_known(rulebook, text):
                    tip = f"the notation has {', '.join(rulebook.notation)}"
                    yield ("aspects", name, "patterns"), f"the pattern {text} uses a letter the notation lacks", tip


def _in_indicators(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield confusable positions that an indicator does not have."""
    for name, indicator in rulebook.indicators.items():
        for row, pair in enumerate(indicator.confusable):
            for column, position in enumerate(pair):
                path = ("indicators", name, "confusable", row, column)
                yield from _unknown(position, indicator.positions, "positions", path)
    for name, regime in rulebook.regimes.items():
        if regime.told_by:
            yield from _unknown(regime.told_by, rulebook.plates, "plates", ("regimes", name, "told-by"))


def _in_sequence(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield unknown aspects that a rule of the sequence shows."""
    for role, rules in rulebook.sequence.items():
        for row, rule in enumerate(rules):
            base: Path = ("sequence", role, row) if role else ("sequence", row)
            for key, aspects in (("show", rule.show), ("may", rule.may)):
                for aspect in aspects:
                    yield from _unknown(aspect, rulebook.aspects, "aspects", (*base, key))


def _in_form(rulebook: Rulebook, name: str, form: Form) -> Iterator[Unknown]:
    """Yield every name in one form that leads nowhere."""
    base: Path = ("forms", name)
    for part, item in form.parts.items():
        yield from _unknown(item.form, rulebook.forms, "forms", (*base, "parts", part, "form"))
    for aspect in form.shows:
        yield from _unknown(aspect, rulebook.aspects, "aspects", (*base, "shows", aspect))
    for key, aspects in (("optional", form.optional), ("gives", form.gives)):
        for aspect in aspects:
            yield from _unknown(aspect, rulebook.aspects, "aspects", (*base, key))
    if form.in_doubt:
        yield from _unknown(form.in_doubt, rulebook.aspects, "aspects", (*base, "in-doubt"))
    for indicator in form.indicators:
        yield from _unknown(indicator, rulebook.indicators, "indicators", (*base, "indicators"))
    for plate in form.plates:
        yield from _unknown(plate, rulebook.plates, "plates", (*base, "plates"))
    for row, read in enumerate(form.also_read):
        yield from _unknown(read.aspect, rulebook.aspects, "aspects", (*base, "also-read", row, "aspect"))
    if not form.parts:
        yield from _displays(anatomy(rulebook, name, None), form, base)


def _displays(parts: Anatomy, form: Form, base: Path) -> Iterator[Unknown]:
    """Yield elements of displays that the form does not have, and states they cannot be in."""
    known = [*parts.lamps, *parts.faces, *parts.others]
    for aspect, elements in form.shows.items():
        for element, state in elements:
            path = (*base, "shows", aspect)
            if element in parts.others or parts.element(element, state) is not None:
                continue
            if element in parts.lamps or element in parts.faces:
                yield path, f"{element} cannot be {state}", _states(parts, element)
            elif state not in UNLIT_STATES:
                yield path, f"{base[1]} has no {element}", did_you_mean(element, known, "its elements")
    if form.eye_level and form.eye_level not in (*parts.places, *parts.faces):
        yield (*base, "eye-level"), f"{base[1]} has no {form.eye_level}", did_you_mean(form.eye_level, known)


def _states(parts: Anatomy, element: str) -> str:
    """Return the states an element can be in, as a tip."""
    states = parts.faces.get(element) or parts.tokens(element)
    return f"it can be {', '.join(states)}"


def _sources(rulebook: Rulebook, value: Any, path: Path) -> Iterator[Unknown]:
    """Yield sources that are named anywhere but not listed."""
    known = (*rulebook.sources, *WITHOUT_ENTRY)
    if isinstance(value, dict) and path != ("sources",):
        stated = [(("source",), value.get("source")), *((("source-of", k), v) for k, v in _source_of(value))]
        for steps, names in stated:
            for name in names if isinstance(names, list) else [names] if names else []:
                yield from _unknown(str(name).partition(" ")[0], known, "sources", (*path, *steps))
        for key, child in value.items():
            if key not in ("source", "source-of"):
                yield from _sources(rulebook, child, (*path, key))
    elif isinstance(value, list):
        for position, child in enumerate(value):
            yield from _sources(rulebook, child, (*path, position))


def _source_of(value: dict[str, Any]) -> list[tuple[str, Any]]:
    """Return the entries of a ``source-of`` map."""
    entries = value.get("source-of")
    return list(entries.items()) if isinstance(entries, dict) else []


def _unknown(name: str, known: Collection[str], what: str, path: Path) -> Iterator[Unknown]:
    """Yield a fault if the name is not known."""
    if name not in known:
        yield path, f"{name} is not among the {what}", did_you_mean(name, known, what)
