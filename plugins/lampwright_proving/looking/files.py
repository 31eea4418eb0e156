"""From a file of what was seen to a verdict, every obstacle on the way a finding."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from lampwright.commands.chosen import FOUND
from lampwright.commands.output import show
from lampwright.findings import Finding, Level, Spot
from lampwright.intake import against_schema, read_document
from lampwright.rulebooks.codec import as_text
from lampwright_proving.diagnosis.result import Diagnosis
from lampwright_proving.looking.reading import observations, signals_of, switched_of
from lampwright_proving.standing import standing
from lampwright_proving.verdict import Verdict

if TYPE_CHECKING:
    from pathlib import Path

    import click

    from lampwright.documents import Document
    from lampwright.layout import Layout


def verdict_of(ctx: click.Context, layout: Layout, path: Path, signals: tuple[str, ...], *, fix: bool) -> Verdict:
    """Return the verdict on a file. What is wrong with the file is told, and the exit code is 1.

    To ``fix`` the plan, the file must be of the plan as it is now: put right once, what was seen holds no longer.
    """
    document, findings = read_document(path, str(path))
    findings = (
        findings or _other_kind(document) or against_schema(document, "seen") or _other_plan(document, layout, fix=fix)
    )
    if any(finding.level is Level.ERROR for finding in findings):
        _refuse(ctx, document, findings)
    show(findings, {document.name: document}, to=sys.stderr.write, explain=False)
    named = [*signals, *signals_of(document, layout)] or list(layout.signals)[:1]
    stands = standing(layout, named, switched_of(document))
    seen, findings = observations(document, stands)
    if not findings and not seen:
        message = f"{document.name} tells of nothing that was seen"
        findings = [
            Finding("malformed", Level.ERROR, message, Spot(document.name, ()), tip="signals: {TB1: {danger: [red]}}")
        ]
    if findings:
        _refuse(ctx, document, findings)
    return Verdict(stands, Diagnosis(stands.bench, tuple(seen)))


def _refuse(ctx: click.Context, document: Document, findings: list[Finding]) -> None:
    """Tell what is wrong with a file, and end."""
    show(findings, {document.name: document}, to=sys.stderr.write, explain=False)
    ctx.exit(FOUND)


def _other_kind(document: Document) -> list[Finding]:
    """Say if a file is not one of what was seen."""
    if document.kind == "seen":
        return []
    message = f"{document.name} does not tell what was seen"
    return [
        Finding("unknown-kind", Level.ERROR, message, Spot(document.name, ()), tip="such a file begins with `seen: 1`")
    ]


def _other_plan(document: Document, layout: Layout, *, fix: bool) -> list[Finding]:
    """Warn if the plan is no longer what it was when the card was printed; to change it, that must be known."""
    from lampwright.tables.fingerprint import plan_fingerprint

    said, now = as_text(document.values.get("plan")), plan_fingerprint(layout)
    if said == now or not (said or fix):
        return []
    if not said:
        message = f"{document.name} does not say of which plan it is, and --fix would change {layout.plan.file}"
        tip = f"write `plan: {now}` below `seen: 1` if the tables of the plan as it is now were loaded"
        return [
            Finding("other-fingerprint", Level.ERROR, message, Spot(document.name, ("seen",), on_key=True), tip=tip)
        ]
    message = f"what was seen is of a plan with the fingerprint {said}, and {layout.plan.file} now has {now}"
    tip = "print a new bench card, load the new tables, and look again"
    level = Level.ERROR if fix else Level.WARNING
    return [Finding("other-fingerprint", level, message, Spot(document.name, ("plan",)), tip=tip)]
