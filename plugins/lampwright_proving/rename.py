"""``lampwright rename``: a signal gets another name in all plans, and its log goes on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lampwright.commands.chosen import layouts
from lampwright.commands.output import say
from lampwright.edits import CannotEdit, CannotWrite, Written, edited, save
from lampwright.renaming import CannotRename, renamed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lampwright.edits import Change
    from lampwright.layout import Layout


@click.command(
    epilog="""
\b
Examples:
  lampwright rename TB1 TB101 layout.yaml
  lampwright rename north/TB1 TB101 layouts/      in a layout of several files
"""
)
@click.argument("old")
@click.argument("new")
@click.argument("paths", nargs=-1, required=True)
@click.pass_context
def rename(ctx: click.Context, old: str, new: str, paths: tuple[str, ...]) -> None:
    """Give a signal another name, wherever plans name it; all files are written, or none.

    OLD is the signal, with its file before it (north/TB1) if several plans have one of that name. The log of proofs
    goes on under the new name.
    """
    found = layouts(ctx, list(paths), "", "")
    file, slash, name = old.rpartition("/")
    homes = [one for one in found if name in one.plan.signals and (not slash or one.plan.stem == file)]
    if len(homes) != 1:
        raise click.UsageError(_which(found, homes, old))
    try:
        _write(renamed(found, homes[0], name, new), Path(homes[0].plan.file), name, new)
    except (CannotRename, CannotEdit, CannotWrite) as error:
        raise click.ClickException(str(error)) from error


def _which(found: Sequence[Layout], homes: Sequence[Layout], old: str) -> str:
    """Say why it is not clear which signal is meant."""
    if homes:
        several = ", ".join(f"{one.plan.stem}/{old}" for one in homes)
        return f"there are several of that name: {several}"
    from lampwright.words import did_you_mean  # only a slip pays for it

    names = [name for one in found for name in one.plan.signals]
    return f"there is no signal {old}: {did_you_mean(old.rpartition('/')[2], names, 'the signals')}"


def _write(changes: dict[str, list[Change]], home: Path, old: str, new: str) -> None:
    """Write the plans, and the log if there is one."""
    from lampwright.documents import read
    from lampwright_proving.keeping.log import added, record

    files = []
    for file, made in changes.items():
        document = read(Path(file), file)
        files.append(Written(Path(file), document.text, edited(document, made)))
    log = added(home, [record(old, renamed=new)])
    save([*files, *([log] if log is not None else [])])
    for written in files:
        say(f"lampwright: {written.path}: {old} is {new} now")
