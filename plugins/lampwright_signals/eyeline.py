"""Which lamp of a form is nearest the driver's eye."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.rulebooks.displays import reader

if TYPE_CHECKING:
    from collections.abc import Collection

    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.anatomy import Anatomy

RED = "red"
STOP = "stop"
ON_GROUND = frozenset({"ground", "low", "dwarf"})
"""Mounts below the driver's eye."""


class FarFromEye(Struct, frozen=True):
    """The lamp that should be nearest the eye, the one that is, and a form of the rulebook that has it right."""

    eye: str
    nearest: str
    on_ground: bool
    witness: str


def ground(mount: str) -> bool:
    """Tell whether a signal so mounted is below the driver's eye."""
    return mount in ON_GROUND


def far_from_eye(rulebook: Rulebook, name: str, own: Collection[str]) -> FarFromEye | None:
    """Return what is wrong with a form; None if nothing is, or nobody can tell. ``own`` are the plan's forms."""
    form = rulebook.forms[name]
    on_ground = ground(form.mount)
    witness = _witness(rulebook, own, on_ground=on_ground)
    if not witness or form.parts or (form.roles and STOP not in form.roles):
        return None
    anatomy = reader(rulebook, name).anatomy
    heights = {lamp: [up for _, up in record.at] for lamp, record in anatomy.lamps.items() if record.at}
    eye = [lamp for lamp in _eye_lamps(anatomy) if lamp in heights]
    if not eye or len(heights) < len(anatomy.lamps):
        return None
    nearest = _best(heights, on_ground=on_ground)
    lamp = _best({lamp: heights[lamp] for lamp in eye}, on_ground=on_ground)
    if _edge(heights[lamp], on_ground=on_ground) == _edge(heights[nearest], on_ground=on_ground):
        return None
    return FarFromEye(lamp, nearest, on_ground, witness)


def _witness(rulebook: Rulebook, own: Collection[str], *, on_ground: bool) -> str:
    """Return a form of the rulebook's own that says which lamp is at eye level, of the same mount if there is one."""
    told = [name for name, form in rulebook.forms.items() if form.eye_level and name not in own]
    return next((name for name in told if ground(rulebook.forms[name].mount) == on_ground), told[0] if told else "")


def _eye_lamps(anatomy: Anatomy) -> list[str]:
    """Return the lamps of which one must be nearest the eye: those the form names, or the red ones."""
    named = anatomy.form.eye_level
    if named in anatomy.faces:
        return anatomy.of_head(named)
    return [named] if named else [lamp for lamp, record in anatomy.lamps.items() if RED in record.colours]


def _best(heights: dict[str, list[Any]], *, on_ground: bool) -> str:
    """Return the lamp nearest the eye."""
    pick = max if on_ground else min
    return pick(heights, key=lambda lamp: _edge(heights[lamp], on_ground=on_ground))


def _edge(heights: list[Any], *, on_ground: bool) -> Any:
    """Return the height of the light nearest the eye."""
    return max(heights) if on_ground else min(heights)
