"""The baseline of a call: read, applied, and written when that is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click
from msgspec import Struct

from lampwright.commands.output import say, show

if TYPE_CHECKING:
    from pathlib import Path

    from lampwright.project import Result
    from lampwright.sifting.baseline import Counts


class Agreement(Struct, frozen=True):
    """A baseline file with what it holds, and what is to become of it."""

    path: Path
    counts: Counts
    write: bool
    shrink: bool

    def apply(self, result: Result) -> None:
        """Write the baseline if asked to, then leave out of the result what it holds."""
        from lampwright.sifting.baseline import counted, gone, leave_out, named, shrunk

        counts = self.counts
        found = counted(result, self.path)
        if self.write:
            counts = found
        elif self.shrink:
            looked_at = {named(file, self.path) for file in result.files}
            counts = shrunk(counts, found, looked_at | gone(counts, self.path))
        if counts != self.counts or (self.write and not self.path.exists()):
            self._put(counts)
        for sentence in leave_out(result, counts, self.path):
            say(f"lampwright: {sentence}")

    def _put(self, counts: Counts) -> None:
        """Write the baseline."""
        from lampwright.edits import CannotWrite, put
        from lampwright.sifting.baseline import text

        try:
            put(self.path, text(counts), over=True)
        except CannotWrite as error:
            raise click.ClickException(str(error)) from error
        total = sum(number for rules in counts.values() for number in rules.values())
        say(f"lampwright: {self.path} now agrees on {total:,}")


def agreement(path: Path | None, *, write: bool, shrink: bool) -> Agreement | None:
    """Return the baseline that a call names; a wrong one, or options without one, end the call."""
    if path is None:
        if write or shrink:
            raise click.UsageError("which file is the baseline? name it with --baseline FILE")
        return None
    if write and shrink:
        raise click.UsageError("--write-baseline and --shrink-baseline exclude each other")
    if write and not path.exists():
        return Agreement(path, {}, write, shrink)
    from lampwright.sifting.baseline import read

    counts, document, findings = read(path)
    if findings:
        import sys

        show(findings, {document.name: document}, to=sys.stderr.write)
        raise click.UsageError(f"the baseline {path} cannot be used; --write-baseline makes one where none is")
    return Agreement(path, counts, write, shrink)
