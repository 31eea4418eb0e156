"""Files are written whole or not at all: beside the old one, then in its place."""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.edits.beside import Beside, CannotWrite, beside, cannot, there

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

BOM: Final = b"\xef\xbb\xbf"
DEVICES: Final = ("/dev/", "/proc/")


class Written(Struct, frozen=True):
    """A new text for a file, and the one it takes the place of: that must still be there; None if nothing may be."""

    path: Path
    old: str | None
    new: str


def save(files: Iterable[Written]) -> None:
    """Write texts of files; none of them if one cannot be written or has changed meanwhile.

    A byte order mark, the mode and a link to the file stay. Raises ``CannotWrite``.
    """
    chosen = [(file, *_bytes(file)) for file in files]
    made: list[tuple[Beside, bytes | None]] = []
    try:
        for file, old, new in chosen:
            made.append((Beside(file.path, new), old))
            made[-1][0].fill()
        for one, old in made:
            one.place() if old is None else one.replace()
    except BaseException:
        _restore(made)
        raise
    finally:
        for one, _ in made:
            one.discard()


def put(path: Path, text: str, *, over: bool = False) -> None:
    """Write a file, which must not be there unless ``over``. Raises ``CannotWrite``.

    What is there and no file, as a pipe or a terminal, is written into: nothing takes its place.
    """
    if not over and os.path.lexists(path):
        raise there(path)
    data = text.encode(errors="backslashreplace")  # names of files may be no text
    if over and (str(path.absolute()).startswith(DEVICES) or (path.exists() and not path.is_file())):
        _into(path, data)
        return
    one = Beside(path, data)
    try:
        one.fill()
        one.replace() if over else one.place()
    finally:
        one.discard()


def put_folder(folder: Path, texts: Mapping[str, str]) -> None:
    """Write a whole folder of files, by their paths in it; nothing may be there. Raises ``CannotWrite``."""
    if os.path.lexists(folder):
        raise there(folder)
    made = beside(folder)
    try:
        made.mkdir()
        for name, text in texts.items():
            file = made / name
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(text.encode())
        made.rename(folder)
    except OSError as error:
        raise cannot(folder, error) from error
    finally:
        if made.exists():
            from shutil import rmtree

            rmtree(made, ignore_errors=True)


def make_folder(folder: Path) -> None:
    """Make a folder, and those it lies in, where they are not there yet. Raises ``CannotWrite``."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise cannot(folder, error) from error


def _bytes(file: Written) -> tuple[bytes | None, bytes]:
    """Return what a file holds and what it is to hold, if it still is what it was."""
    if file.old is None:
        if os.path.lexists(file.path):
            raise there(file.path)
        return None, file.new.encode()
    try:
        if not file.path.is_file():  # a pipe would never end
            message = f"{file.path} is no file that could be written"
            raise CannotWrite(message)
        data = file.path.read_bytes()
    except OSError as error:
        raise cannot(file.path, error) from error
    mark = BOM if data.startswith(BOM) else b""
    if data.removeprefix(BOM) != file.old.encode():
        message = f"{file.path} has changed since it was read; nothing is written"
        raise CannotWrite(message)
    return data, mark + file.new.encode()


def _restore(made: Iterable[tuple[Beside, bytes | None]]) -> None:
    """Put back what was there before, where the new one is there already."""
    for one, old in made:
        with suppress(OSError, CannotWrite):
            if one.target.read_bytes() != one.data:
                continue
            if old is None:
                one.target.unlink()
            else:
                _put_back(Beside(one.path, old))


def _put_back(one: Beside) -> None:
    """Put an old file in the place of the new one."""
    try:
        one.fill()
        one.replace()
    finally:
        one.discard()


def _into(path: Path, data: bytes) -> None:
    """Write into what is no file, behind what is there: it may be the terminal's output, and lead to a file."""
    import sys

    try:
        sys.stdout.flush()
        with path.open("ab") as opened:
            opened.write(data)
    except OSError as error:
        raise cannot(path, error) from error
