"""``like``: copying a named thing, or a whole rulebook, and remembering where each value was written."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

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


@dataclass(slots=True)
class Copies:
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
    done: dict[str, Any] = {}
    for name in things:
        _resolve_one(section, name, things, done, copies, ())
    return done


def _resolve_one(
    section: str, name: str, things: Mapping[str, Any], done: dict[str, Any], copies: Copies, chain: tuple[str, ...]
) -> Any:
    """Resolve one thing, and first what it is like."""
    thing = things[name]
    if name in done or not isinstance(thing, dict) or "like" not in thing:
        return done.setdefault(name, thing)
    model = str(thing["like"])
    spot = copies.origin((section, name, "like"))
    if model not in things or model == name or model in chain:
        known = [other for other in things if other != name]
        slip = "leads back to itself" if model in things else "is not there"
        copies.faults.append((spot, f"{name} is like {model}, which {slip}", did_you_mean(model, known)))
        return done.setdefault(name, {key: value for key, value in thing.items() if key != "like"})
    copied = _resolve_one(section, model, things, done, copies, (*chain, name))
    if not isinstance(copied, dict):
        return done.setdefault(name, copied)
    for key in copied:
        if key not in thing:
            copies.origins[section, name, key] = copies.origin((section, model, key))
    own = {key: value for key, value in thing.items() if key != "like"}
    return done.setdefault(name, {**copied, **own})


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
