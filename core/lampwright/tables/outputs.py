"""Outputs of boards by their names: lists of them as plans and parts data write them, and those that a board has."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.rulebooks.codec import as_text

if TYPE_CHECKING:
    from lampwright.layout import Layout

MOST_OUTPUTS: Final = 1024
"""Longest span of outputs that is read as one."""


def outputs(value: object) -> tuple[str, ...]:
    """Read outputs: ``15``, ``12..15`` or a list of these."""
    if value is None:
        return ()
    if isinstance(value, list):
        return tuple(name for item in value for name in outputs(item))
    first, dots, last = as_text(value).partition("..")
    if not dots or last == "":
        return (first,)
    stem = first.rstrip("0123456789")
    low, high = first[len(stem) :], last.removeprefix(stem)
    if not (low.isdecimal() and high.isdecimal() and int(low) <= int(high) and int(high) - int(low) < MOST_OUTPUTS):
        return (as_text(value),)
    return tuple(f"{stem}{number}" for number in range(int(low), int(high) + 1))


def of_board(layout: Layout, name: str) -> tuple[str, ...] | None:
    """Return the outputs that a board of a plan has, as ``A.3``; None if it is not there, or its kind is not known."""
    said = (layout.plan.values.get("boards") or {}).get(name) or {}
    kind = as_text(said.get("kind"))
    for document in layout.library.parts:
        known = (document.values.get("boards") or {}).get(kind)
        if known is not None:
            return tuple(f"{name}.{output}" for output in outputs(known.get("outputs")))
    return None
