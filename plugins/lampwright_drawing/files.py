"""Pictures become files: one where a name says so, or a folder of them, each called after what it shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.edits import make_folder, put

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

SUFFIX: Final = ".svg"
LONGEST: Final = 80


def save_as(content: str, path: Path) -> Path:
    """Write one picture; one that is there is replaced, as by every report. Raises ``CannotWrite``."""
    put(path, content, over=True)
    return path


def save(pictures: Iterable[tuple[str, str]], folder: Path) -> list[Path]:
    """Write pictures, each under its name, into a folder, which is made if need be; a name used twice is numbered.

    Raises ``CannotWrite``.
    """
    make_folder(folder)
    written: list[Path] = []
    used: set[str] = set()
    for words, content in pictures:
        name = _free(file_name(words), used)
        used.add(name.lower())
        written.append(save_as(content, folder / name))
    return written


def file_name(words: str) -> str:
    """Return a name for a file, whatever is in the words: no folder, no hidden file, no surprise for a shell."""
    kept = "".join(char if char.isascii() and (char.isalnum() or char in "-_.") else "-" for char in words)
    return (kept.strip("-.")[:LONGEST] or "picture") + SUFFIX


def _free(name: str, used: set[str]) -> str:
    """Return a name that no picture of this call has, on any disk."""
    stem, number = name.removesuffix(SUFFIX), 1
    while name.lower() in used:
        number += 1
        name = f"{stem}-{number}{SUFFIX}"
    return name
