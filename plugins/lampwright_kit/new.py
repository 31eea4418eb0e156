"""``lampwright new``: a package for a rulebook, or a plan to begin with. Nothing that is there is overwritten."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lampwright.commands import session_of
from lampwright.commands.chosen import chosen_rulebook
from lampwright.commands.output import say, write

if TYPE_CHECKING:
    from lampwright.rulebooks import Rulebook
    from lampwright.session import Session

WORD = re.compile(r"[a-z][a-z0-9-]*[a-z0-9]")


@click.group(
    epilog="""
\b
Examples:
  lampwright new plan --rulebook gb-colour-light        plan.yaml, to begin with
  lampwright new rulebook my-railway                    a package for a rulebook of your own
"""
)
def new() -> None:
    """Begin a plan, or a rulebook of your own."""


@new.command(
    epilog="""
\b
Examples:
  lampwright new rulebook my-railway
  lampwright new rulebook my-railway --title "My railway, colour-light signals" --in ~/src
"""
)
@click.argument("name", metavar="ID")
@click.option("--title", default="", help="Name of the rulebook for people.")
@click.option(
    "--in",
    "folder",
    default=".",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="Folder to put it in; this one if left out.",
)
@click.pass_context
def rulebook(ctx: click.Context, name: str, title: str, folder: Path) -> None:
    """Write a package for a rulebook of your own.

    ID is what plans call the rulebook. The package holds a small invented railway, with its tests, to be replaced piece
    by piece.
    """
    from lampwright.edits import CannotWrite, put_folder
    from lampwright_kit.scaffold import distribution, package

    _fit(name, session_of(ctx).library.ids)
    if not title.isprintable() or '"' in title or ": " in title or "#" in title:
        raise click.UsageError('--title stands in YAML and TOML: it can hold neither quotes nor "#" nor ": "')
    target = folder / distribution(name)
    try:
        put_folder(target, package(name, title))
    except CannotWrite as error:
        raise click.ClickException(str(error)) from error
    say(f"lampwright: {target} is there now; next:")
    say(f"  cd {target} && pip install -e '.[test]' && pytest")


@new.command(
    epilog="""
\b
Examples:
  lampwright new plan --rulebook gb-colour-light            writes plan.yaml
  lampwright new plan north/yard.yaml --rulebook ./mine/    by a rulebook of your own
  lampwright new plan - --rulebook gb-colour-light          prints it
"""
)
@click.argument("file", default="plan.yaml", type=click.Path(path_type=Path))
@click.option("--rulebook", "named", default="", metavar="ID|PATH", help="Rulebook to follow.")
@click.pass_context
def plan(ctx: click.Context, file: Path, named: str) -> None:
    """Write a plan to begin with.

    FILE is the plan, plan.yaml if left out. Without --rulebook that of the configuration is followed.
    """
    from lampwright.edits import CannotWrite, put
    from lampwright_kit.starter import starter

    session = session_of(ctx)
    book = _book(ctx, session, named or _configured(session, file))
    text = starter(session, book)
    if not text:
        raise click.ClickException(f"no signal of {book.id} stands in a plan without findings; see its examples")
    if file == Path("-"):
        write(text)
        return
    try:
        put(file, text)
    except CannotWrite as error:
        raise click.ClickException(str(error)) from error
    say(f"lampwright: {file} is there now; next: lampwright check {file}")


def _fit(name: str, known: list[str]) -> None:
    """Refuse an id that cannot be one, or is taken."""
    if WORD.fullmatch(name) is None:
        raise click.UsageError(f"{name} is no id: small letters, digits and hyphens, as in my-railway")
    if name in known:
        raise click.UsageError(f"there is a rulebook {name} already; `lampwright rulebooks {name}` shows it")


def _configured(session: Session, file: Path) -> str:
    """Return the rulebook that the configuration names; by its id alone, for it is a file like those it speaks of."""
    said = session.configurations.of(file).rulebook
    if said and said not in session.library.ids:
        raise click.UsageError(f"the configuration names the rulebook {said}, which is not there; --rulebook names one")
    return said


def _book(ctx: click.Context, session: Session, named: str) -> Rulebook:
    """Return the rulebook to follow."""
    if not named:
        raise click.UsageError("for which rulebook? name it with --rulebook ID; `lampwright rulebooks` lists them")
    chosen = chosen_rulebook(session, named)
    book = session.library.get(chosen) if chosen else None
    if book is None:
        from lampwright.commands.output import show

        show(session.library.findings, session.library.documents)
        ctx.exit(1)
    return book
