"""Telling a verdict, and making the plan say what was found: checked first, then written whole."""

from __future__ import annotations

import sys
from collections import Counter
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec import Struct

from lampwright.commands.group import session_of
from lampwright.commands.output import say, show, write
from lampwright.edits import CannotEdit, CannotWrite, Written, difference, edited, save
from lampwright.findings import Level
from lampwright.intake import read_document
from lampwright.reports.printable import printable, wrapped
from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.documents import Document
    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright.project import Result
    from lampwright_proving.mending import Mending
    from lampwright_proving.verdict import Verdict

WIDTH = 100


class Proposal(Struct, frozen=True, dict=True):
    """What the plan would become if it said what is, and whether the checks let it."""

    ctx: click.Context
    layout: Layout
    mends: Mending

    @cached_property
    def document(self) -> Document:
        """The plan's file as it is now."""
        return read_document(Path(self.layout.plan.file), self.layout.plan.file)[0]

    @cached_property
    def text(self) -> str:
        """The plan's new text. Raises ``CannotEdit``."""
        return edited(self.document, self.mends.changes)

    @cached_property
    def worse(self) -> tuple[list[Finding], dict[str, Document]] | None:
        """The errors that the checks would find then, with the documents they are in; None if there are none."""
        return _worse(self.ctx, self.layout, self.document.text, self.text)

    @cached_property
    def stands(self) -> bool:
        """Whether there is something to write that may be written."""
        return bool(self.mends.changes) and self.worse is None


def told(  # noqa: PLR0913
    ctx: click.Context, layout: Layout, verdict: Verdict, *, fix: bool, take: int | None, form: str
) -> bool:
    """Tell a verdict, propose what puts it right, and do it if that is wanted; return whether something stays wrong."""
    if take is not None and not 1 <= take <= len(verdict.explanations):
        there = {0: "no explanation", 1: "one explanation"}
        known = there.get(number := len(verdict.explanations), f"{number} explanations")
        raise click.UsageError(f"--take {take}: there {'are' if number > 1 else 'is'} {known}")
    explanation = None if verdict.diagnosis.all_right else verdict.chosen(take)
    proposal = None if explanation is None else Proposal(ctx, layout, verdict.mending(explanation))
    if form == "json":
        import json

        write(json.dumps(verdict.record(), indent=2, ensure_ascii=False) + "\n")
    else:
        _write(verdict.lines())
        if proposal is not None:
            _write(_remedies(proposal))
    if verdict.diagnosis.all_right:
        return False
    if not fix:
        return True
    if proposal is None:
        say("lampwright: nothing is written: say which explanation is the right one, as in --take 1")
        return True
    return not _fixed(proposal)


def _write(lines: Iterator[str]) -> None:
    """Write lines, wrapped under themselves."""
    for line in lines:
        indent = " " * (len(line) - len(line.lstrip()))
        for number, part in enumerate(wrapped(printable(line.lstrip()), WIDTH - len(indent) - 2)):
            write(f"{indent}{'  ' if number else ''}{part}\n")


def _remedies(proposal: Proposal) -> Iterator[str]:
    """Yield what puts one explanation right, by the signal or by the plan."""
    mends = proposal.mends
    yield ""
    if mends.repairs:
        yield "Mend on the signal:"
        yield from (f"  {repair}" for repair in mends.repairs)
    correcting = [*_correcting(proposal)]
    if mends.built and proposal.stands:
        yield f"{listed(mends.built)} {'is' if len(mends.built) == 1 else 'are'} built: rewire, or correct the plan."
    ways = [_rewiring(mends), correcting]
    for way in reversed(ways) if proposal.stands and not mends.built else ways:
        yield from way
    yield "Then load the new tables, if the plan has changed, and prove it again."


def _rewiring(mends: Mending) -> list[str]:
    """Return how to make the signal what the plan says."""
    if not mends.rewiring:
        return []
    return ["To make the signal what the plan says:", *(f"  {way}" for way in mends.rewiring)]


def _correcting(proposal: Proposal) -> Iterator[str]:
    """Yield how to make the plan say what the signal is, or why it cannot."""
    yield from proposal.mends.untold
    if not proposal.mends.changes:
        return
    try:
        if proposal.worse:
            findings, _ = proposal.worse
            found = "; ".join(dict.fromkeys(f"{one.message} ({one.rule})" for one in findings))
            yield f"Only rewiring puts it right: if the plan said what is, the checks would find: {found}"
            return
        yield "To make the plan say what is (--fix writes it):"
        new = difference(proposal.document.text, proposal.text, proposal.layout.plan.file)
        yield from (f"  {line}" for line in new.splitlines())
    except CannotEdit as error:
        yield str(error)


def _fixed(proposal: Proposal) -> bool:
    """Change the plan's file; return whether that put everything right."""
    mends, file = proposal.mends, proposal.layout.plan.file
    if not mends.changes:
        say(f"lampwright: nothing is written: {'; '.join(mends.untold) or 'the plan can say nothing of this'}")
        return False
    try:
        if proposal.worse:
            say("lampwright: nothing is written, for with that change the checks find:")
            show(*proposal.worse, to=sys.stderr.write)
            return False
        save([Written(Path(file), proposal.document.text, proposal.text)])
    except (CannotEdit, CannotWrite) as error:
        raise click.ClickException(str(error)) from error
    say(f"lampwright: {file} is changed; load the new tables, and prove it again")
    return not (mends.repairs or mends.untold)


def _worse(ctx: click.Context, layout: Layout, old: str, new: str) -> tuple[list[Finding], dict[str, Document]] | None:
    """Return the errors that the checks of all plugins find in a changed plan and not in the old one.

    What was not looked for at a signal before, because something else was wrong there, does not count against the
    change. An overload that could not be seen before does: nothing that may do harm is written unseen.
    """
    before, after = (_examined(ctx, layout, text) for text in (old, new))
    known = Counter(map(_same, before.findings))
    skipped = [(skip.check, skip.path) for skip in before.skips if skip.path]
    worse = []
    for finding in after.findings:
        unseen = any(finding.rule == rule and finding.spot.path[: len(path)] == path for rule, path in skipped)
        if finding.level is Level.ERROR and not known[_same(finding)] and not unseen:
            worse.append(finding)
        known[_same(finding)] -= 1
    return (worse, after.documents) if worse else None


def _examined(ctx: click.Context, layout: Layout, text: str) -> Result:
    """Return what the checks find in a text of the plan."""
    return session_of(ctx).anew().examine([(layout.plan.file, text.encode())], layout.settings)


def _same(finding: Finding) -> tuple[str, str]:
    """Return what makes a finding the same as before: lines may have moved."""
    return finding.rule, finding.message
