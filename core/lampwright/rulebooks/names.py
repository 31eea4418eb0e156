"""Names in a rulebook that lead nowhere: everything that is called by a name must have been given it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.rulebooks import colours
from lampwright.rulebooks.anatomy import DARK, LIT, UNLIT_STATES, boxes, told_by
from lampwright.rulebooks.flashing import FLASH
from lampwright.rulebooks.names_in_conditions import (
    each,
    in_aspect_test,
    in_condition,
    in_indication,
    in_speeds,
    unknown,
)
from lampwright.rulebooks.names_in_forms import in_form
from lampwright.rulebooks.patterns import Pattern, letters_known
from lampwright.rulebooks.sources import WITHOUT_ENTRY

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.findings import Path
    from lampwright.rulebooks.model import Rulebook
    from lampwright.rulebooks.names_in_conditions import Unknown

OF_SPEED = frozenset({"speed", "speed-now", "speed-next"})
"""Facts whose rows and columns in a table are words for speeds."""
HEADINGS = ("stop", "line")
PARTLY = ("source-of", "disputed")
"""Keys that name sources of single data of a map."""
DEEP = (dict, list)


def unknown_names(rulebook: Rulebook) -> list[Unknown]:
    """Return every name of a rulebook that leads nowhere."""
    found = [*_in_order(rulebook), *_in_states(rulebook), *_in_aspects(rulebook), *_in_indicators(rulebook)]
    for name, form in rulebook.forms.items():
        found += in_form(rulebook, name, form)
    return [*found, *_in_sequence(rulebook), *_in_sources(rulebook)]


def _in_order(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield unknown aspects in the order of restriction and in runs that are forbidden."""
    for row, chain in enumerate(rulebook.chains):
        for column, aspect in enumerate(chain):
            yield from unknown(aspect, rulebook.aspects, "aspects", ("order", row, column))
    for row, item in enumerate(rulebook.incomparable):
        for column, aspect in enumerate(item.pair):
            yield from unknown(aspect, rulebook.aspects, "aspects", ("incomparable", row, "pair", column))
    for row, never in enumerate(rulebook.never):
        for column, aspects in enumerate(never["run"]):
            for aspect in _listed(aspects):
                yield from unknown(aspect, rulebook.aspects, "aspects", ("never", row, "run", column))


