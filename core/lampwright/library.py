"""Where rulebooks are found by their ids, and data of parts; each file is read when it is first asked for."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from lampwright.documents import is_file
from lampwright.intake import against_schema, read_document, read_rulebook

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from lampwright.documents import Document
    from lampwright.findings import Finding
    from lampwright.rulebooks import Rulebook

FILE = "rulebook.yaml"
HEAD = 64 * 1024
"""Bytes in which the id of a rulebook has to come."""


class Library:
    """Rulebooks in folders: one folder a rulebook, named by its id; and folders of parts data."""

    def __init__(self, folders: Iterable[Path], parts: Iterable[Path] = ()) -> None:
        """Remember where to look; the first folder that has an id counts."""
        self._parts = tuple(parts)
        self._files: dict[str, Path] = {}
        for folder in folders:
            for path in sorted(folder.iterdir()):
                if is_file(path / FILE):
                    self._files.setdefault(path.name, path / FILE)
        self._read: dict[str, Rulebook | None] = {}
        self._offered: dict[str, Path] = {}
        self._shown: dict[str, str] = {}
        self.documents: dict[str, Document] = {}
        self.findings: list[Finding] = []

    @property
    def ids(self) -> list[str]:
        """The ids of all rulebooks there are."""
        return sorted(self._files)

    @cached_property
    def parts(self) -> list[Document]:
        """The files of parts data, as far as they can be used (see ``findings``); those of the first folder first."""
        files = [file for folder in self._parts for file in sorted(folder.glob("*.yaml"))]
        return [document for file in files if (document := self._part(file)) is not None]

    def folder(self, name: str) -> Path:
        """Return the folder of a rulebook: its README and examples lie there."""
        return self._files[name].parent

    def add(self, rulebook: Rulebook) -> None:
        """Put in a rulebook that was read from elsewhere; it takes the place of a namesake."""
        self._read[rulebook.id] = rulebook
        self._files.setdefault(rulebook.id, _nowhere(rulebook))

    def offer(self, folder: Path, shown: str) -> Path | None:
        """Let the rulebook in a folder be found, in the place of a namesake; or all in the folders within.

        They are found by their ids. Returns another folder that has brought one of them already in this way, which
        then stays, or None. ``shown`` is the folder as the user would name it.
        """
        for file, name in brought(folder, shown):
            book = id_in(file)
            if self._offered.setdefault(book, file) != file:
                return self._offered[book].parent
            if self._shown.get(book) != name:
                self._files[book], self._shown[book] = file, name
                self._read.pop(book, None)
        return None

    def open(self, path: Path) -> Rulebook | None:
        """Read a rulebook from any file and put it in; None if it cannot be used (see ``findings``)."""
        rulebook = self._load(path, str(path))
        if rulebook is not None:
            self.add(rulebook)
        return rulebook

    def withdraw(self, name: str, path: Path) -> None:
        """Let nobody follow a rulebook whose faults in ``path`` are reported already, nor a namesake instead."""
        self._read[name] = None
        self._files.setdefault(name, path)

    def get(self, name: str) -> Rulebook | None:
        """Return a rulebook; None if there is none of that id, or it cannot be used (see ``findings``)."""
        if name not in self._read:
            self._read[name] = None  # a rulebook that is like itself finds nothing, instead of reading for ever
            path = self._files.get(name)
            if path is not None:
                self._read[name] = self._load(path, self._shown.get(name, f"{name}/{FILE}"))
        return self._read[name]

    def _part(self, path: Path) -> Document | None:
        """Read a file of parts data and keep its document for frames; None if it cannot be used."""
        document, findings = read_document(path, f"{path.parent.name}/{path.name}")
        findings = findings or against_schema(document, "parts")
        self.findings += findings
        self.documents[document.name] = document
        return None if findings else document

    def _load(self, path: Path, shown: str) -> Rulebook | None:
        """Read a rulebook file and keep its document for frames."""
        document, rulebook, findings = read_rulebook(path, shown, self)
        self.findings += findings
        self.documents[document.name] = document
        return rulebook


def brought(folder: Path, shown: str) -> Iterator[tuple[Path, str]]:
    """Yield the rulebook in a folder, or those in the folders within, each with how it is shown."""
    if is_file(folder / FILE):
        yield folder / FILE, f"{shown}/{FILE}"
        return
    for path in _within(folder):
        if is_file(path / FILE):
            yield path / FILE, f"{shown}/{path.name}/{FILE}"


def _within(folder: Path) -> list[Path]:
    """Return what is in a folder; nothing if it may not be looked into."""
    try:
        return sorted(folder.iterdir())
    except OSError:
        return []


def id_in(file: Path) -> str:
    """Return the id of the rulebook in a file, as far as its beginning tells it; else the name of its folder."""
    import re

    try:
        with file.open("rb") as opened:
            found = re.search(rb"""^id:[ \t]*["']?([\w.-]+)""", opened.read(HEAD), re.MULTILINE)
    except OSError:  # reading it will say why
        found = None
    return found[1].decode() if found else file.parent.name


def _nowhere(rulebook: Rulebook) -> Path:
    """Return the file a rulebook was read from, as a path."""
    from pathlib import Path

    return Path(rulebook.file)
