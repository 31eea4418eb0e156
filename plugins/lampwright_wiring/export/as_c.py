"""The tables of a plan as a C header, and the player that reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright_wiring.export.formats import Refused, Told

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from lampwright.layout import Layout
    from lampwright_wiring.export.formats import Wanted

FILES: Final = ("player.h", "player.c", "player.md")
"""What belongs to the player."""


def told(found: Sequence[Layout], wanted: Wanted) -> Told:
    """Return the header of one plan."""
    from lampwright_wiring.player import c_header
    from lampwright_wiring.player.numbers import Unplayable

    if len(found) != 1:
        names = ", ".join(layout.plan.file for layout in found)
        raise Refused(f"a header holds one plan, and these are {len(found)}: {names}")
    if wanted.signals:
        raise Refused("a header holds all signals of its plan: leave --signal out")
    try:
        return Told(c_header(found[0]), tuple(_bare(found[0])))
    except Unplayable as trouble:
        raise Refused(str(trouble)) from trouble


def put_player(folder: Path) -> None:
    """Put the player into a folder, made if need be; what differs is not overwritten. Raises CannotWrite."""
    from importlib.resources import files

    from lampwright.edits import make_folder, put

    make_folder(folder)
    for name in FILES:
        text = files("lampwright_wiring.player").joinpath(name).read_text(encoding="utf-8")
        path = folder / name
        if not (path.is_file() and path.read_bytes() == text.encode()):
            put(path, text)


def _bare(layout: Layout) -> Iterator[str]:
    """Say which lamps a header does not light, for they are not wired."""
    from lampwright.tables import tables
    from lampwright.words import listed

    for table in tables(layout).signals.values():
        bare = dict.fromkeys(shine.lamp for shine in table.failsafe.lamps if shine.output is None)
        if bare:
            yield f"{table.signal}: no output for {listed(bare)}"
