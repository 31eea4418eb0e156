"""Which configuration holds for a file: the nearest one, from its folder upwards; it holds whole."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Final

from msgspec.structs import replace

from lampwright.documents import is_file
from lampwright.fence import ALLOWED, inside
from lampwright.findings import Finding, Level, Spot
from lampwright.settings.configuration import NONE, Configuration

OWN: Final = "lampwright.toml"
SHARED: Final = "pyproject.toml"
SECTION: Final = ("tool", "lampwright")
LEVELS: Final = ("error", "warning", "note", "off")
MENTIONED: Final = re.compile(
    rb"""^[ \t]*(?:\[+[ \t]*)?["']?tool["']?[ \t]*(?:[\]=]|\.[ \t]*["']?lampwright)""", re.MULTILINE
)
"""How a line looks with which our section could begin; shared files without one are not parsed."""
HEAD: Final = 1024 * 1024
"""Bytes of a shared file in which it has to come: larger files are not read."""


class Configurations:
    """The configurations of a call, each read once; the folder that is being worked in has one too."""

    def __init__(self) -> None:
        """Begin with nothing read."""
        self._by_folder: dict[Path, Configuration] = {}

    @property
    def read(self) -> list[Configuration]:
        """Every configuration met so far, each once."""
        return list({id(found): found for found in self._by_folder.values() if found.document}.values())

    def of(self, file: str | Path) -> Configuration:
        """Return what holds for a file; what has no place is taken to lie in the working folder."""
        return self.within(Path(os.path.abspath(file)).parent)  # noqa: PTH100  (links are not followed)

    def within(self, folder: Path) -> Configuration:
        """Return what holds in a folder."""
        folder = Path(os.path.abspath(folder))  # noqa: PTH100
        passed = []
        for place in (folder, *folder.parents):
            found = self._by_folder.get(place) or _in(place)
            passed.append(place)
            if found is not None:
                break
        found = found or NONE
        self._by_folder.update(dict.fromkeys(passed, found))
        return found


def _in(folder: Path) -> Configuration | None:
    """Return the configuration in a folder itself, if there is one."""
    own, shared = folder / OWN, folder / SHARED
    if is_file(own):
        return _read(own, ()) if inside(own, folder) else _led_out(own)
    if is_file(shared) and inside(shared, folder) and _mentions(shared):
        return _read(shared, SECTION)
    return None


def _led_out(file: Path) -> Configuration:
    """Return the configuration of a link to a file that is none of the project's: it says nothing, and that is told."""
    from lampwright.documents import Document

    message = "this is a link that leads out of its folder, and is not read"
    tip = f"{ALLOWED} allows folders it may lead to"
    name = shown(file)
    found = Finding("unreadable-file", Level.ERROR, message, Spot(name, (), span=(1, 1, 1, 1)), tip=tip)
    return Configuration(folder=file.parent, document=Document(name, ""), findings=(found,))


def _mentions(file: Path) -> bool:
    """Tell whether a file may have a section for us."""
    try:
        with file.open("rb") as opened:
            return MENTIONED.search(opened.read(HEAD)) is not None
    except OSError:
        return False


def _read(file: Path, section: tuple[str, ...]) -> Configuration | None:
    """Read a configuration file; None if it has no section for us."""
    from lampwright.documents import Unreadable
    from lampwright.documents.toml import read_toml
    from lampwright.intake import unreadable

    name = shown(file)
    try:
        document = read_toml(file, name)
    except Unreadable as error:
        return Configuration(
            file.parent, error.document, section, {}, tuple(unreadable(name, fault) for fault in error.faults)
        )
    values = document.values
    for step in section:
        values = values.get(step) if isinstance(values, dict) else None
        if values is None:
            return None
    return _judged(Configuration(file.parent, document, section, values))


def _judged(made: Configuration) -> Configuration:
    """Compare a configuration with its schema; what is wrong is left out."""
    from lampwright import schema

    faults = schema.faults("settings", made.values)
    if not faults:
        return made
    found = tuple(
        Finding("malformed", Level.ERROR, fault.message, made.spot(*fault.path, on_key=fault.on_key), tip=fault.tip)
        for fault in faults
    )
    return replace(made, values=_sound(made.values), findings=found)


def _sound(values: object) -> dict[str, object]:
    """Return the values that are as the schema has them, each asked by itself: what is told may stand for several."""
    from lampwright import schema

    whole = values if isinstance(values, dict) else {}
    kept = {key: value for key, value in whole.items() if schema.accepts("settings", {key: value})}
    if "levels" not in kept and isinstance(whole.get("levels"), dict):
        kept["levels"] = {rule: level for rule, level in whole["levels"].items() if level in LEVELS}
    return kept


def shown(path: Path) -> str:
    """Return a file as the user would name it: from the working folder, if it is not far from it."""
    try:
        near = os.path.relpath(path)
    except (OSError, ValueError):  # the working folder is gone; another drive
        return str(path)
    return str(path) if near.startswith(os.path.join(*[os.pardir] * 4)) else near  # noqa: PTH118
