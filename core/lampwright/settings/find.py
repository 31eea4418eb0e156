"""Which configuration holds for a file: the nearest one, from its folder upwards; it holds whole."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lampwright.findings import Finding, Level
from lampwright.settings.configuration import NONE, Configuration

if TYPE_CHECKING:
    from collections.abc import Iterator

OWN: Final = "lampwright.toml"
SHARED: Final = "pyproject.toml"
SECTION: Final = ("tool", "lampwright")
MENTIONED: Final = re.compile(rb"\btool\b[^\n]*\blampwright\b|^\s*\[\s*tool\s*\]", re.MULTILINE)
"""How a shared file looks that could have our section; others are not parsed."""


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
    if (folder / OWN).is_file():
        return _read(folder / OWN, ())
    shared = folder / SHARED
    if shared.is_file() and _mentions(shared):
        return _read(shared, SECTION)
    return None


def _mentions(file: Path) -> bool:
    """Tell whether a file may have a section for us."""
    try:
        return MENTIONED.search(file.read_bytes()) is not None
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
    if not all(fault.path for fault in faults):
        return replace(made, values={}, findings=found)
    return replace(made, values=_without(made, [fault.path[:2] for fault in faults]), findings=found)


def _without(made: Configuration, wrong: list[tuple[str | int, ...]]) -> dict[str, object]:
    """Return the values less those that are wrong: one level of many, all of anything else."""
    levels = {rule: level for rule, level in _pairs(made) if ("levels", rule) not in wrong}
    whole = {steps[0] for steps in wrong if steps[0] != "levels" or len(steps) == 1}
    kept = {key: value for key, value in made.values.items() if key not in whole}
    return kept | ({"levels": levels} if "levels" in kept else {})


def _pairs(made: Configuration) -> Iterator[tuple[str, object]]:
    levels = made.values.get("levels")
    return iter(levels.items() if isinstance(levels, dict) else ())


def shown(path: Path) -> str:
    """Return a file as the user would name it: from the working folder, if it is not far from it."""
    try:
        near = os.path.relpath(path)
    except (OSError, ValueError):  # the working folder is gone; another drive
        return str(path)
    return str(path) if near.startswith(os.path.join(*[os.pardir] * 4)) else near  # noqa: PTH118
