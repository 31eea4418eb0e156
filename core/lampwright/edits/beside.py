"""A file is written beside the one it is meant for, and then takes its place in one step."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path
from typing import Final

from lampwright.fence import ALLOWED, inside

LONGEST: Final = 60
"""Characters of a file's name that stand in the name of the one beside it: systems have a limit."""


class CannotWrite(Exception):  # noqa: N818  (what a file does not allow)
    """A file cannot be written; the message names it and says why. Nothing of it has changed."""


class Beside:
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
            raise cannot(self.path, error) from error

    def replace(self) -> None:
        """Put it in the place of what is there."""
        try:
            self.beside.replace(self.target)
        except OSError as error:
            raise cannot(self.path, error) from error

    def place(self) -> None:
        """Put it where nothing is; what has come meanwhile stays."""
        try:
            self.target.hardlink_to(self.beside)
        except FileExistsError as error:
            raise there(self.path) from error
        except OSError:  # a file system without links
            self.replace()

    def discard(self) -> None:
        """Take it away, if it is still there; if even that fails, it has a hidden name that nobody reads."""
        with suppress(OSError):
            self.beside.unlink()


def stays(path: Path) -> None:
    """Refuse a link that leads out of the folder it lies in: raises ``CannotWrite`` unless that is allowed."""
    if path.is_symlink() and not inside(path, path.parent):
        message = f"{path} is a link out of its folder, to {os.path.realpath(path)}; {ALLOWED} can allow that"
        raise CannotWrite(message)


def beside(path: Path) -> Path:
    """Return a name beside a file or folder that nobody has: hidden, so that no search for plans finds it."""
    return path.with_name(f".{path.name[:LONGEST]}.{os.urandom(4).hex()}.new")


def there(path: Path) -> CannotWrite:
    """Return the refusal to overwrite."""
    return CannotWrite(f"{path} is there already, and is not overwritten")


def cannot(path: Path, error: OSError) -> CannotWrite:
    """Return the refusal for an error of the system."""
    return CannotWrite(f"{path} cannot be written: {(error.strerror or str(error)).lower()}")
