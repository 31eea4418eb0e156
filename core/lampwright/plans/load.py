"""From the values of a plan file to the model; the schema has accepted them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.plans.model import BuiltLamp, Carried, Indication, Plan, Route, Shown, Signal
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.rulebooks.format import ELEMENTS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.findings import Path

OUTPUT = "output"
LAMP_WORDS = frozenset(
    {
        OUTPUT,
        "outputs",
        "led",
        "leds",
        "resistor",
        "current",
        "level",
        "supply",
        "switch",
        "wiring",
        "wire",
        "core",
        "connector",
        "length",
        "fades",
        "fibre",
        "mix",
        "pinned",
        "note",
    }
)
"""Keys of a lamp's details; a map without any of them tells a lens's colours, or what an indicator can show."""
ROUTE_WORDS = frozenset({"to", "passes", "over", "points", "turns", "indicator", "speed", "class", "release"})
OWN = frozenset({"from", "routes", "repeats", "line", "section", "sighting", "address", "proved", "at", "note"})
"""Keys that tell of a signal's place; ``like`` does not lend them."""
SIGNAL_WORDS = frozenset(
    {
        "form",
        "rulebook",
        "year",
        "stage",
        "from",
        "lamps",
        "shows",
        "gives",
        "carries",
        "routes",
        "repeats",
        "plates",
        "blanked",
        "mount",
        "regime",
        "mode",
        "installed",
        "wiring",
        "like",
    }
)


def load(values: Mapping[str, Any], file: str) -> Plan:
    """Build the model of a plan whose values the schema accepts."""
    entries = values.get("signals") or {}
    lender = _Lender(entries)
    return Plan(
        file,
        as_text(values.get("name")),
        as_text(values.get("rulebook")),
        as_text(values.get("year")),
        as_text(values.get("scale")),
        values.get("lines") or {},
        values.get("sections") or {},
        values.get("ends") or {},
        values.get("points") or {},
        values.get("forms") or {},
        {name: _signal(name, entry or {}, lender) for name, entry in entries.items()},
        values,
    )


def _signal(name: str, entry: Mapping[str, Any], lender: _Lender) -> Signal:
    """Read one signal, with what it takes from the one it is like."""
    path: Path = ("signals", name)
    entry, inherited = lender.lent(name) if "like" in entry else (entry, {})
    lamps = entry.get("lamps")
    return Signal(
        name=name,
        path=path,
        form=as_text(entry.get("form")),
        rulebook=as_text(entry.get("rulebook")),
        year=as_text(entry.get("year")),
        stage=as_text(entry.get("stage")),
        starts=as_words(entry["from"]) if "from" in entry else (),
        lamps=None if lamps is None else tuple(_lamps(lamps, inherited.get("lamps", (*path, "lamps")))),
        listed=isinstance(lamps, list),
        shows=_shows(entry["shows"] or {}, inherited.get("shows", (*path, "shows"))) if "shows" in entry else (),
        gives=as_words(entry["gives"]) if "gives" in entry else (),
        carries=_carries(entry, inherited.get("carries", (*path, "carries"))) if "carries" in entry else None,
        routes=tuple(
            _route(route, (*inherited.get("routes", (*path, "routes")), index))
            for index, route in enumerate(entry.get("routes") or ())
        ),
        repeats=as_words(entry["repeats"]) if "repeats" in entry else (),
        plates=_plates(entry.get("plates") or ()),
        blanked=as_words(entry["blanked"]) if "blanked" in entry else (),
        mount=as_text(entry.get("mount")),
        regime=as_text(entry.get("regime")),
        mode=as_text(entry.get("mode")),
        installed=as_text(entry.get("installed")),
        wiring=as_text(entry.get("wiring")),
        like=as_text(entry.get("like")),
        rest={key: entry[key] for key in entry.keys() - SIGNAL_WORDS},
        inherited=inherited,
    )


