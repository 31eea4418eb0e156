"""A rulebook with everything that is asked of it: cases, examples, soundness; and what all that has touched."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from lampwright.findings import Finding, Level, Spot
from lampwright.intake import against_schema, read_document, read_rulebook
from lampwright.layout import Settings
from lampwright.library import FILE
from lampwright.session import Session
from lampwright.testing.touched import Touched

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lampwright.documents import Document
    from lampwright.project import Result
    from lampwright.rulebooks import Rulebook


class Unfulfilled(Exception):  # noqa: N818  (what a rulebook does not keep, not what the program did)
    """Something is not as it should be; ``findings`` say what and where, ``documents`` are the files they stand in."""

    def __init__(self, findings: list[Finding], documents: dict[str, Document]) -> None:
        """Keep what is to be told."""
        super().__init__("; ".join(finding.message for finding in findings))
        self.findings = findings
        self.documents = documents


class Bench:
    """One rulebook folder under test."""

    def __init__(self, folder: Path, shown: str) -> None:
        """Read rulebook and cases; ``shown`` is the folder as the user would name it."""
        self.folder = folder
        self.shown = shown
        with _import_path_kept():
            self.session = Session()
            self.session.library.offer(folder, shown)
            self.document, self.rulebook, self.faults = read_rulebook(
                folder / FILE, f"{shown}/{FILE}", self.session.library
            )
            _ = self.session.checks
        if self.rulebook is not None:
            self.session.library.add(self.rulebook)
        self.touched = Touched()

    @property
    def documents(self) -> dict[str, Document]:
        """Every file that a finding can stand in."""
        return {**self.session.library.documents, self.document.name: self.document}

    def cases(self, name: str) -> Document:
        """Read the file of cases; raise ``Unfulfilled`` if it is not as its format has it."""
        document, findings = read_document(self.folder / name, f"{self.shown}/{name}")
        findings = findings or against_schema(document, "cases")
        if findings:
            raise Unfulfilled(findings, {document.name: document})
        return document

    @property
    def examples(self) -> list[Path]:
        """The plans in which nothing is to be found."""
        return sorted((self.folder / "examples").glob("*.yaml"))

    def book(self) -> Rulebook:
        """Return the rulebook; raise ``Unfulfilled`` if it cannot be used."""
        if self.rulebook is None:
            raise Unfulfilled(self.faults, self.documents)
        return self.rulebook

    def sound(self) -> None:
        """Check the rulebook itself; raise ``Unfulfilled`` for every warning and error. What is a doubt is a note."""
        self.book()
        result = self._result(self.document.name, self.document.text)
        _none([finding for finding in result.findings if finding.level > Level.NOTE], result)

    def silent(self, example: Path) -> None:
        """Check an example; raise ``Unfulfilled`` for everything found in it."""
        self.book()
        result = self._result(f"{self.shown}/examples/{example.name}", example)
        self.touched.by_plans(result, self.book())
        _none(result.findings, result)

    def examine(self, text: str) -> Result:
        """Check a plan of a case."""
        result = self._result("plan.yaml", text)
        self.touched.by_plans(result, self.book())
        return result

    def complain(self, document: Document, path: tuple[Any, ...], message: str, tip: str = "") -> Unfulfilled:
        """Return that a case is not fulfilled."""
        finding = Finding("unfulfilled-case", Level.ERROR, message, Spot(document.name, path), tip=tip)
        return Unfulfilled([finding], {document.name: document})

    def _result(self, name: str, source: Path | str) -> Result:
        """Run all checks over a file or a text; no configuration counts for it."""
        given = source.encode() if isinstance(source, str) else source
        result = self.session.examine([(name, given)], Settings(), configure=False)
        result.documents.update(self.documents)
        return result


def _none(findings: list[Finding], result: Result) -> None:
    """Raise ``Unfulfilled`` if there are findings."""
    if findings:
        raise Unfulfilled(findings, result.documents)


@contextmanager
def _import_path_kept() -> Iterator[None]:
    """Leave the import path as it is: loading plugins takes the working folder off it, which tests may need."""
    before = sys.path[:]
    try:
        yield
    finally:
        sys.path[:] = before
