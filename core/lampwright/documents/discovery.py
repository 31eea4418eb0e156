"""Which files to look at: those named, and the plans and rulebooks in the folders named."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lampwright.documents.looks import is_folder, is_link
from lampwright.documents.source import STANDARD_INPUT
from lampwright.fence import inside

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

ENDINGS: Final = (".yaml", ".yml")
HEAD: Final = 64 * 1024
"""Bytes in which the first key has to come; a licence may stand before it."""
BEFORE: Final = (b"#", b"%", b"---")
"""How a line before the first key begins, unless it is empty."""
KIND: Final = rb"""\{?\s*(["']?)(plan|rulebook)\1\s*:(?=\s|$)"""


def find(
    paths: Iterable[str | Path],
    takes: Callable[[Path], bool] | None = None,
    leads_out: Callable[[Path], object] | None = None,
) -> list[Path]:
    """Return the files to look at: in the order given, those of a folder sorted, each once.

    What is named is returned as it is, also if it is no plan or not there: reading it will say so. A folder is
    searched with all folders in it, hidden ones and links left out, for ``*.yaml`` and ``*.yml`` whose first key is
    ``plan`` or ``rulebook``; what cannot be opened there is returned too. ``-`` is standard input. ``takes`` tells of
    a file that was found in a folder whether it is wanted. A link to a file is followed if that is in the folder, or
    allowed (see ``fence``); others are not opened, and ``leads_out`` is told of them.
    """
    found: dict[str, Path] = {}
    for path in map(Path, paths):
        if path == STANDARD_INPUT:
            found.setdefault("-", path)
            continue
        for file in _in_folder(path, takes, leads_out) if is_folder(path) else [path]:
            found.setdefault(os.path.realpath(file), file)
    return list(found.values())


def _in_folder(
    folder: Path, takes: Callable[[Path], bool] | None, leads_out: Callable[[Path], object] | None
) -> list[Path]:
    """Return the plans and rulebooks in a folder, and what cannot be opened."""
    closed: list[Path] = []
    walk = os.walk(folder, onerror=lambda error: closed.append(Path(error.filename)))
    wanted = (file for file in _files(walk) if takes is None or takes(file))
    ours = (file for file in wanted if _stays(file, folder, leads_out) and _is_ours(file))
    return sorted([*ours, *closed])


def _stays(file: Path, folder: Path, leads_out: Callable[[Path], object] | None) -> bool:
    """Tell whether a file lies in a folder, even if it is a link; tell of one that does not."""
    if not is_link(file) or inside(file, folder):
        return True
    if leads_out is not None:
        leads_out(file)
    return False


def _files(walk: Iterator[tuple[str, list[str], list[str]]]) -> Iterator[Path]:
    """Yield every YAML file, hidden ones left out."""
    for folder, inner, names in walk:
        inner[:] = [name for name in inner if not name.startswith(".")]
        for name in names:
            file = Path(folder, name)
            if name.endswith(ENDINGS) and not name.startswith(".") and _may_be_file(file):
                yield file


def _may_be_file(file: Path) -> bool:
    """Tell whether a name is that of a file, or of what may not be asked about: reading will say why."""
    try:
        return file.is_file()
    except OSError:
        return True


def _is_ours(file: Path) -> bool:
    """Tell by the head of a file whether it is a plan or a rulebook, or cannot be opened."""
    try:
        with file.open("rb") as opened:
            return begins_as_ours(opened.read(HEAD))
    except OSError:
        return True


def begins_as_ours(head: bytes) -> bool:
    """Tell by the head of a file whether it is a plan or a rulebook."""
    lines = (line.strip() for line in head.removeprefix(b"\xef\xbb\xbf").splitlines())
    first = next((line for line in lines if line and not line.startswith(BEFORE)), b"")
    return re.match(KIND, first) is not None
