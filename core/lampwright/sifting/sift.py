"""Leaves out the findings that comments allow, and says which comments do nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.findings import Finding, Level, Spot
from lampwright.reports.contract import placed
from lampwright.sifting.comments import comments
from lampwright.words import listed, nearest

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from lampwright.documents import Document
    from lampwright.project import Result
    from lampwright.sifting.comments import Comment


def allow(result: Result, known: Collection[str]) -> None:
    """Take out of a result what comments allow; add a finding for each that allows nothing or is not understood.

    ``known`` are the names of all rules. A comment counts for the smallest piece of a file that it speaks of.
    """
    for document in list(result.documents.values()):
        said = list(comments(document))
        if said:
            _sift(result, document, said, known)


def _sift(result: Result, document: Document, said: list[Comment], known: Collection[str]) -> None:
    """Sift the findings of one file."""
    troubles = [found for comment in said for found in _misunderstood(comment, document, known)]
    usable = sorted((one for one in said if one.rules and one.reason), key=lambda one: one.last - one.first)
    used: set[tuple[Comment, str]] = set()
    kept: list[Finding] = []
    for finding in result.findings:
        comment = _allowing(finding, document, usable)
        if comment is None:
            kept.append(finding)
        else:
            used.add((comment, finding.rule))
    result.allowed += len(result.findings) - len(kept)
    not_looked = {skip.check for skip in result.skips if skip.file == document.name}
    unused = [
        _unused(comment, rule, document)
        for comment in usable
        for rule in comment.rules or ()
        if rule in known and rule not in not_looked and (comment, rule) not in used
    ]
    result.findings[:] = [*kept, *troubles, *unused]


def _allowing(finding: Finding, document: Document, usable: list[Comment]) -> Comment | None:
    """Return the nearest comment that allows a finding."""
    if finding.spot.file != document.name:
        return None
    allowing = [comment for comment in usable if finding.rule in (comment.rules or ())]
    if not allowing:
        return None
    place = placed(finding.spot, {document.name: document})
    return next((one for one in allowing if place and one.covers(place.line)), None)


def _misunderstood(comment: Comment, document: Document, known: Collection[str]) -> Iterator[Finding]:
    """Yield what is wrong with a comment."""
    spot = Spot(document.name, (), span=comment.span)
    if not comment.rules:
        tip = "write `# lampwright: allow[rule-name] reason`"
        yield Finding("bad-allowance", Level.WARNING, "this comment to Lampwright is not understood", spot, tip=tip)
        return
    if not comment.reason:
        tip = "say behind the bracket why; what is allowed without a reason is not allowed"
        yield Finding(
            "bad-allowance", Level.WARNING, f"no reason is given for allowing {listed(comment.rules)}", spot, tip=tip
        )
    for rule in comment.rules:
        if rule not in known:
            close = nearest(rule, known)
            tip = f"did you mean {close}?" if close else "`lampwright explain` lists the rules"
            yield Finding("bad-allowance", Level.WARNING, f"there is no rule {rule} to allow", spot, tip=tip)


def _unused(comment: Comment, rule: str, document: Document) -> Finding:
    """Return that a comment allows what is not found."""
    spot = Spot(document.name, (), span=comment.span)
    return Finding(
        "unused-allowance", Level.WARNING, f"nothing here needs {rule} allowed", spot, tip="take the comment away"
    )
