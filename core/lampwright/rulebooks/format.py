"""The rulebook format: which key becomes which attribute. Load and dump both walk these tables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from lampwright.rulebooks.codec import (
    POINT,
    RAW,
    TEXT,
    WORDS,
    YEARS,
    Codec,
    Table,
    as_text,
    beside,
    many,
    named,
    record,
)
from lampwright.rulebooks.model import (
    AlsoRead,
    Aspect,
    Coupling,
    Elements,
    Evidence,
    Fault,
    Form,
    Head,
    Incomparable,
    Indicator,
    Lamp,
    Part,
    Plate,
    Regime,
    Rule,
    Rulebook,
    Source,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

T = TypeVar("T")

ANY_ROLE = ""
ANY_MOUNT = ""


def _read_elements(value: Any) -> Elements:
    """Read ``red``, ``[upper, lower]``, ``{lower: flash}`` or ``dark`` as pairs of element and state."""
    if isinstance(value, dict):
        return tuple((name, as_text(state)) for name, state in value.items())
    names = value if isinstance(value, list) else [] if value == "dark" else [value]
    return tuple((as_text(name), "lit") for name in names)


def _read_places(value: Any) -> tuple[Any, ...]:
    """Read ``[0, 3]`` or ``[[0, 1], [0, -1]]``: one light, or several that are one lamp."""
    return tuple(tuple(place) for place in value) if value and isinstance(value[0], list) else (tuple(value),)


def _read_rules(value: Any) -> dict[str, tuple[Rule, ...]]:
    """Read a list of rules, or lists by role."""
    by_role = value if isinstance(value, dict) else {ANY_ROLE: value}
    return {role: tuple(RULE.read(rule) for rule in rules) for role, rules in by_role.items()}


def _write_rules(rules: Mapping[str, tuple[Rule, ...]]) -> Any:
    """Write rules the shorter way."""
    written = {role: [RULE.write(rule) for rule in items] for role, items in rules.items()}
    return written[ANY_ROLE] if list(written) == [ANY_ROLE] else written


def _read_patterns(value: Any) -> dict[str, tuple[str, ...]]:
    """Read patterns by mount, or the same for every mount."""
    by_mount = value if isinstance(value, dict) else {ANY_MOUNT: value}
    return {mount: WORDS.read(patterns) for mount, patterns in by_mount.items()}


def _write_patterns(patterns: Mapping[str, tuple[str, ...]]) -> Any:
    """Write patterns the shorter way."""
    written = {mount: list(items) for mount, items in patterns.items()}
    return written[ANY_MOUNT] if list(written) == [ANY_MOUNT] else written


EVIDENCE = record(
    Evidence,
    {
        "source": ("source", WORDS),
        "source-of": ("source_of", named(WORDS)),
        "disputed": ("disputed", RAW),
        "note": ("note", TEXT),
    },
)


def _sourced(kind: type[T], table: Table, short: str = "") -> Codec[T]:
    """Return the codec of a record that also says where its data come from."""
    return beside(EVIDENCE, record(kind, table, short), "evidence")


DATED: Table = {"years": ("years", YEARS), "fitted": ("fitted", YEARS), "title": ("title", TEXT)}
NAMES: Table = {"alternative-names": ("alternative_names", named(TEXT))}
ELEMENTS: Codec[Elements] = Codec(_read_elements, lambda elements: dict(elements) if elements else "dark")
PLACES: Codec[tuple[Any, ...]] = Codec(_read_places, lambda places: [list(place) for place in places])
RULES: Codec[Any] = Codec(_read_rules, _write_rules)
PATTERNS: Codec[Any] = Codec(_read_patterns, _write_patterns)

LAMP = _sourced(
    Lamp,
    {
        **DATED,
        "colour": ("colours", WORDS),
        "colours": ("colours", WORDS),
        "at": ("at", PLACES),
        "size": ("size", TEXT),
        "place": ("place", TEXT),
        "unpowered": ("unpowered", TEXT),
    },
    short="colour",
)
HEAD = _sourced(
    Head,
    {
        **DATED,
        "letters": ("letters", TEXT),
        "at": ("at", POINT),
        "lens": ("lens", RAW),
        "unpowered": ("unpowered", TEXT),
        "role": ("role", TEXT),
        "lamps": ("lamps", named(LAMP)),
        "faces": ("faces", named(WORDS)),
    },
)
PART = record(Part, {"form": ("form", TEXT), "at": ("at", POINT)}, short="form")
COUPLING = _sourced(
    Coupling, {"when": ("when", RAW), "then": ("then", named(TEXT)), "else": ("otherwise", named(TEXT))}
)
ALSO_READ = _sourced(AlsoRead, {"aspect": ("aspect", TEXT), "shows": ("shows", ELEMENTS)})
FAULT = _sourced(
    Fault,
    {
        "lost": ("lost", TEXT),
        "stuck": ("stuck", TEXT),
        "steady": ("steady", TEXT),
        "in": ("within", WORDS),
        "then": ("then", TEXT),
        "accepted": ("accepted", TEXT),
    },
)
FORM = _sourced(
    Form,
    {
        **DATED,
        **NAMES,
        "role": ("roles", WORDS),
        "mount": ("mount", TEXT),
        "marks": ("marks", named(TEXT)),
        "lamps": ("lamps", named(LAMP)),
        "heads": ("heads", named(HEAD)),
        "parts": ("parts", named(PART)),
        "shared": ("shared", many(WORDS)),
        "shows": ("shows", named(ELEMENTS)),
        "optional": ("optional", WORDS),
        "gives": ("gives", WORDS),
        "in-doubt": ("in_doubt", TEXT),
        "rest": ("rest", RAW),
        "failsafe": ("failsafe", TEXT),
        "lit": ("lit", TEXT),
        "eye-level": ("eye_level", TEXT),
        "indicators": ("indicators", WORDS),
        "plates": ("plates", WORDS),
        "coupling": ("coupling", many(COUPLING)),
        "also-read": ("also_read", many(ALSO_READ)),
        "read-by": ("read_by", TEXT),
        "faults": ("faults", many(FAULT)),
        "follows": ("follows", TEXT),
    },
)
ASPECT = _sourced(
    Aspect,
    {
        **DATED,
        **NAMES,
        "code": ("code", TEXT),
        "name": ("name", TEXT),
        "says": ("says", RAW),
        "shows": ("shows", ELEMENTS),
        "patterns": ("patterns", PATTERNS),
    },
)
INDICATOR = _sourced(
    Indicator,
    {
        **DATED,
        **NAMES,
        "kind": ("kind", TEXT),
        "colour": ("colour", TEXT),
        "at": ("at", POINT),
        "lamps": ("lamps", RAW),
        "positions": ("positions", named(TEXT)),
        "characters": ("characters", TEXT),
        "at-most": ("at_most", RAW),
        "figures": ("figures", TEXT),
        "times": ("times", TEXT),
        "shows": ("shows", RAW),
        "confusable": ("confusable", many(WORDS)),
        "needed": ("needed", RAW),
        "stands-with": ("stands_with", RAW),
        "proved": ("proved", RAW),
    },
)
PLATE = _sourced(Plate, {**DATED, "colour": ("colour", TEXT), "figures": ("figures", TEXT), "times": ("times", TEXT)})
REGIME = _sourced(Regime, {"told-by": ("told_by", TEXT), "mirror": ("mirror", RAW), "every-lamp": ("every_lamp", TEXT)})
RULE = _sourced(
    Rule, {**DATED, "when": ("when", RAW), "show": ("show", WORDS), "may": ("may", WORDS), "table": ("table", RAW)}
)
INCOMPARABLE = _sourced(Incomparable, {"pair": ("pair", WORDS), "because": ("because", TEXT)})
SOURCE = record(Source, {key: (key, TEXT) for key in ("title", "publisher", "issue", "date", "basis", "note")})
RULEBOOK = _sourced(
    Rulebook,
    {
        "id": ("id", TEXT),
        "title": ("title", TEXT),
        "territory": ("territory", TEXT),
        "network": ("network", TEXT),
        "edition": ("edition", TEXT),
        "years": ("years", YEARS),
        "sources": ("sources", named(SOURCE)),
        "parameters": ("parameters", RAW),
        "states": ("states", RAW),
        "colours": ("colours", RAW),
        "notation": ("notation", named(TEXT)),
        "speeds": ("speeds", RAW),
        "eras": ("eras", RAW),
        "aspects": ("aspects", named(ASPECT)),
        "order": ("chains", many(WORDS)),
        "incomparable": ("incomparable", many(INCOMPARABLE)),
        "forms": ("forms", named(FORM)),
        "indicators": ("indicators", named(INDICATOR)),
        "plates": ("plates", named(PLATE)),
        "regimes": ("regimes", named(REGIME)),
        "sequence": ("sequence", RULES),
        "never": ("never", many(RAW)),
    },
)
