"""The rulebooks that a configuration brings by path: data, and nothing but data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.documents import is_folder
from lampwright.fence import ALLOWED, inside
from lampwright.findings import Finding, Level
from lampwright.library import FILE, brought
from lampwright.settings.find import shown

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lampwright.findings import Spot
    from lampwright.library import Library
    from lampwright.settings.configuration import Configuration


def offered(library: Library, configuration: Configuration) -> list[Finding]:
    """Let a configuration's rulebooks be found by their ids; return a finding for each path that brings none."""
    return [
        finding
        for number, folder in enumerate(configuration.rulebooks)
        for finding in _offer(library, folder, configuration, configuration.spot("rulebooks", number))
    ]


def _offer(library: Library, folder: Path, configuration: Configuration, spot: Spot) -> Iterator[Finding]:
    """Let the rulebooks of one path be found."""
    name = shown(folder)
    if not is_folder(folder):
        tip = "paths begin at the folder of this file"
        yield Finding("bad-setting", Level.ERROR, f"there is no folder {name}", spot, tip=tip)
    elif not inside(folder, configuration.folder) or not all(inside(file, folder) for file, _ in brought(folder, name)):
        tip = f"name it with --rulebook, or allow its folder by {ALLOWED}"
        yield Finding("bad-setting", Level.ERROR, f"{name} leads out of the folder of this file", spot, tip=tip)
    elif not list(brought(folder, name)):
        tip = f"a rulebook is a folder with a {FILE}"
        yield Finding("bad-setting", Level.ERROR, f"there is no rulebook in {name}", spot, tip=tip)
    elif (other := library.offer(folder, name)) is not None:
        message = f"a rulebook in {name} has the id of another one in this run, in {shown(other)}"
        yield Finding("bad-setting", Level.ERROR, message, spot, tip="check the two in calls of their own")
