"""What a row of the table of faults is, and where it happens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathlib import Path

    from faults.struck import Ended, Struck
    from faults.writers import Writer

State = dict[str, bytes]
"""What stands in a folder, by path; what is hidden is apart."""


@dataclass(frozen=True)
class Happened:
    """What came of a fault, in words, and with which exit code the call ended."""

    what: str
    code: int


@dataclass
class Place:
    """A folder of its own for a row, and a warm process to run calls in."""

    root: Path
    struck: Struck

    @property
    def folder(self) -> Path:
        """Return where calls are made."""
        return self.root / "layouts"

    def write(self, writer: Writer, what: str = "", at: int = -1) -> Ended:
        """Make the folder what it was, and run a call that writes."""
        writer.lay(self.folder)
        return self.again(writer, what, at)

    def again(self, writer: Writer, what: str = "", at: int = -1) -> Ended:
        """Run a call that writes in the folder as it is."""
        few = {"LAMPWRIGHT_PLUGINS": writer.plugins} if writer.plugins else {}
        return self.struck.call(self.folder, *writer.arguments, stdin=writer.stdin, environment=few, what=what, at=at)

    def state(self) -> State:
        """Return what stands in the folder."""
        files = [path for path in self.folder.rglob("*") if path.is_file()]
        named = {path.relative_to(self.folder).as_posix(): path for path in files}
        return {name: path.read_bytes() for name, path in named.items() if not hidden(name)}

    def left(self) -> list[str]:
        """Return what hidden files and folders stand in the folder."""
        return sorted(path.name for path in self.folder.rglob(".*"))


def hidden(name: str) -> bool:
    """Tell whether a file, or a folder it lies in, is hidden."""
    return any(part.startswith(".") for part in name.split("/"))


Row = Callable[["Place"], "Happened"]
ROWS: Final[dict[str, Row]] = {}
"""The table: each row makes a fault happen, asserts what must come of it, and says what did."""


def row(name: str) -> Callable[[Row], Row]:
    """Put a function into the table."""

    def put(function: Row) -> Row:
        ROWS[name] = function
        return function

    return put
