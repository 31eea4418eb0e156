"""Tries a slip in a rulebook: by its own check, its examples, its cases, and the tests against published sources."""

from __future__ import annotations

import os
import sys
import tempfile
from functools import cache
from typing import TYPE_CHECKING

import pytest

import support
from lampwright.layout import Settings
from lampwright.project import Run
from lampwright.testing import CASES
from lampwright.testing.bench import Bench, Unfulfilled
from lampwright.testing.cases import Case
from lampwright.testing.collect import KINDS
from lampwright.testing.touched import Touched
from mutation.books import alike
from mutation.plans import ROOT, Mutant, plan, written
from mutation.score import Outcome

if TYPE_CHECKING:
    from pathlib import Path
    from types import ModuleType

    from lampwright.documents import Document
    from lampwright.findings import Finding
    from lampwright.project import Result
    from lampwright.rulebooks import Rulebook

FILE = "rulebook.yaml"
WAYS = ("check", "examples", "cases", "sources")
"""What can find a slip: the check of the rulebook, its examples, its cases, the tests of what published sources say."""
SOURCES = ROOT / "tests/standards"
COMPILED = f"{tempfile.gettempdir()}/lampwright-mutation"
"""Where the tests are kept compiled, for they are started anew for every slip."""


class CaseBench(Bench):
    """The bench of a rulebook that stands in no file."""

    def __init__(self, folder: Path, book: Rulebook, text: str) -> None:
        """Take the cases of a folder, and another rulebook."""
        self.folder, self.shown = folder, folder.name
        self.rulebook, self.text = book, text
        self.touched = Touched()

    def examine(self, text: str) -> Result:
        """Check a plan of a case by the other rulebook."""
        result = checked(self.text, {"plan.yaml": text})
        result.findings = [finding for finding in result.findings if finding.spot.file != FILE]
        return result


def tried(path: Path, mutant: Mutant, label: str) -> Outcome:
    """Return what becomes of a slip in a rulebook; ``rules`` are those of its check and its examples."""
    result = checked(mutant.text, examples(path))
    new = [one for one in result.findings if (one.rule, one.message) not in usual(path)]
    mine = [one for one in new if one.spot.file == FILE]
    plans = [one for one in new if one.spot.file != FILE]
    book = result.rulebooks[0] if result.rulebooks else None
    ways = [way for way, found in zip(WAYS, (mine, plans), strict=False) if found]
    if book and broken_cases(path, book, mutant.text):
        ways.append("cases")
    rules = tuple(one.rule for one in new)
    if ways:
        placed = any(_on_line(result.documents[FILE], one, mutant) for one in mine[:1])
        shown = any(_on_line(result.documents[FILE], one, mutant) for one in mine)
        first = f"{mine[0].rule} at {'.'.join(map(str, mine[0].spot.path))}" if mine else ""
        return Outcome(label, mutant.held, " ".join(ways), rules, placed, shown, first)
    if proof := alike.proof(path, book):
        return Outcome(label, mutant.held, proof=proof)
    return Outcome(label, mutant.held, "sources" if book and against_sources(book) else "")


def alarms(path: Path) -> list[str]:
    """Return in which ways a rulebook without a slip, written as the mutants are, is taken for one with a slip."""
    outcome = tried(path, Mutant("", plan(path), ()), path.parent.name)
    return [f"{path.parent.name}: {outcome.way or 'not shown to be itself'}"] if not outcome.proof else []


@cache
def usual(path: Path) -> frozenset[tuple[str, str]]:
    """Return what is found in a rulebook and its examples without a slip."""
    findings = checked(written(plan(path)), examples(path)).findings
    return frozenset((finding.rule, finding.message) for finding in findings)


@cache
def examples(path: Path) -> dict[str, str]:
    """Return the texts of the example plans of a rulebook."""
    return {file.name: file.read_text(encoding="utf-8") for file in sorted(path.parent.glob("examples/*.yaml"))}


def checked(text: str, plans: dict[str, str]) -> Result:
    """Check a rulebook, and plans that follow it."""
    run = Run(support.new_library(), support.all_checks(), Settings())
    return run.over([(FILE, text.encode()), *((name, content.encode()) for name, content in plans.items())])


def broken_cases(path: Path, book: Rulebook, text: str) -> bool:
    """Tell whether a case of a rulebook is not fulfilled."""
    if not path.with_name(CASES).is_file():
        return False
    bench = CaseBench(path.parent, book, text)
    document = bench.cases(CASES)
    return any(
        not _fulfilled(Case(bench, document, kind, number))
        for kind in KINDS
        for number in range(len(document.values.get(kind) or ()))
    )


def against_sources(book: Rulebook) -> bool:
    """Tell whether a test of what published sources say fails; a fork runs them, in which the rulebook is bundled."""
    files = [str(file) for file in about(book.id)]
    if not files:
        return False
    if child := os.fork():
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert code in {0, 1, 2}, code
        return code != 0
    try:
        _ask(book, files)
    finally:
        os._exit(3)


@cache
def about(book: str) -> tuple[Path, ...]:
    """Return the files of tests that are about a rulebook, and not about the electrics of plans that follow it."""
    files = [file for file in sorted(SOURCES.glob("test_*.py")) if "electrics" not in file.name]
    return tuple(file for file in files if book in file.read_text(encoding="utf-8"))


def _ask(book: Rulebook, files: list[str]) -> None:
    """Run tests with a rulebook in the place of its namesake, and end this process."""
    sink = os.open(os.devnull, os.O_WRONLY)
    os.dup2(sink, 1)
    os.dup2(sink, 2)
    support.library().add(book)
    for name in [name for name, module in sys.modules.items() if _among_sources(module)]:
        del sys.modules[name]  # a suite that has collected them holds what they read from the namesake
    sys.dont_write_bytecode, sys.pycache_prefix = False, COMPILED
    unheard = ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
    os._exit(pytest.main(["-q", "-x", "-p", "no:cacheprovider", "-k", "not rulebook_is_sound", *unheard, *files]))


def _among_sources(module: ModuleType) -> bool:
    """Tell whether a module is one of the tests of what published sources say."""
    return str(getattr(module, "__file__", "")).startswith(f"{SOURCES}{os.sep}")


def _fulfilled(case: Case) -> bool:
    """Tell whether a case is as its file says."""
    try:
        case.run()
    except Unfulfilled:
        return False
    return True


def _on_line(document: Document, finding: Finding, mutant: Mutant) -> bool:
    """Tell whether a finding is in the lines of what was changed."""
    line = document.place(finding.spot.path, on_key=finding.spot.on_key).line
    return document.place(mutant.target, on_key=True).line <= line <= document.place(mutant.target).end_line
