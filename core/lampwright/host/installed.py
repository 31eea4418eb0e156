"""Finding the plugins that are installed, and only those.

The standard library's ``importlib.metadata`` finds the same entries, but importing it takes more than half as long
as click and pluggy together, in every run; the few lines needed are written out here instead.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from lampwright.host.markers import GROUP
from lampwright.host.records import Entry

if TYPE_CHECKING:
    from collections.abc import Iterator

RECORDS = {".dist-info": "METADATA", ".egg-info": "PKG-INFO"}
"""The folder an installer leaves for a distribution, and the file in it that tells name and version."""


def leave_working_folder() -> None:
    """Take the working folder off the import path, so that from here on no code in it is ever imported.

    Python puts it there for ``python -m`` and for an empty item in PYTHONPATH, and the working folder is very often
    the folder being checked. It stays only if Python itself, or what is installed for it, lives there.
    """
    try:
        here = os.stat(os.curdir)  # noqa: PTH116  (and below: this is done in every run, and paths take longer)
    except FileNotFoundError:  # the working folder was deleted: nothing can be imported from it
        return
    if not any(_is(home, here) for home in _homes()):
        sys.path[:] = [item for item in sys.path if not _is(item, here)]


def _is(folder: str, other: os.stat_result) -> bool:
    """Tell whether an item of the import path is a certain folder, by whatever name."""
    try:
        return os.path.samestat(os.stat(folder or os.curdir), other)  # noqa: PTH116
    except (OSError, ValueError):
        return False


def _homes() -> list[str]:
    import site  # start-up has it in memory already

    return [os.path.dirname(os.__file__), *site.getsitepackages(), site.getusersitepackages()]  # noqa: PTH120


def installed() -> list[Entry]:
    """Return every entry of the plugin group on the import path: Lampwright's own first, then by name."""
    found: dict[str, list[Entry]] = {}
    for folder in sys.path:
        for record in sorted(Path(folder).glob("*-info")):
            if entries := _entries(record):  # as with modules, what stands first on the path hides the rest
                found.setdefault(_same(entries[0].distribution), entries)
    everything = [entry for entries in found.values() for entry in entries]
    return sorted(everything, key=lambda entry: (_same(entry.distribution) != GROUP, entry.name, entry.distribution))


def _same(distribution: str) -> str:
    """Return the name with its spellings made equal: ``My_Plugin`` and ``my-plugin`` are one distribution."""
    return distribution.lower().replace("_", "-").replace(".", "-")


def _entries(record: Path) -> list[Entry]:
    text = _read(record / "entry_points.txt")
    if f"[{GROUP}]" not in text or record.suffix not in RECORDS:
        return []
    head = dict(_pairs(_read(record / RECORDS[record.suffix]).partition("\n\n")[0], ":"))
    section = text.partition(f"[{GROUP}]")[2].partition("\n[")[0]
    return [
        Entry(name, target.partition("[")[0].strip(), head.get("Name", ""), head.get("Version", ""))
        for name, target in _pairs(section, "=")
    ]


def _pairs(text: str, sign: str) -> Iterator[tuple[str, str]]:
    """Yield the two sides of each line that has two."""
    for line in text.splitlines():
        left, found, right = line.partition(sign)
        if found and not line.startswith(("#", ";")):
            yield left.strip(), right.strip()


def _read(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
