"""Which fix of a finding may be made without asking."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.edits import Change
from lampwright.findings import Fix
from lampwright.words import Meant

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.documents import Document
    from lampwright.findings import Finding, Path

STANDING: Final = frozenset({"built", "proved"})
"""Stages of a signal that stands: what the plan says of it is a record."""
RECORD: Final = frozenset(
    {"form", "lamps", "carries", "wiring", "side", "plates", "blanked", "mount", "shows", "address"}
)
"""Keys of a signal that say how it was built."""
NO, UNSAFE, STANDS = "", "it may not be what is meant: --unsafe-fixes makes it", "stands already"


def fix_of(finding: Finding, documents: Mapping[str, Document]) -> Fix | None:
    """Return the one way to mend a finding; None if there is none, or there are several to choose from."""
    if finding.fixes:
        return finding.fixes[0] if len(finding.fixes) == 1 else None
    tip, spot = finding.tip, finding.spot
    if not isinstance(tip, Meant) or not (spot.on_key or _is_word(documents.get(spot.file), spot.path)):
        return None
    change = Change.rename(spot.path, tip.meant) if spot.on_key else Change.replace(spot.path, _value(tip.meant))
    return Fix(f"write {tip.meant}", ((spot.file, change),), tip.sure)


def refusal(fix: Fix, documents: Mapping[str, Document], *, unsafe: bool) -> str:
    """Return why a fix is not made; empty if it is."""
    if not fix.safe and not unsafe:
        return UNSAFE
    for file, change in fix.changes:
        name = _standing(documents[file].values, change.path)
        if name:
            return f"{name} {STANDS}: rewire or rebuild it, or correct the plan, by hand"
    return NO


def _standing(values: Any, path: Path) -> str:
    """Return the signal whose record a path leads into, if that signal stands."""
    if len(path) < len(("signals", "HF1")) or path[0] != "signals" or values.get("plan") is None:
        return ""
    signal = values["signals"].get(path[1])
    stands = isinstance(signal, dict) and signal.get("stage") in STANDING
    inside = len(path) > len(("signals", "HF1")) and path[2] in RECORD
    return str(path[1]) if stands and inside else ""


def _is_word(document: Document | None, path: Path) -> bool:
    """Tell whether a path leads to a value that is neither map nor list."""
    value: Any = document.values if document else None
    for step in path:
        inside = isinstance(value, dict) and step in value
        if not inside and not (isinstance(value, list) and isinstance(step, int) and step < len(value)):
            return False
        value = value[step]
    return bool(path) and not isinstance(value, dict | list)


def _value(text: str) -> Any:
    """Return what a word stands for when it is written into a file without quotes."""
    from lampwright.documents.scalars import plain

    return plain(text)