class _Lender:
    """Fills entries of signals from those they are like: where a signal stands is its own.

    A name that leads nowhere lends nothing; of a circle, the one that closes it does not.
    """

    def __init__(self, entries: Mapping[str, Any]) -> None:
        self._entries = entries
        self._known: dict[str, tuple[dict[str, Any], dict[str, Path]]] = {}

    def lent(self, name: str) -> tuple[dict[str, Any], dict[str, Path]]:
        """Return the entry of a signal filled, and the paths of what was lent; each link of a chain is made once."""
        row: dict[str, None] = {}
        last = name
        while last in self._entries and last not in self._known and last not in row:
            row[last] = None
            last = as_text((self._entries[last] or {}).get("like"))
        for waiting in reversed(row):
            self._known[waiting] = self._filled(self._entries[waiting] or {})
        return self._known[name]

    def _filled(self, entry: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Path]]:
        """Return an entry filled from the one it is like, which is known already if it is there."""
        model = as_text(entry.get("like"))
        theirs, lent = self._known.get(model, ({}, {}))
        keys = theirs.keys() - entry.keys() - OWN
        inherited: dict[str, Path] = {key: lent.get(key, ("signals", model, key)) for key in keys}
        return {**entry, **{key: theirs[key] for key in keys}}, inherited


def _lamps(value: Any, path: Path) -> list[BuiltLamp]:
    """Read lamps as built: a list of colours from the top down, or a map of names."""
    if isinstance(value, list):
        return [_listed(item, (*path, index)) for index, item in enumerate(value)]
    found = []
    for name, said in value.items():
        if isinstance(said, dict) and not said.keys() & LAMP_WORDS:
            found += [_lamp((*path, name, colour), inner, name, colour) for colour, inner in said.items()]
        else:
            found.append(_lamp((*path, name), said, name))
    return found


def _listed(item: Any, path: Path) -> BuiltLamp:
    """Read one lamp of a list: ``green`` or ``{green: A.0}``."""
    if not isinstance(item, dict):
        return BuiltLamp(path, colour=as_text(item))
    colour, said = next(iter(item.items()))
    return _lamp((*path, colour), said, colour=colour)


def _lamp(path: Path, said: Any, name: str = "", colour: str = "") -> BuiltLamp:
    """Read what is said of one lamp: its output, or a map of details."""
    if isinstance(said, dict):
        return BuiltLamp(path, name, colour, as_text(said.get(OUTPUT)), said)
    return BuiltLamp(path, name, colour, as_text(said))


def _shows(value: Mapping[str, Any], path: Path) -> tuple[Shown, ...]:
    """Read the modeller's own displays."""
    return tuple(Shown((*path, aspect), aspect, ELEMENTS.read(shown)) for aspect, shown in value.items())


def _carries(entry: Mapping[str, Any], path: Path) -> tuple[Carried, ...] | None:
    """Read the indicators a signal carries; None if the plan does not say."""
    value = entry.get("carries")
    if value is None:
        return None
    if isinstance(value, dict):
        return tuple(_carried((*path, name), name, said) for name, said in value.items())
    names = value if isinstance(value, list) else [value]
    return tuple(Carried((*path, index), as_text(name)) for index, name in enumerate(names))


def _carried(path: Path, name: str, said: Any) -> Carried:
    """Read what is said of one indicator."""
    if isinstance(said, dict):
        return Carried(path, name, as_text(said.get(OUTPUT)), said)
    return Carried(path, name, as_text(said))


def _plates(value: Any) -> dict[str, str]:
    """Read plates: a list of names, or a map with what is written on them."""
    if isinstance(value, dict):
        return {name: as_text(said) or "present" for name, said in value.items()}
    return dict.fromkeys(as_words(value) if value else (), "present")


def _route(entry: Mapping[str, Any], path: Path) -> Route:
    """Read one route."""
    return Route(
        path,
        as_text(entry.get("to")),
        as_words(entry["passes"]) if "passes" in entry else (),
        as_words(entry["over"]) if "over" in entry else (),
        {points: as_text(lie) for points, lie in (entry.get("points") or {}).items()},
        as_text(entry.get("turns")),
        _indications(entry["indicator"], (*path, "indicator")) if "indicator" in entry else (),
        as_text(entry.get("speed")),
        as_text(entry.get("class")),
        entry.get("release") or {},
        {key: entry[key] for key in entry.keys() - ROUTE_WORDS},
    )


def _indications(value: Any, path: Path) -> tuple[Indication, ...]:
    """Read what a route lights: ``position-1``, ``{alphanumeric: M}``, or a list of these."""
    if isinstance(value, list):
        return tuple(one for index, item in enumerate(value) for one in _indications(item, (*path, index)))
    if isinstance(value, dict):
        return tuple(Indication((*path, name), name, as_text(content)) for name, content in value.items())
    return (Indication(path, as_text(value)),)
