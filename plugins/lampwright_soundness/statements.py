"""Everything that is said of sources in a rulebook: ``source``, ``source-of``, ``disputed``."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.schema.files import load

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path

KEYS: Final = ("source", "source-of", "disputed")


class Statement(Struct, frozen=True):
    """Sources by name, and the datum they are of: ``dotted`` from the map at ``base`` on, empty for all in it."""

    base: Path
    path: Path
    dotted: str
    names: tuple[str, ...]


def statements(values: Any, base: Path = ()) -> Iterator[Statement]:
    """Yield every statement below a value."""
    if isinstance(values, dict):
        if "source" in values:
            yield Statement(base, (*base, "source"), "", _names(values["source"]))
        for key, names in (("source-of", _names), ("disputed", _those)):
            said = values.get(key)
            for dotted, value in said.items() if isinstance(said, dict) else ():
                yield Statement(base, (*base, key, dotted), str(dotted), names(value))
        for key, value in values.items():
            if key not in KEYS and (*base, key) != ("sources",):
                yield from statements(value, (*base, key))
    elif isinstance(values, list):
        for number, value in enumerate(values):
            yield from statements(value, (*base, number))


def words(values: Any) -> set[str]:
    """Return every word of every note."""
    if isinstance(values, list):
        return {word for value in values for word in words(value)}
    if not isinstance(values, dict):
        return set()
    own = str(values.get("note", "")).replace("(", " ").replace(")", " ").replace(",", " ").split()
    return {*own, *(word for value in values.values() for word in words(value))}


def unknown_step(values: Any, statement: Statement) -> tuple[str, list[Any]]:
    """Return the first step of a statement's path that leads nowhere, with the steps there are; empty if none does.

    A key of the format may be named where nothing is said under it, and a lone word has its key: ``red.colour``.
    """
    for step in statement.base:
        values = values[step]
    for number, step in enumerate(statement.dotted.split(".")):
        if isinstance(values, dict) and step in values:
            values = values[step]
        elif isinstance(values, list) and step.isdecimal() and int(step) < len(values):
            values = values[int(step)]
        elif not isinstance(values, dict | list) and number:
            return "", []
        else:
            known = list(values) if isinstance(values, dict) else []
            return ("", []) if step in _words_of_the_format() else (step, known)
    return "", []


def _names(said: Any) -> tuple[str, ...]:
    """Return a source, or several, without the sections."""
    return tuple(str(item).partition(" ")[0] for item in (said if isinstance(said, list) else [said]))


def _those(said: Any) -> tuple[str, ...]:
    """Return the sources that say otherwise."""
    return _names(list(said)) if isinstance(said, dict) else ()


@cache
def _words_of_the_format() -> frozenset[str]:
    """Return every key that the format has anywhere."""
    return frozenset(_keys(load("rulebook")))


def _keys(schema: Any) -> Iterator[str]:
    """Yield the names of all properties in a schema."""
    if isinstance(schema, dict):
        yield from schema.get("properties", {})
        for value in schema.values():
            yield from _keys(value)
