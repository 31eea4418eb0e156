"""``like``: copying a named thing, or a whole rulebook, and remembering where each value was written."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct, field

from lampwright.findings import Path, Spot
from lampwright.words import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.model import Rulebook

NAMED_SECTIONS = (
    "sources",
    "states",
    "colours",
    "notation",
    "speeds",
    "eras",
    "parameters",
    "aspects",
    "forms",
    "indicators",
    "plates",
    "regimes",
)


class Copies(Struct):
    """What was copied from where, and the copies that could not be made."""

    file: str
    origins: dict[Path, Spot] = field(default_factory=dict)
    faults: list[tuple[Spot, str, str]] = field(default_factory=list)

    def origin(self, path: Path) -> Spot:
        """Return where the value at ``path`` was written."""
        for length in range(len(path), 0, -1):
            if spot := self.origins.get(path[:length]):
                return Spot(spot.file, spot.path + path[length:])
        return Spot(self.file, path)


def resolve(section: str, things: Mapping[str, Any], copies: Copies) -> dict[str, Any]:
    """Return the things of a section with every ``like`` replaced by what it copies.

    A key given beside ``like`` replaces that key whole.
    """
    resolver = _Resolver(section, things, copies)
    return {name: resolver.one(name) for name in things}


class _Resolver:
    """Resolves the things of one section, and first what each is like."""

    def __init__(self, section: str, things: Mapping[str, Any], copies: Copies) -> None:
        self._section = section
        self._things = things
        self._copies = copies
        self._done: dict[str, Any] = {}

    def one(self, name: str) -> Any:
        """Return one thing resolved. What it is like comes first, without end to how many stand in a row."""
        row: dict[str, None] = {}
        last: str | None = name
        while last is not None and last in self._things and last not in self._done and last not in row:
            row[last] = None
            last = self._model(last)
        for waiting in reversed(row):
            thing = self._things[waiting]
            self._done[waiting] = thing if self._model(waiting) is None else self._copied(waiting, thing)
        return self._done[name]

    def _model(self, name: str) -> str | None:
        """Return what a thing is like; None if it is like nothing."""
        thing = self._things[name]
        return str(thing["like"]) if isinstance(thing, dict) and "like" in thing else None

    def _copied(self, name: str, thing: dict[str, Any]) -> Any:
        """Return a thing filled from the one it is like."""
        own = {key: value for key, value in thing.items() if key != "like"}
        model = str(thing["like"])
        if model not in self._done:
            self._fault(name, model)
            return own
        copied = self._done[model]
        if not isinstance(copied, dict):
            return copied
        for key in copied.keys() - own.keys():
            origin = self._copies.origin((self._section, model, key))
            self._copies.origins[self._section, name, key] = origin
        return {**copied, **own}

    def _fault(self, name: str, model: str) -> None:
        """Remember a ``like`` that leads nowhere or in a circle."""
        spot = self._copies.origin((self._section, name, "like"))
        slip, tip = "leads back to itself", ""
        if model not in self._things:
            slip, tip = "is not there", did_you_mean(model, self._things)
        self._copies.faults.append((spot, f"{name} is like {model}, which {slip}", tip))


def merge_rulebooks(values: Mapping[str, Any], base: Rulebook, copies: Copies) -> dict[str, Any]:
    """Return a rulebook's values laid over those of the one it is like; named things replace namesakes."""
    merged: dict[str, Any] = {**base.values, **values}
    for key in base.values:
        if key not in values:
            copies.origins[(key,)] = base.spot(key)
    for section in NAMED_SECTIONS:
        if section in values and section in base.values:
            merged[section] = {**base.values[section], **values[section]}
            inherited = (name for name in base.values[section] if name not in values[section])
            copies.origins.update({(section, name): base.spot(section, name) for name in inherited})
    merged.pop("like", None)
    return merged
