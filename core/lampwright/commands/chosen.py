"""What a call chooses: files, the year, the rulebook; and the layouts that commands about plans work on."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from lampwright.commands.group import session_of
from lampwright.commands.output import say, show
from lampwright.documents import find, is_file, is_folder, is_there
from lampwright.layout import Settings
from lampwright.library import FILE

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lampwright.layout import Layout
    from lampwright.project import Result, Source
    from lampwright.session import Session

    F = TypeVar("F", bound=Callable[..., Any])

STANDARD_INPUT = Path("-")
FOUND = 1
NOTHING_TO_CHECK = 3
"""Exit codes: a plan cannot be used; no plan where one was looked for."""
MOST = 5
"""Links that are told of by name."""


def about_plans(command: F) -> F:
    """Give a command the argument and options by which plans are chosen: ``paths``, ``year``, ``rulebook``."""
    choices = (
        click.argument("paths", nargs=-1, required=True),
        click.option("--year", default="", help="A year, a span (1974..1979) or an era; in place of what plans say."),
        click.option(
            "--rulebook",
            default="",
            metavar="ID|PATH",
            help="A rulebook's id, or its folder; in place of what plans say.",
        ),
    )
    for choice in reversed(choices):
        command = choice(command)
    return command


def layouts(ctx: click.Context, paths: Sequence[str], year: str, rulebook: str) -> list[Layout]:
    """Return the layouts of the plans that are named; no check runs.

    What keeps a plan or rulebook from being used is told, and the exit code is 1; it is 3 if there is no plan.
    """
    from lampwright.project import Run

    session = session_of(ctx)
    named = sources(named_files(session, paths))
    book = chosen_rulebook(session, rulebook) if rulebook else ""
    settings = Settings(year, book or "")
    run = Run(session.library, [], settings, allow=False)
    run.by_file = session.configured(named, settings)
    result = run.over(named) if book is not None else run.result
    if year:
        know_year(result, year)
    if trouble := [*result.findings, *(session.library.findings if book is None else ()), *session.misconfigured]:
        documents = {**session.library.documents, **result.documents, **session.configuration_documents}
        show(trouble, documents, to=sys.stderr.write)
        ctx.exit(FOUND)
    if not result.layouts:
        say(f"lampwright: there is no plan in {', '.join(paths)}")
        ctx.exit(NOTHING_TO_CHECK)
    return result.layouts


def named_files(session: Session, paths: Sequence[str]) -> list[Path]:
    """Return the files to look at, in folders those that the configuration takes; a path to nowhere is a wrong call."""
    for path in paths:
        if path != str(STANDARD_INPUT) and not is_there(Path(path)):
            raise click.UsageError(f"there is no file or folder {path}")
    out: list[Path] = []
    found = find(paths, lambda file: session.configurations.of(file).takes(file), out.append)
    if out:
        _tell_of_links(out)
    return found


def _tell_of_links(links: Sequence[Path]) -> None:
    """Say which links in folders were not followed."""
    from lampwright.fence import ALLOWED

    more = f" and {len(links) - MOST:,} more" if len(links) > MOST else ""
    say(f"lampwright: not read, for a link there leads out of the folder: {', '.join(map(str, links[:MOST]))}{more}")
    say(f"lampwright: name the file, or allow the folder it is in by {ALLOWED}")


def sources(files: Sequence[Path]) -> list[Source]:
    """Return files with the names by which they are shown."""
    return [("<stdin>" if file == STANDARD_INPUT else str(file), file) for file in files]


def chosen_rulebook(session: Session, named: str) -> str | None:
    """Return the id of the rulebook to follow; None if it stands in a file that cannot be used."""
    if named in session.library.ids:
        return named
    path = Path(named)
    file = path / FILE if is_folder(path) else path
    if not is_file(file):
        from lampwright.words import did_you_mean  # only a slip pays for it

        tip = did_you_mean(named, session.library.ids, "the rulebooks")
        raise click.UsageError(f"there is no rulebook {named}, nor a folder or file of that name: {tip}")
    book = session.library.open(file)
    return book.id if book is not None else None


def know_year(result: Result, year: str) -> None:
    """Refuse a year that is neither one nor an era of the rulebook in use."""
    for layout in result.layouts:
        if layout.rulebook is not None and layout.years is None:
            from lampwright.words import did_you_mean  # only a slip pays for it

            tip = did_you_mean(year, layout.rulebook.eras, f"the eras of {layout.rulebook.id}")
            raise click.UsageError(f"--year {year} is neither a year, nor a span like 1974..1979, nor an era: {tip}")
