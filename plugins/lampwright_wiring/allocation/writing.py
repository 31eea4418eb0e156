"""Outputs as changes to the plan: the least that says them, wherever the lamps of a signal are told."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Any

from lampwright.edits import Change
from lampwright_wiring.places import value_at

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Path
    from lampwright.layout import BoundSignal, Layout
    from lampwright_wiring.allocation.needs import Need
    from lampwright_wiring.model import WiredLamp

Given = list[tuple["WiredLamp", list[str]]]
"""Lamps of one signal with the outputs they are given, as a plan writes them."""


def changes(layout: Layout, outputs: Mapping[Need, list[str]], boards: Mapping[str, Any]) -> list[Change]:
    """Return the changes that give needs their outputs and add boards."""
    by_signal: dict[str, Given] = {}
    for need, names in outputs.items():
        by_signal.setdefault(need.signal, []).extend(_of_lamps(need, names))
    found = [change for name, given in by_signal.items() for change in _of_signal(layout, layout.signals[name], given)]
    if boards and layout.plan.values.get("boards") is not None:
        found += [Change.add(("boards",), name, entry) for name, entry in boards.items()]
    elif boards:
        made = Change.replace(("boards",), dict(boards)) if "boards" in layout.plan.values else None
        found.append(made or Change.add((), "boards", dict(boards)))
    return found


def _of_lamps(need: Need, names: list[str]) -> Iterator[tuple[WiredLamp, list[str]]]:
    """Yield the lamps of a need with their outputs; the second colour of an LED between two has them turned round."""
    for place, lamp in enumerate(need.lamps):
        yield lamp, names[::-1] if place else names


def _of_signal(layout: Layout, signal: BoundSignal, given: Given) -> Iterator[Change]:
    """Yield the changes of one signal: to its lamps, then to what it carries."""
    for key, mine in (
        ("lamps", [one for one in given if not one[0].indicator]),
        ("carries", [one for one in given if one[0].indicator]),
    ):
        if mine and key == "lamps" and signal.entry.lamps is None:
            yield Change.add(signal.path, key, _told(signal, mine))
        elif mine and key == "carries" and signal.entry.carries is None:
            yield Change.add(signal.path, key, _carried(signal, mine))
        elif mine and (key in signal.entry.inherited or _in_list(layout, signal, key)):
            yield _whole(layout, signal, key, mine)
        else:
            yield from (_one(layout, lamp, names) for lamp, names in mine)


def _in_list(layout: Layout, signal: BoundSignal, key: str) -> bool:
    """Tell whether indicators are told without a place for outputs: by name, or as a list of names."""
    return key == "carries" and not isinstance(value_at(layout, (*signal.path, key)), dict)


def _one(layout: Layout, lamp: WiredLamp, names: list[str]) -> Change:
    """Return the change that gives a lamp its outputs where it is told."""
    said = value_at(layout, lamp.path)
    if isinstance(said, dict):
        key, value = _output(names)
        return Change.replace((*lamp.path, key), value) if key in said else Change.add(lamp.path, key, value)
    if isinstance(lamp.path[-1], int):
        return Change.replace(lamp.path, {str(said): _plain(names)})
    return Change.replace(lamp.path, _plain(names))


def _whole(layout: Layout, signal: BoundSignal, key: str, given: Given) -> Change:
    """Return the change that tells lamps or indicators anew: of a signal that has them of another, or as a list."""
    base: Path = signal.entry.at(key)
    value = deepcopy(value_at(layout, base))
    if key == "carries" and not isinstance(value, dict):
        value = {str(name): None for name in (value if isinstance(value, list) else [value])}
        for lamp, names in given:
            name = str(value_at(layout, lamp.path)) if lamp.path != base else next(iter(value))
            value[name] = _plain(names)
    else:
        value = _bare(value)
        for lamp, names in given:
            _put(value, lamp.path[len(base) :], names)
    own = key not in signal.entry.inherited
    return Change.replace(base, value) if own else Change.add(signal.path, key, value)


def _put(value: Any, path: Path, names: list[str]) -> None:
    """Give a lamp its outputs in values that are to be written."""
    *way, last = path
    for step in way:
        value = value[step]
    said = value[last]
    if isinstance(said, dict):
        key, outputs = _output(names)
        said[key] = outputs
    else:
        value[last] = {str(said): _plain(names)} if isinstance(last, int) else _plain(names)


def _bare(value: Any) -> Any:
    """Return lamps without the outputs of the signal they come from."""
    from lampwright.tables.lamps import PLACES

    if isinstance(value, list):
        return [_bare(one) for one in value]
    if isinstance(value, dict):
        return {key: _bare(held) for key, held in value.items() if key not in PLACES}
    return value


def _told(signal: BoundSignal, given: Given) -> Any:
    """Return lamps of which the plan tells nothing: from the top down where they are one column, else by name."""
    if signal.reader is not None and signal.reader.column is not None and not any(lamp.many for lamp, _ in given):
        return [{lamp.colour: _plain(names)} for lamp, names in given]
    told: dict[str, Any] = {}
    for lamp, names in given:
        if lamp.many:
            told.setdefault(lamp.name, {})[lamp.colour] = _plain(names)
        else:
            told[lamp.name] = _plain(names)
    return told


def _carried(signal: BoundSignal, given: Given) -> dict[str, Any]:
    """Return indicators that only routes tell of; with their full name where the short one is another's."""
    carried: dict[str, Any] = {}
    for lamp, names in given:
        full, short = lamp.names[0], lamp.names[-1]
        name = short if signal.indicator(short) == signal.indicator(full) else full
        if lamp.content:
            carried.setdefault(name, {})[lamp.content] = _plain(names)
        else:
            carried[name] = _plain(names)
    return carried


def _plain(names: list[str]) -> Any:
    """Return outputs as all that is said of a lamp."""
    return names[0] if len(names) == 1 else {"outputs": list(names)}


def _output(names: list[str]) -> tuple[str, Any]:
    """Return the key and value that say outputs among other details."""
    return ("output", names[0]) if len(names) == 1 else ("outputs", list(names))


def as_told(outputs: Mapping[Need, list[str]]) -> list[tuple[WiredLamp, list[str]]]:
    """Return every lamp with its outputs."""
    return [told for need, names in outputs.items() for told in _of_lamps(need, names)]
