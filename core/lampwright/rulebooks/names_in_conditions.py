"""Names in conditions and in what aspects say: aspects, speeds, boxes, parts, regimes that lead nowhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.quantities import quantity
from lampwright.words import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from lampwright.findings import Path
    from lampwright.rulebooks.model import Rulebook

Unknown = tuple["Path", str, str]
"""Where a name stands, what is wrong with it, and what would have been right."""

ENDS: Final = ("buffers",)
SPEED_WORDS: Final = ("line", "unknown", "previous")
SPEEDS: Final = ("speed-now", "speed-next")
FLOORS: Final = ("at-least", "at-most")
FACTS: Final = ("route", "next-route", "next", "second", "here")
"""What a bound can refer to, as in ``route.speed``."""


def unknown(name: object, known: Collection[str], what: str, path: Path) -> Iterator[Unknown]:
    """Yield a fault if the name is not known."""
    if name not in known:
        yield path, f"{name} is not among the {what}", did_you_mean(str(name), known, what)


def each(path: Path, names: Sequence[str]) -> Iterator[tuple[Path, str]]:
    """Yield names with the place of each: a lone one may be written without a list."""
    for place, name in enumerate(names):
        yield (*path, place) if len(names) > 1 else path, name


def in_condition(
    rulebook: Rulebook, when: Mapping[str, Any], path: Path, parts: Collection[str] = ()
) -> Iterator[Unknown]:
    """Yield unknown names in a condition; ``parts`` are those of the post it stands at."""
    for key, wanted in when.items():
        if key in ("next", "second", "here"):
            yield from in_aspect_test(rulebook, wanted, (*path, key))
        elif key == "parts":
            for part, test in wanted.items():
                yield from unknown(part, parts, "parts", (*path, key, part))
                yield from in_aspect_test(rulebook, test, (*path, key, part))
        elif key in ("route", "next-route"):
            yield from _in_bounds(rulebook, wanted.get("speed"), (*path, key, "speed"))
        elif key == "distance":
            yield from _in_bounds(rulebook, wanted, (*path, key))
        elif key == "regime":
            for name in _listed(wanted):
                yield from unknown(name, rulebook.regimes, "regimes", (*path, key))


def in_aspect_test(rulebook: Rulebook, wanted: Any, path: Path) -> Iterator[Unknown]:
    """Yield unknown names in what an aspect is to be: a word, a list, or what it is to say."""
    if not isinstance(wanted, dict):
        known = {**dict.fromkeys(rulebook.aspects), **dict.fromkeys(ENDS)}
        for name in _listed(wanted):
            yield from unknown(name, known, "aspects", path)
        return
    for key, value in wanted.items():
        if key in FLOORS:
            yield from unknown(value, rulebook.aspects, "aspects", (*path, key))
        elif key == "expect":
            for name in _listed(value):
                yield from unknown(name, rulebook.aspects, "aspects", (*path, key))
        elif key in SPEEDS:
            yield from _in_bounds(rulebook, value, (*path, key))


def in_indication(rulebook: Rulebook, says: Mapping[str, Any], path: Path) -> Iterator[Unknown]:
    """Yield unknown names in what an aspect says."""
    for name in _listed(says.get("expect", [])):
        yield from unknown(name, rulebook.aspects, "aspects", (*path, "expect"))
    for key in SPEEDS:
        yield from in_speeds(rulebook, says.get(key, []), (*path, key))


def in_speeds(rulebook: Rulebook, said: Any, path: Path) -> Iterator[Unknown]:
    """Yield what is neither a speed, a word for one, nor a box or plate that shows one."""
    known = (*rulebook.speeds, *SPEED_WORDS, *rulebook.indicators, *rulebook.plates)
    for item in _listed(said):
        if not _figure(item):
            yield from unknown(item, known, "speeds, indicators and plates", path)


def _in_bounds(rulebook: Rulebook, wanted: Any, path: Path) -> Iterator[Unknown]:
    """Yield bounds that are no quantity, and no name of one."""
    known = (*rulebook.speeds, *SPEED_WORDS, *rulebook.indicators, *rulebook.plates, *rulebook.parameters)
    for name, limit in wanted.items() if isinstance(wanted, dict) else (("", item) for item in _listed(wanted or [])):
        first, dot, _ = str(limit).partition(".")
        if not _figure(limit) and not (dot and first in FACTS):
            yield from unknown(limit, known, "speeds and parameters", (*path, name) if name else path)


def _figure(text: object) -> bool:
    """Tell whether a text is a quantity."""
    if not str(text)[:1].isdecimal():
        return False
    try:
        quantity(text)
    except ValueError:
        return False
    return True


def _listed(value: Any) -> list[Any]:
    """Return a list; a lone word is a list of one."""
    return value if isinstance(value, list) else [value]
