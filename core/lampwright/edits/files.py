"""Files are written whole or not at all: beside the old one, then in its place."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

BOM = b"\xef\xbb\xbf"


class CannotWrite(Exception):  # noqa: N818  (what the file does not allow)
    """A file cannot be written; the message names it and says why. Nothing of it has changed."""


@dataclass(frozen=True, slots=True)
class Written:
    """A new text for a file, and the one it takes the place of: that must still be there."""

    path: Path
    old: str
    new: str


def save(files: Iterable[Written]) -> None:
    """Write new texts of files that are there; none of them if one cannot be written or has changed meanwhile.

    A byte order mark, the mode and a link to the file stay. Raises ``CannotWrite``.
    """
    prepared: list[tuple[Path, Path]] = []
    try:
        prepared.extend(_beside(file.path, _bytes(file)) for file in files)
        for path, beside in prepared:
            _replace(beside, path)
    finally:
        for _, beside in prepared:
            beside.unlink(missing_ok=True)


def put(path: Path, text: str, *, over: bool = False) -> None:
    """Write a file, which must not be there unless ``over``. Raises ``CannotWrite``.

    What is there and no file, as a pipe or a terminal, is written into: nothing takes its place.
    """
    if not over and os.path.lexists(path):
        message = f"{path} is there already, and is not overwritten"
        raise CannotWrite(message)
    if path.exists() and not path.is_file():
        _into(path, text.encode())
        return
    target, beside = _beside(path, text.encode())
    try:
        _replace(beside, target) if over else _place(beside, target)
    finally:
        beside.unlink(missing_ok=True)


def _into(path: Path, data: bytes) -> None:
    """Write into what is no file."""
    try:
        with path.open("wb") as opened:
            opened.write(data)
    except OSError as error:
        raise _cannot(path, error) from error


def put_folder(folder: Path, texts: Mapping[str, str]) -> None:
    """Write a whole folder of files, by their paths in it; nothing may be there. Raises ``CannotWrite``."""
    if os.path.lexists(folder):
        message = f"{folder} is there already, and is not overwritten"
        raise CannotWrite(message)
    beside = ""
    try:
        beside = tempfile.mkdtemp(prefix=f".{folder.name}.", suffix=".new", dir=folder.parent)
        Path(beside).chmod(0o777 & ~_mask())
        for name, text in texts.items():
            file = Path(beside, name)
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(text.encode())
        Path(beside).rename(folder)
    except OSError as error:
        raise _cannot(folder, error) from error
    finally:
        if beside:
            shutil.rmtree(beside, ignore_errors=True)


def _bytes(file: Written) -> bytes:
    """Return what is to be written, if the file is still what it was."""
    try:
        data = file.path.read_bytes()
    except OSError as error:
        raise _cannot(file.path, error) from error
    mark = BOM if data.startswith(BOM) else b""
    if data.removeprefix(BOM) != file.old.encode():
        message = f"{file.path} has changed since it was read; nothing is written"
        raise CannotWrite(message)
    return mark + file.new.encode()


def _beside(path: Path, data: bytes) -> tuple[Path, Path]:
    """Write a file beside the one meant, onto the disk; return both."""
    target = path.resolve()
    if target.exists() and not os.access(target, os.W_OK):
        message = f"{path} cannot be written: it is read-only"
        raise CannotWrite(message)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".new", dir=target.parent)
    except OSError as error:
        raise _cannot(path, error) from error
    try:
        _fill(handle, data)
        Path(name).chmod(_mode(target))
    except BaseException as error:
        with suppress(OSError):
            Path(name).unlink()
        if isinstance(error, OSError):
            raise _cannot(path, error) from error
        raise
    return target, Path(name)


def _fill(handle: int, data: bytes) -> None:
    """Write an open file through to the disk."""
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _mode(target: Path) -> int:
    """Return the mode of a file; that of any new one if it is not there."""
    if target.exists():
        return target.stat().st_mode & 0o7777
    return 0o666 & ~_mask()


def _mask() -> int:
    """Return what new files are not allowed."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _replace(beside: Path, path: Path) -> None:
    """Put a file in the place of another, in one step."""
    try:
        beside.replace(path)
    except OSError as error:
        raise _cannot(path, error) from error


def _place(beside: Path, path: Path) -> None:
    """Put a file where none is; one that has come meanwhile stays."""
    try:
        path.hardlink_to(beside)
    except FileExistsError as error:
        message = f"{path} is there already, and is not overwritten"
        raise CannotWrite(message) from error
    except OSError:  # a file system without links
        _replace(beside, path)


def _cannot(path: Path, error: OSError) -> CannotWrite:
    """Return the refusal for an error of the system."""
    return CannotWrite(f"{path} cannot be written: {(error.strerror or str(error)).lower()}")
