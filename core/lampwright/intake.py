"""From a file to a model, every obstacle on the way a finding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright import documents, plans, rulebooks, schema
from lampwright.findings import Finding, Level, Spot

if TYPE_CHECKING:
    from pathlib import Path

    from lampwright.documents import Document
    from lampwright.library import Library
    from lampwright.plans import Plan
    from lampwright.rulebooks import Rulebook


def read_document(source: Path | bytes, shown: str) -> tuple[Document, list[Finding]]:
    """Read a file into values with places; one that cannot be read gives findings, and lines to show at most."""
    try:
        return documents.read(source, shown), []
    except documents.Unreadable as error:
        return error.document, [unreadable(shown, fault) for fault in error.faults]


def read_rulebook(
    source: Path | bytes, shown: str, library: Library
) -> tuple[Document, Rulebook | None, list[Finding]]:
    """Read a rulebook file; the library finds what it is like."""
    document, findings = read_document(source, shown)
    if findings:
        return document, None, findings
    rulebook, faults = build_rulebook(document, library)
    return document, rulebook, faults


def build_rulebook(document: Document, library: Library) -> tuple[Rulebook | None, list[Finding]]:
    """Build the model of a rulebook document, or say why that cannot be."""
    if findings := against_schema(document, "rulebook"):
        return None, findings
    like = str(document.values.get("like", ""))
    base = library.get(like) if like else None
    if like and base is None:
        from lampwright.words import did_you_mean

        tip = did_you_mean(like, library.ids, "the rulebooks")
        message = f"this rulebook is like {like}, which is not there or cannot be used"
        return None, [Finding("unknown-name", Level.ERROR, message, Spot(document.name, ("like",)), tip=tip)]
    try:
        return rulebooks.load(document.values, document.name, base), []
    except rulebooks.RulebookFaults as error:
        return None, unknown_names(error)


def unknown_names(error: rulebooks.RulebookFaults) -> list[Finding]:
    """Return the faults of a rulebook, or of a plan's own forms, as findings."""
    return [Finding("unknown-name", Level.ERROR, message, spot, tip=tip) for spot, message, tip in error.faults]


def build_plan(document: Document) -> tuple[Plan | None, list[Finding]]:
    """Build the model of a plan document, or say why that cannot be."""
    if findings := against_schema(document, "plan"):
        return None, findings
    plan = plans.load(document.values, document.name)
    if "track" in document.values:
        from lampwright.working.found import completed  # only a plan with a track pays for it

        plan = completed(plan)
    return plan, []


def against_schema(document: Document, kind: str) -> list[Finding]:
    """Return a finding for everything the schema does not accept."""
    return [
        Finding(
            "malformed", Level.ERROR, fault.message, Spot(document.name, fault.path, on_key=fault.on_key), tip=fault.tip
        )
        for fault in schema.faults(kind, document.values)
    ]


def unreadable(shown: str, fault: documents.Fault) -> Finding:
    """Return a reader's fault as a finding at its exact place."""
    spot = Spot(shown, (), span=(fault.line, fault.column, fault.end_line, fault.end_column))
    return Finding(fault.rule or "unreadable", Level.ERROR, fault.message, spot, tip=fault.tip)
