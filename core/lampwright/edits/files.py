"""Files are written whole or not at all: beside the old one, then in its place."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lampwright.fence import ALLOWED, inside

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

BOM: Final = b"\xef\xbb\xbf"
LONGEST: Final = 60
"""Characters of a file's name that stand in the name of the one beside it: systems have a limit."""
DEVICES: Final = ("/dev/", "/proc/")


class CannotWrite(Exception):  # noqa: N818  (what a file does not allow)
    """A file cannot be written; the message names it and says why. Nothing of it has changed."""


@dataclass(frozen=True, slots=True)
class Written:
    """A new text for a file, and the one it takes the place of: that must still be there; None if nothing may be."""

    path: Path
    old: str | None
    new: str


class _Beside:
    """A file that is written beside the one it is meant for, so that it can take its place in one step.

    Its name is known before it is there: whatever happens, it can be taken away again.
    """

    def __init__(self, path: Path, data: bytes) -> None:
        """Choose where; raises ``CannotWrite`` if a link leads out of the folder it lies in."""
        self.path = path
        self.data = data
        self.target = Path(os.path.realpath(path))
        self.beside = beside(self.target)
        stays(path)

    def fill(self) -> None:
        """Write it, through to the disk."""
        try:
            if not os.access(self.target, os.W_OK) and self.target.exists():
                message = f"{self.path} cannot be written: it is read-only"
                raise CannotWrite(message)
            with self.beside.open("xb") as file:
                with suppress(FileNotFoundError):
                    self.beside.chmod(stat.S_IMODE(self.target.stat().st_mode))
                file.write(self.data)
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            raise _cannot(self.path, error) from error

    def replace(self) -> None:
        """Put it in the place of what is there."""
        try:
            self.beside.replace(self.target)
        except OSError as error:
            raise _cannot(self.path, error) from error

    def place(self) -> None:
        """Put it where nothing is; what has come meanwhile stays."""
        try:
            self.target.hardlink_to(self.beside)
        except FileExistsError as error:
            raise _there(self.path) from error
        except OSError:  # a file system without links
            self.replace()

    def discard(self) -> None:
        """Take it away, if it is still there; if even that fails, it has a hidden name that nobody reads."""
        with suppress(OSError):
            self.beside.unlink()


def save(files: Iterable[Written]) -> None:
    """Write texts of files; none of them if one cannot be written or has changed meanwhile.

    A byte order mark, the mode and a link to the file stay. Raises ``CannotWrite``.
    """
    chosen = [(file, *_bytes(file)) for file in files]
    made: list[tuple[_Beside, bytes | None]] = []
    try:
        for file, old, new in chosen:
            made.append((_Beside(file.path, new), old))
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
        raise _there(path)
    data = text.encode(errors="backslashreplace")  # names of files may be no text
    if over and (str(path.absolute()).startswith(DEVICES) or (path.exists() and not path.is_file())):
        _into(path, data)
        return
    one = _Beside(path, data)
    try:
        one.fill()
        one.replace() if over else one.place()
    finally:
        one.discard()


def put_folder(folder: Path, texts: Mapping[str, str]) -> None:
    """Write a whole folder of files, by their paths in it; nothing may be there. Raises ``CannotWrite``."""
    if os.path.lexists(folder):
        raise _there(folder)
    made = beside(folder)
    try:
        made.mkdir()
        for name, text in texts.items():
            file = made / name
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(text.encode())
        made.rename(folder)
    except OSError as error:
        raise _cannot(folder, error) from error
    finally:
        if made.exists():
            from shutil import rmtree

            rmtree(made, ignore_errors=True)


def make_folder(folder: Path) -> None:
    """Make a folder, and those it lies in, where they are not there yet. Raises ``CannotWrite``."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _cannot(folder, error) from error


def stays(path: Path) -> None:
    """Refuse a link that leads out of the folder it lies in: raises ``CannotWrite`` unless that is allowed."""
    if path.is_symlink() and not inside(path, path.parent):
        message = f"{path} is a link out of its folder, to {os.path.realpath(path)}; {ALLOWED} can allow that"
        raise CannotWrite(message)


def beside(path: Path) -> Path:
    """Return a name beside a file or folder that nobody has: hidden, so that no search for plans finds it."""
    return path.with_name(f".{path.name[:LONGEST]}.{os.urandom(4).hex()}.new")


def _bytes(file: Written) -> tuple[bytes | None, bytes]:
    """Return what a file holds and what it is to hold, if it still is what it was."""
    if file.old is None:
        if os.path.lexists(file.path):
            raise _there(file.path)
        return None, file.new.encode()
    try:
        if not file.path.is_file():  # a pipe would never end
            message = f"{file.path} is no file that could be written"
            raise CannotWrite(message)
        data = file.path.read_bytes()
    except OSError as error:
        raise _cannot(file.path, error) from error
    mark = BOM if data.startswith(BOM) else b""
    if data.removeprefix(BOM) != file.old.encode():
        message = f"{file.path} has changed since it was read; nothing is written"
        raise CannotWrite(message)
    return data, mark + file.new.encode()


def _restore(made: Iterable[tuple[_Beside, bytes | None]]) -> None:
    """Put back what was there before, where the new one is there already."""
    for one, old in made:
        with suppress(OSError, CannotWrite):
            if one.target.read_bytes() != one.data:
                continue
            if old is None:
                one.target.unlink()
            else:
                _put_back(_Beside(one.path, old))


def _put_back(one: _Beside) -> None:
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
        raise _cannot(path, error) from error


def _there(path: Path) -> CannotWrite:
    """Return the refusal to overwrite."""
    return CannotWrite(f"{path} is there already, and is not overwritten")


def _cannot(path: Path, error: OSError) -> CannotWrite:
    """Return the refusal for an error of the system."""
    return CannotWrite(f"{path} cannot be written: {(error.strerror or str(error)).lower()}")
