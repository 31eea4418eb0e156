"""``lampwright watch``: checks again whenever a file changes."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from lampwright.commands.chosen import STANDARD_INPUT, about_plans, chosen_rulebook, named_files, sources
from lampwright.commands.group import session_of
from lampwright.commands.main import INTERRUPTED
from lampwright.commands.output import options, say, write
from lampwright.documents import is_file, is_folder, is_there
from lampwright.fence import inside
from lampwright.layout import Settings
from lampwright.library import brought
from lampwright.words import counted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lampwright.project import Result
    from lampwright.session import Session
    from lampwright.settings import Configuration

    Seen = dict[Path, tuple[int, int]]
    """Of every file when it was last changed (ns) and its size; -1 if it was not there."""

PAUSE: Final = 0.3
"""Seconds between two looks. Files are asked, not the system: that works on every disk, and a look is cheap."""


@click.command(
    epilog="""
\b
Examples:
  lampwright watch layouts/
  lampwright watch layout.yaml --rulebook ./mine/     while you write a rulebook of your own
"""
)
@about_plans
@click.option("--rounds", type=int, default=0, hidden=True, help="Stop after so many checks.")
@click.pass_context
def watch(ctx: click.Context, paths: tuple[str, ...], *, year: str, rulebook: str, rounds: int) -> None:
    """Check plans and rulebooks again whenever one of them changes, until ^C.

    PATHS are files or folders. Files that come or go are noticed, and so are changes to the rulebook of --rulebook and
    to the configuration.
    """
    if str(STANDARD_INPUT) in paths:
        raise click.UsageError("standard input cannot be watched: name files or folders")
    session = session_of(ctx)
    done = 0
    while True:
        fresh = session.anew()
        files, before = _look(fresh, paths, rulebook)
        try:
            _check(fresh, files, year, rulebook)
        except click.UsageError as error:  # what was there when the call was made may come again
            if not done:
                raise
            say(f"lampwright: {error.format_message()}")
        done += 1
        if rounds and done >= rounds:
            return
        try:
            say(f"lampwright: watching {counted(len(files), 'file')}; ^C ends it")
            while _look(session.anew(), paths, rulebook)[1] == before:
                time.sleep(PAUSE)
        except KeyboardInterrupt:  # the usual end of watching: nothing was interrupted
            ctx.exit(INTERRUPTED)


def _check(session: Session, files: Sequence[Path], year: str, rulebook: str) -> None:
    """Check once, and print the report."""
    from lampwright.reports.capped import USUAL, capped
    from lampwright.reports.text import report

    named = chosen_rulebook(session, rulebook) if rulebook else ""
    if named is None:
        result: Result = _unusable(session)
    else:
        result = session.examine(sources(files), Settings(year, named))
    report(capped(result, USUAL), write, options())


def _unusable(session: Session) -> Result:
    """Return what keeps the rulebook from being used: it may be mended at the next look."""
    from lampwright.project import Result

    library = session.library
    found = [*library.findings, *session.troubles, *session.misconfigured]
    return Result(found, documents={**library.documents, **session.configuration_documents})


def _look(session: Session, paths: Sequence[str], rulebook: str) -> tuple[list[Path], Seen]:
    """Return the files to check, and what tells of every file that counts whether it has changed."""
    files = named_files(session, [path for path in paths if is_there(Path(path))])
    beside = [Path(rulebook)] if rulebook else []
    for configuration in {id(one): one for one in map(session.configurations.of, files) if one.name}.values():
        beside += [Path(configuration.name), *_rulebooks(configuration)]
    return files, {file: _stamp(file) for file in (*files, *_within(beside))}


def _rulebooks(configuration: Configuration) -> Iterator[Path]:
    """Yield the rulebooks of a configuration, as far as they are read."""
    for folder in configuration.rulebooks:
        if inside(folder, configuration.folder):
            yield from (file for file, _ in brought(folder, folder.name))


def _within(paths: Iterable[Path]) -> Iterator[Path]:
    """Yield files, and the YAML files in folders."""
    for path in paths:
        if is_file(path):
            yield path
        elif is_folder(path):
            yield from sorted(path.rglob("*.yaml"))


def _stamp(file: Path) -> tuple[int, int]:
    """Return when a file was last changed, and its size."""
    try:
        status = file.stat()
    except OSError:
        return -1, -1
    return status.st_mtime_ns, status.st_size
