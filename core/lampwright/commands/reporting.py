"""The reports of a call: the one that is printed, and those that go to files besides."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

import click
from msgspec import Struct

from lampwright.commands.output import write
from lampwright.reports import Options

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lampwright.findings import Level
    from lampwright.project import Result
    from lampwright.reports import Reporter
    from lampwright.session import Session

ANNOTATIONS: Final = "github"
"""The format whose lines a build server takes out of what is printed."""


class Besides(Struct, frozen=True):
    """A report besides the one that is printed; to a file, or without one behind it."""

    form: str
    reporter: Reporter
    path: Path | None = None

    def make(self, session: Session, result: Result, fail_on: Level) -> None:
        """Write the report; a file is written whole or not at all."""
        options = Options(fail_on=fail_on)
        if self.path is None:
            print_report(session, self.reporter, self.form, result, options)
            return
        from lampwright.edits import CannotWrite, put

        pieces: list[str] = []
        print_report(session, self.reporter, self.form, result, options, pieces.append)
        try:
            put(self.path, "".join(pieces), over=True)
        except CannotWrite as error:
            raise click.ClickException(str(error)) from error


def reports(session: Session, said: Sequence[str], *, annotations: bool) -> list[Besides]:
    """Return the reports that a call wants besides, ``FORMAT=FILE`` each; a wrong one ends the call before any work."""
    wanted = []
    for one in said:
        form, sign, file = one.partition("=")
        if not sign or not file:
            raise click.UsageError(f"--report {one} names no file: write FORMAT=FILE, as in sarif=lampwright.sarif")
        wanted.append(Besides(form, reporter_of(session, form), Path(file)))
    if annotations:
        known = session.host.reporters()
        wanted += [Besides(ANNOTATIONS, known[ANNOTATIONS])] if ANNOTATIONS in known else []
    return wanted


def reporter_of(session: Session, form: str) -> Reporter:
    """Return what prints the wanted format."""
    known = session.host.reporters()
    if form not in known:
        from lampwright.words import did_you_mean  # only a slip pays for it

        raise click.UsageError(f"there is no format {form}: {did_you_mean(form, known, 'the formats')}")
    return known[form]


def print_report(  # noqa: PLR0913, PLR0917  (what a reporter needs, and whom to blame)
    session: Session,
    reporter: Reporter,
    form: str,
    result: Result,
    options: Options,
    to: Callable[[str], object] = write,
) -> None:
    """Print a report; a reporter that falls over is a failure of the plugin it came from."""
    try:
        reporter(result, to, options)
    except OSError:
        raise
    except Exception as error:
        failure = session.host.raised("reporters", form, error)
        raise click.ClickException(f"plugin {failure.plugin} {failure.version}: {failure.cause}") from error
