"""Runs plans and rulebooks given as text as the program runs files: every plugin, every check, the real rulebooks."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from lampwright.engine import in_order
from lampwright.host import Host
from lampwright.intake import read_rulebook
from lampwright.layout import Settings
from lampwright.library import Library
from lampwright.project import Result, Run

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.checks import Check
    from lampwright.findings import Finding
    from lampwright.rulebooks import Rulebook

PLAN = "plan.yaml"
"""What the file is called that ``result_of`` and ``findings_of`` are given as text."""


@cache
def host() -> Host:
    """Return a host with every installed plugin; that none failed is part of what is tested."""
    loaded = Host.load()
    loaded.checks()
    loaded.rulebook_dirs()
    loaded.parts_dirs()
    assert not loaded.failures, loaded.failures
    return loaded


@cache
def all_checks() -> tuple[Check, ...]:
    """Return every check of every plugin, in the order of their prerequisites."""
    return tuple(in_order(host().checks()))


def new_library() -> Library:
    """Return a library of the bundled rulebooks and parts, nothing read yet."""
    rulebooks = (folder for _, folder in host().rulebook_dirs())
    return Library(rulebooks, parts=(folder for _, folder in host().parts_dirs()))


@cache
def library() -> Library:
    """Return a library whose rulebooks are read once for all tests."""
    return new_library()


def bundled(name: str) -> Rulebook:
    """Return one of the bundled rulebooks, read once for all tests."""
    found = library().get(name)
    assert found is not None
    return found


def result_of(text: str, *, year: str = "", rulebook: str = "", beside: Mapping[str, str] | None = None) -> Result:
    """Run one plan or rulebook given as text, with what the command line would set.

    ``beside`` are further files of the same run, by name; a rulebook among them is known to the plan, and not checked.
    """
    theirs = {name: content for name, content in (beside or {}).items() if "\nrulebook: 1\n" in f"\n{content}"}
    texts = {PLAN: text, **{name: content for name, content in (beside or {}).items() if name not in theirs}}
    books = new_library() if theirs or text.startswith("rulebook: 1\n") else library()
    for name, content in theirs.items():
        books.documents[name], book, faults = read_rulebook(content.encode(), name, books)
        books.findings += faults
        if book is not None:
            books.add(book)
    run = Run(books, all_checks(), Settings(year=year, rulebook=rulebook))
    return run.over([(name, content.encode()) for name, content in texts.items()])


def findings_of(
    text: str, *, year: str = "", rulebook: str = "", beside: Mapping[str, str] | None = None
) -> list[Finding]:
    """Return the findings of such a run."""
    return result_of(text, year=year, rulebook=rulebook, beside=beside).findings


def rules_of(text: str, *, year: str = "", rulebook: str = "", beside: Mapping[str, str] | None = None) -> list[str]:
    """Return the names of the rules found, in the order found."""
    return [finding.rule for finding in findings_of(text, year=year, rulebook=rulebook, beside=beside)]


def line_of(result: Result, finding: Finding) -> int:
    """Return the line a finding points to."""
    spot = finding.spot
    return spot.span[0] if spot.span else result.documents[spot.file].place(spot.path, on_key=spot.on_key).line
