"""Telling a verdict, and making the plan say what was found: checked first, then written whole."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import click

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
    from lampwright_proving.diagnosis.faults import Explanation
    from lampwright_proving.mending import Mending
    from lampwright_proving.verdict import Verdict

WIDTH = 100


def told(  # noqa: PLR0913
    ctx: click.Context, layout: Layout, verdict: Verdict, *, fix: bool, take: int | None, form: str
) -> bool:
    """Tell a verdict, propose what puts it right, and do it if that is wanted; return whether something stays wrong."""
    if take is not None and not 1 <= take <= len(verdict.explanations):
        raise click.UsageError(f"--take {take}: there are {len(verdict.explanations)} explanations")
    explanation = None if verdict.diagnosis.all_right else verdict.chosen(take)
    if form == "json":
        import json

        write(json.dumps(verdict.record(), indent=2, ensure_ascii=False) + "\n")
    else:
        _write(verdict.lines())
        if explanation is not None:
            _write(_remedies(layout, verdict, explanation))
    if verdict.diagnosis.all_right:
        return False
    if not fix:
        return True
    if explanation is None:
        say("lampwright: nothing is written: say which explanation is the right one, as in --take 1")
        return True
    return not _fixed(ctx, layout, verdict.mending(explanation))


def _write(lines: Iterator[str]) -> None:
    """Write lines, wrapped under themselves."""
    for line in lines:
        indent = " " * (len(line) - len(line.lstrip()))
        for number, part in enumerate(wrapped(printable(line.lstrip()), WIDTH - len(indent) - 2)):
            write(f"{indent}{'  ' if number else ''}{part}\n")


def _remedies(layout: Layout, verdict: Verdict, explanation: Explanation) -> Iterator[str]:
    """Yield what puts one explanation right, by the signal or by the plan."""
    mends = verdict.mending(explanation)
    yield ""
    if mends.repairs:
        yield "Mend on the signal:"
        yield from (f"  {repair}" for repair in mends.repairs)
    if mends.built:
        yield f"{listed(mends.built)} {'is' if len(mends.built) == 1 else 'are'} built: rewire, or correct the plan."
    ways = [_rewiring(mends), [*_correcting(layout, mends)]]
    for way in ways if mends.built else reversed(ways):
        yield from way
    yield "Then load the new tables, if the plan has changed, and prove it again."


def _rewiring(mends: Mending) -> list[str]:
    """Return how to make the signal what the plan says."""
    if not mends.rewiring:
        return []
    return ["To make the signal what the plan says:", *(f"  {way}" for way in mends.rewiring)]


def _correcting(layout: Layout, mends: Mending) -> Iterator[str]:
    """Yield how to make the plan say what the signal is."""
    yield from mends.untold
    if mends.changes:
        yield "To make the plan say what is (--fix writes it):"
        yield from (f"  {line}" for line in _patch(layout, mends))


def _patch(layout: Layout, mends: Mending) -> list[str]:
    """Return the lines of what changes in the plan."""
    document, _ = _document(layout)
    try:
        new = edited(document, mends.changes)
    except CannotEdit as error:
        return [str(error)]
    return difference(document.text, new, layout.plan.file).splitlines()


def _document(layout: Layout) -> tuple[Document, list[Finding]]:
    """Return the plan's file as it is now."""
    return read_document(Path(layout.plan.file), layout.plan.file)


def _fixed(ctx: click.Context, layout: Layout, mends: Mending) -> bool:
    """Change the plan's file; return whether that put everything right."""
    if not mends.changes:
        say("lampwright: nothing is written: the plan can say nothing of this")
        return False
    document, _ = _document(layout)
    try:
        new = edited(document, mends.changes)
        if worse := _worse(ctx, layout, document.text, new):
            say("lampwright: nothing is written, for with that change the checks find:")
            show(*worse, to=sys.stderr.write)
            return False
        save([Written(Path(layout.plan.file), document.text, new)])
    except (CannotEdit, CannotWrite) as error:
        raise click.ClickException(str(error)) from error
    say(f"lampwright: {layout.plan.file} is changed; load the new tables, and prove it again")
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
