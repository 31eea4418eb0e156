"""``lampwright changes``: what a change to a plan means for wires, controllers and proofs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click
from msgspec import to_builtins

from lampwright.commands.chosen import FOUND
from lampwright.commands.group import session_of
from lampwright.commands.output import options, say, show, write
from lampwright.layout import Settings
from lampwright.reports.printable import wrapped
from lampwright.words import listed

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright_proving.keeping.comparing import Changes
    from lampwright_proving.keeping.fitted import Fitted

ALONE: Final = {"GIT_ALLOW_PROTOCOL": "none", "GIT_NO_LAZY_FETCH": "1"}
"""What keeps git from fetching what is not there: a repository's own settings could name a program for that."""
SAME: Final = (
    "Nothing is to be done: commands with what they light, outputs, boards, parts of lamps and routes are said alike. "
    "Track and sections are not compared: `lampwright sequence` and `lampwright table` show what follows from them."
)
RENAMED: Final = "Renamed, nothing to prove (tables that hold names, or addresses given by name, are to be loaded)"
ROUTES: Final = "Routes are said otherwise (`lampwright sequence` and `lampwright table` show what that means)"
CAUTION: Final = "extra-low voltage only; power off before a wire is moved or a part exchanged"


@click.command(
    epilog="""
\b
Examples:
  lampwright changes old.yaml new.yaml
  lampwright changes HEAD~1:layout.yaml layout.yaml     since the last commit
  lampwright changes v1:layout.yaml v2:layout.yaml      between two revisions, by git

\b
Exit codes:
  0  nothing is to be done
  1  something is, or a plan cannot be used
"""
)
@click.argument("old")
@click.argument("new")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.pass_context
def changes(ctx: click.Context, old: str, new: str, form: str) -> None:
    """Say what to do after a change: wires to move, parts to exchange, boards to set, tables to load, what to prove.

    OLD and NEW are plans: files, or REVISION:FILE as git has them.
    """
    from lampwright_proving.keeping.comparing import changes as compared

    found = compared(_layout(ctx, old), _layout(ctx, new))
    if form == "json":
        write(json.dumps(to_builtins(found), indent=2, ensure_ascii=False) + "\n")
    else:
        for line in _lines(found):
            write(f"{line}\n")
        if found.wires or found.parts or found.boards:
            say(f"lampwright: {CAUTION}")
    if found:
        ctx.exit(FOUND)


def _lines(found: Changes) -> list[str]:
    """Return what is to be done, as text."""
    if not found:
        return [*wrapped(SAME, options().width)]
    from lampwright_proving.keeping.fitted import named

    lines: list[str] = []
    if found.wires:
        lines += ["Wires to move"]
        lines += [f"  {one.signal} {named(one.lamp, one.colour)}: {_from_to(one.old, one.new)}" for one in found.wires]
    for title, names in (
        ("Parts to exchange, or to wire otherwise", [_fitted(one) for one in found.parts]),
        ("Boards to set or exchange", [_fitted(one) for one in found.boards]),
        ("Tables to load", found.controllers),
        ("Prove again", found.prove),
        ("New signals, to be proved", found.new),
        ("Signals that are gone", found.gone),
        (RENAMED, [f"{one.old} is {one.new} now" for one in found.renamed]),
        (ROUTES, found.routes),
    ):
        lines += [title, *(f"  {name}" for name in names)] if names else []
    return lines


def _fitted(one: Fitted) -> str:
    """Say what a part is, and what it was."""
    if not one.old:
        return f"{one.where} {one.what}: {one.new}, where nothing was said"
    return f"{one.where} {one.what}: {f'from {one.old} to {one.new}' if one.new else f'{one.old} is no longer said'}"


def _from_to(old: str | None, new: str | None) -> str:
    """Say where a wire goes from and to."""
    if old is None:
        return f"to {new}, a new wire"
    return f"from {old}, to be taken off" if new is None else f"from {old} to {new}"


def _layout(ctx: click.Context, named: str) -> Layout:
    """Return a plan as it can be used; what keeps it from that is told, and the exit code is 1."""
    from lampwright.project import Run

    source: Path | bytes = Path(named)
    if not Path(named).is_file():
        source = _of_git(named)
    run = Run(session_of(ctx).library, [], Settings(), allow=False)
    result = run.over([(named, source)])
    if result.findings:
        show(result.findings, {**session_of(ctx).library.documents, **result.documents}, to=sys.stderr.write)
        ctx.exit(FOUND)
    if len(result.layouts) != 1:
        raise click.UsageError(f"{named} is no plan")
    return result.layouts[0]


def _of_git(named: str) -> bytes:
    """Return a file as a revision of git has it: ``HEAD~1:layout.yaml``, the file from the folder one is in."""
    revision, colon, file = named.partition(":")
    if not colon or not revision or revision.startswith("-"):
        raise click.UsageError(f"there is no file {named}")
    path = Path(file)
    asked = f"{revision}:./{path.name}"
    try:
        done = subprocess.run(  # noqa: S603
            ["git", "show", asked],  # noqa: S607
            cwd=path.parent,
            env={**os.environ, **ALONE},
            capture_output=True,
            check=False,
        )
    except OSError as error:
        raise click.UsageError(f"there is no file {named}, and git cannot be asked: {error.strerror}") from error
    if done.returncode:
        reason = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise click.UsageError(f"git has no {named}: {listed(reason[:1])}")
    return done.stdout
