"""``lampwright wire --allocate``: the proposal in words and as a change of the plan, written only if that is asked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from lampwright.commands.output import options, say, write
from lampwright.edits import CannotWrite, Written, difference, save
from lampwright.intake import read_document
from lampwright.reports.printable import printable, wrapped
from lampwright.words import counted, listed
from lampwright_wiring.allocation.proposal import Proposal, propose
from lampwright_wiring.saying import CAUTION

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout

FOUND: Final = 1
"""Exit code where there is no way for a plan."""


def allocated(ctx: click.Context, found: Sequence[Layout], board: str, *, anew: bool, written: bool) -> None:
    """Propose outputs for plans; all of them are written or none."""
    files, lost = [], False
    for layout in found:
        path = Path(layout.plan.file)
        if not path.is_file():
            raise click.UsageError("--allocate needs a plan in a file")
        document, _ = read_document(path, layout.plan.file)
        made = propose(layout, document, _known(layout, board), anew=anew)
        for line in _told(layout, made):
            write(f"{line}\n")
        if made.text:
            write(difference(document.text, made.text, layout.plan.file))
            files.append(Written(path, document.text, made.text))
        lost = lost or bool(made.reasons)
    _write(files, lost=lost, written=written)
    if lost:
        ctx.exit(FOUND)


def _known(layout: Layout, kind: str) -> str:
    """Refuse a kind of board that is not there."""
    from lampwright_wiring.catalogue import catalogue

    parts = catalogue(layout)
    if kind and parts.board(kind) is None:
        from lampwright.words import did_you_mean

        tip = did_you_mean(kind, parts.names("boards"), "the kinds of boards")
        raise click.UsageError(f"there is no kind of board {kind}: {tip}")
    return kind


def _told(layout: Layout, made: Proposal) -> Iterator[str]:
    """Yield the proposal of one plan in words."""
    width = options().width
    yield printable(layout.plan.name or layout.plan.file)
    if made.reasons:
        yield "There is no way to give all lamps outputs:"
        for reason in made.reasons:
            yield from (f"  {line}" for line in wrapped(printable(reason), width - 2))
    elif not made.outputs:
        yield "Every lamp that is to have an output has one."
    else:
        number = len({output for names in made.outputs.values() for output in names})
        yield from wrapped(f"{counted(number, 'output')} for {_signals(made)}; {_boards(made)}.", width)
    yield ""


def _signals(made: Proposal) -> str:
    """Return the signals that get outputs."""
    return listed(dict.fromkeys(need.signal for need in made.outputs))


def _boards(made: Proposal) -> str:
    """Return what boards are added, and whether fewer would do."""
    if not made.added:
        return "no board is added"
    names = [f"{board.name} ({board.kind.name})" for board in made.added if board.kind]
    verb = "is" if len(names) == 1 else "are"
    proof = "fewer cannot do" if made.fewest else "fewer might do, there are too many ways to try them all"
    return f"{listed(names)} {verb} added: {proof}"


def _write(files: Sequence[Written], *, lost: bool, written: bool) -> None:
    """Write the plans, or say that nothing is written."""
    if files and written and not lost:
        try:
            save(files)
        except CannotWrite as error:
            raise click.ClickException(str(error)) from error
        say(f"lampwright: written into {listed(str(file.path) for file in files)}")
    elif files:
        say("lampwright: nothing is written" + ("" if lost else "; --write does it"))
    say(f"lampwright: {CAUTION}")
