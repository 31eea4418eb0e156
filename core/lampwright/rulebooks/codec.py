"""Reading records from values and writing them back, by one table for both ways.

A format is a table of ``key: (attribute, codec)``. Because load and dump walk the same table, what one
reads the other writes, and a new key is added in one place.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Generic, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from lampwright.years import Years

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

T = TypeVar("T")
R = TypeVar("R", bound=Struct)


class Codec(Struct, Generic[T], frozen=True):
    """A pair of functions: value to model, model to value."""

    read: Callable[[Any], T]
    write: Callable[[T], Any]


Table = dict[str, tuple[str, Codec[Any]]]
"""The keys of a map in a file, each with the attribute it becomes and how it is read and written."""


def as_text(value: Any) -> str:
    """Return a word as it was written, numbers and booleans included."""
    if value.__class__ is str:
        return value  # nearly all are
    if isinstance(value, bool):
        return "true" if value else "false"
    return "" if value is None else str(value)


def as_words(value: Any) -> tuple[str, ...]:
    """Return a list of words; a lone word is a list of one."""
    if isinstance(value, list):
        return tuple(as_text(item) for item in value)
    return (as_text(value),)


TEXT: Codec[str] = Codec(as_text, str)
WORDS: Codec[tuple[str, ...]] = Codec(as_words, list)
RAW: Codec[Any] = Codec(lambda value: value, lambda value: value)
YEARS: Codec[Years] = Codec(Years.parse, str)
POINT: Codec[tuple[Any, ...]] = Codec(tuple, list)


def many(codec: Codec[T]) -> Codec[tuple[T, ...]]:
    """Return the codec of a list; a lone item is a list of one."""
    return Codec(
        lambda value: tuple(codec.read(item) for item in (value if isinstance(value, list) else [value])),
        lambda items: [codec.write(item) for item in items],
    )


def named(codec: Codec[T]) -> Codec[Mapping[str, T]]:
    """Return the codec of a map from names to things."""
    return Codec(
        lambda value: {name: codec.read(item) for name, item in value.items()},
        lambda things: {name: codec.write(thing) for name, thing in things.items()},
    )


def record(kind: type[R], table: Table, short: str = "") -> Codec[R]:
    """Return the codec of a record; ``short`` is the key that a lone word or list stands for."""
    defaults = _defaults(kind)

    def read(value: Any) -> R:
        if not isinstance(value, dict):
            value = {short: value}
        return kind(**{attribute: codec.read(value[key]) for key, (attribute, codec) in table.items() if key in value})

    def write(thing: R) -> dict[str, Any]:
        said = {
            name: (key, codec)
            for key, (name, codec) in table.items()
            if name not in defaults or getattr(thing, name) != defaults[name]
        }
        return {key: codec.write(getattr(thing, name)) for name, (key, codec) in said.items()}

    return Codec(read, write)


def _defaults(kind: type[Struct]) -> dict[str, Any]:
    """Return what a record has where nothing is said; fields that have nothing then come first, and are left out.

    A default made anew for each, such as an empty map, is there as what makes it. ``msgspec.structs.fields`` would tell
    all this too, but looks up every name of every type on the way.
    """
    last = [item.factory() if hasattr(item, "factory") else item for item in kind.__struct_defaults__]
    return dict(zip(reversed(kind.__struct_fields__), reversed(last), strict=False))


def beside(inner: Codec[T], owner: Codec[Any], attribute: str) -> Codec[Any]:
    """Return the owner's codec with ``inner``'s keys standing among the owner's own."""

    def read(value: Any) -> Any:
        thing = owner.read(value)
        return replace(thing, **{attribute: inner.read(value)}) if isinstance(value, dict) else thing

    return Codec(read, lambda thing: {**owner.write(thing), **inner.write(getattr(thing, attribute))})
