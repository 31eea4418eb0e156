"""What an aspect tells the driver, in words that need no rulebook to be understood."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.rulebooks.model import Rulebook

NOTHING: Final = "meaning not established"
LINE: Final = "line speed"
AUTHORITIES: Final[Mapping[str, str]] = {
    "stop": "stop",
    "stop-then-sight": "stop, then go on at sight",
    "sight-without-stop": "go on at sight without a stop",
    "proceed": "proceed",
    "proceed-on-sight": "proceed on sight",
    "shunt": "shunt",
    "none": "tells nothing",
}
SPEEDS: Final[Mapping[str, str]] = {
    "line": LINE,
    "unknown": "a speed not told",
    "previous": "the speed announced before",
}
COMPARED: Final = ("authority", "stop-at", "diverges", "speed-now", "speed-next")
"""What two rulebooks can be compared by: the rest is detail that one may say and the other take for granted."""


def told(rulebook: Rulebook, aspect: str) -> str:
    """Return what an aspect tells: ``proceed, ready to stop at the next signal``; all that is said of it."""
    says = rulebook.aspects[aspect].says
    return ", ".join(_phrases(rulebook, says)) or NOTHING


def meaning(rulebook: Rulebook, aspect: str) -> tuple[str, ...]:
    """Return what an aspect tells so that it can be compared with another rulebook's; empty if that is not known.

    Line speed is what holds where nothing else is said. Names of aspects do not count.
    """
    says = rulebook.aspects[aspect].says
    known = {key: says[key] for key in COMPARED if key in says}
    return tuple(phrase for phrase in _phrases(rulebook, known) if phrase != f"at {LINE}")


def _phrases(rulebook: Rulebook, says: Mapping[str, Any]) -> Iterator[str]:
    """Yield what is said, each thing by itself, in the order in which it matters."""
    if "authority" in says:
        yield AUTHORITIES.get(says["authority"], str(says["authority"]))
    if "for" in says:
        yield f"for {listed(_list(says['for']))}"
    if "stop-at" in says:
        yield f"ready to stop at the {says['stop-at']} signal"
    if "expect" in says:
        yield f"expecting {listed(_list(says['expect']), 'or')}"
    if "diverges" in says:
        yield f"diverging at the {says['diverges']} signal"
    yield from _speeds(rulebook, says)


def _speeds(rulebook: Rulebook, says: Mapping[str, Any]) -> Iterator[str]:
    """Yield what is said of speeds."""
    if "speed-now" in says:
        yield " ".join(
            filter(None, (f"at {_speed(rulebook, says['speed-now'])}", _bound(says, "from"), _bound(says, "until")))
        )
    if "speed-next" in says:
        yield f"next at {_speed(rulebook, says['speed-next'])}"
    if "reach-by" in says:
        place = str(says["reach-by"])
        yield f"reached {'there' if place == 'next-signal' else f'{place} it'}"
    if says.get("hold-braking"):
        yield "braking not to be broken off"


def _bound(says: Mapping[str, Any], key: str) -> str:
    """Return where a speed begins or ceases to hold."""
    return f"{key} {str(says[key]).replace('-', ' ')}" if key in says else ""


def _speed(rulebook: Rulebook, said: Any) -> str:
    """Return a speed; of a list, the first that is there speaks."""
    return ", else ".join(_one(rulebook, str(item)) for item in _list(said))


def _one(rulebook: Rulebook, item: str) -> str:
    """Return one speed: a figure, a word for one, or what shows it."""
    if item in rulebook.indicators or item in rulebook.plates:
        return "the speed shown"
    named = rulebook.speeds.get(item)
    if isinstance(named, dict):
        return _one(rulebook, str(named["value"])) if "value" in named else str(named.get("title", SPEEDS["unknown"]))
    return _one(rulebook, str(named)) if named is not None else SPEEDS.get(item, item)


def _list(said: Any) -> list[Any]:
    """Return a list; a lone word is a list of one."""
    return said if isinstance(said, list) else [said]