def _in_states(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield states, colours and workings that are said to be like ones that are not there."""
    states = (*rulebook.states, FLASH, LIT, DARK)
    for name, said in rulebook.states.items():
        for key in ("like", "as"):
            if isinstance(said, dict) and key in said:
                yield from unknown(said[key], states, "states", ("states", name, key))
    for name, said in rulebook.colours.items():
        if isinstance(said, dict) and "like" in said:
            yield from unknown(said["like"], colours.known(rulebook), "colours", ("colours", name, "like"))
    for name, regime in rulebook.regimes.items():
        if regime.told_by:
            yield from unknown(regime.told_by, rulebook.plates, "plates", ("regimes", name, "told-by"))
        if regime.every_lamp:
            yield from unknown(regime.every_lamp, states, "states", ("regimes", name, "every-lamp"))


def _in_aspects(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield elements that no form has, letters and marks of patterns that nothing has, and what is said wrongly."""
    elements = _elements(rulebook)
    for name, aspect in rulebook.aspects.items():
        base: Path = ("aspects", name)
        yield from in_indication(rulebook, aspect.says, (*base, "says"))
        for element, state in aspect.shows or () if rulebook.forms else ():
            if state not in UNLIT_STATES:
                yield from unknown(element, elements, "elements of any form", (*base, "shows"))
        for mount, texts in aspect.patterns.items():
            path = (*base, "patterns", *([mount] if mount else []))
            for text in texts:
                if not letters_known(rulebook, text):
                    tip = f"the notation has {', '.join(rulebook.notation)}"
                    yield path, f"the pattern {text} uses a letter the notation lacks", tip
                for extra in Pattern.parse(text).extras if rulebook.forms else ():
                    yield from unknown(rulebook.notation.get(extra, extra), elements, "elements of any form", path)


def _elements(rulebook: Rulebook) -> frozenset[str]:
    """Return everything that a display can name on some form."""
    found = set(told_by(rulebook))
    for form in rulebook.forms.values():
        lamps = (
            f"{name}.{lamp}" for name, head in form.heads.items() for lamp in _lamps(rulebook, head.lamps, head.letters)
        )
        found.update(form.lamps, form.heads, lamps, form.plates, form.marks, boxes(rulebook, form))
    return frozenset(found)


def _lamps(rulebook: Rulebook, lamps: Mapping[str, Any], letters: str) -> Iterable[str]:
    """Return the names of a head's lamps inside it."""
    return lamps or (rulebook.notation.get(letter, letter) for letter in letters)


def _in_indicators(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield unknown positions, colours, speeds and conditions of indicators."""
    for name, indicator in rulebook.indicators.items():
        base: Path = ("indicators", name)
        for row, pair in enumerate(indicator.confusable):
            for column, position in enumerate(pair):
                yield from unknown(position, indicator.positions, "positions", (*base, "confusable", row, column))
        for path, colour in (((*base, "colour"), indicator.colour), ((*base, "lamps"), indicator.lamps.get("colour"))):
            if colour:
                yield from unknown(colour, colours.known(rulebook), "colours", path)
        for state, said in indicator.shows.items():
            yield from in_speeds(rulebook, said, (*base, "shows", state))
        if indicator.stands_with is not None:
            yield from in_aspect_test(rulebook, indicator.stands_with, (*base, "stands-with"))
        for when in _listed(indicator.needed):
            yield from in_condition(rulebook, when, (*base, "needed"))


def _in_sequence(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield unknown names in the conditions of rules, in what they show, and in tables."""
    for role, rules in rulebook.sequence.items():
        for row, rule in enumerate(rules):
            base: Path = ("sequence", role, row) if role else ("sequence", row)
            yield from in_condition(rulebook, rule.when, (*base, "when"))
            for key, aspects in (("show", rule.show), ("may", rule.may)):
                for path, aspect in each((*base, key), aspects):
                    yield from unknown(aspect, rulebook.aspects, "aspects", path)
            if rule.table:
                yield from _in_table(rulebook, rule.table, (*base, "table"))


def _in_table(rulebook: Rulebook, table: Mapping[str, Any], path: Path) -> Iterator[Unknown]:
    """Yield rows and columns that are no words for speeds, and unknown aspects in cells."""
    speeds = (*rulebook.speeds, *HEADINGS)
    down, across = (str(table[side]).rpartition(".")[2] in OF_SPEED for side in ("down", "across"))
    for row, cells in table["cells"].items():
        if down:
            yield from unknown(row, speeds, "speeds", (*path, "cells", row))
        for column, aspects in cells.items():
            place = (*path, "cells", row, column)
            if across:
                yield from unknown(column, speeds, "speeds", place)
            for aspect in _listed(aspects) if aspects else ():
                yield from unknown(aspect, rulebook.aspects, "aspects", place)


def _in_sources(rulebook: Rulebook) -> Iterator[Unknown]:
    """Yield sources that are named anywhere but not listed; places are worked out only if there is one."""
    known = {*rulebook.sources, *WITHOUT_ENTRY}
    if not all(str(name).partition(" ")[0] in known for name in _named(rulebook.values)):
        yield from _sources(rulebook, rulebook.values, ())


def _named(values: Mapping[str, Any]) -> Iterator[Any]:
    """Yield every source that is named, wherever it is."""
    waiting: list[Any] = [{key: said for key, said in values.items() if key != "sources"}]
    while waiting:
        value = waiting.pop()
        if isinstance(value, dict):
            for key, said in value.items():
                if key == "source":
                    yield from _listed(said)
                elif key in PARTLY:
                    for names in said.values() if isinstance(said, dict) else ():
                        yield from _listed(list(names) if isinstance(names, dict) else names)
                elif said.__class__ in DEEP:
                    waiting.append(said)
        else:
            waiting += [said for said in value if said.__class__ in DEEP] if isinstance(value, list) else []


def _sources(rulebook: Rulebook, value: Any, path: Path) -> Iterator[Unknown]:
    """Yield sources that are named anywhere in a value but not listed."""
    if isinstance(value, dict) and path != ("sources",):
        yield from _stated(rulebook, value, path)
        for key, child in value.items():
            if key not in ("source", *PARTLY):
                yield from _sources(rulebook, child, (*path, key))
    elif isinstance(value, list):
        for position, child in enumerate(value):
            yield from _sources(rulebook, child, (*path, position))


def _stated(rulebook: Rulebook, value: dict[str, Any], path: Path) -> Iterator[Unknown]:
    """Yield unknown sources that one map names."""
    known = (*rulebook.sources, *WITHOUT_ENTRY)
    stated: list[tuple[Path, Any]] = [(("source",), value["source"])] if "source" in value else []
    for key in PARTLY:
        said = value.get(key)
        if isinstance(said, dict):
            stated += [
                ((key, dotted), list(names) if isinstance(names, dict) else names) for dotted, names in said.items()
            ]
    for steps, names in stated:
        for name in _listed(names):
            yield from unknown(str(name).partition(" ")[0], known, "sources", (*path, *steps))


def _listed(value: Any) -> list[Any]:
    """Return a list; a lone word is a list of one."""
    return value if isinstance(value, list) else [value]
