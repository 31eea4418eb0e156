"""Where rulebooks are found by their ids; each is read when it is first asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.intake import read_rulebook

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from lampwright.documents import Document
    from lampwright.findings import Finding
    from lampwright.rulebooks import Rulebook

FILE = "rulebook.yaml"


class Library:
    """Rulebooks in folders: one folder a rulebook, named by its id."""

    def __init__(self, folders: Iterable[Path]) -> None:
        """Remember where to look; the first folder that has an id counts."""
        self._files: dict[str, Path] = {}
        for folder in folders:
            for path in sorted(folder.iterdir()):
                if (path / FILE).is_file():
                    self._files.setdefault(path.name, path / FILE)
        self._read: dict[str, Rulebook | None] = {}
        self.documents: dict[str, Document] = {}
        self.findings: list[Finding] = []

    @property
    def ids(self) -> list[str]:
        """The ids of all rulebooks there are."""
        return sorted(self._files)

    def folder(self, name: str) -> Path:
        """Return the folder of a rulebook: its README and examples lie there."""
        return self._files[name].parent

    def add(self, rulebook: Rulebook) -> None:
        """Put in a rulebook that was read from elsewhere; it takes the place of a namesake."""
        self._read[rulebook.id] = rulebook
        self._files.setdefault(rulebook.id, _nowhere(rulebook))

    def open(self, path: Path) -> Rulebook | None:
        """Read a rulebook from any file and put it in; None if it cannot be used (see ``findings``)."""
        rulebook = self._load(path, str(path))
        if rulebook is not None:
            self.add(rulebook)
        return rulebook

    def get(self, name: str) -> Rulebook | None:
        """Return a rulebook; None if there is none of that id, or it cannot be used (see ``findings``)."""
        if name not in self._read:
            self._read[name] = None  # a rulebook that is like itself finds nothing, instead of reading for ever
            path = self._files.get(name)
            if path is not None:
                self._read[name] = self._load(path, f"{name}/{FILE}")
        return self._read[name]

    def _load(self, path: Path, shown: str) -> Rulebook | None:
        """Read a rulebook file and keep its document for frames."""
        document, rulebook, findings = read_rulebook(path, shown, self)
        self.findings += findings
        self.documents[document.name] = document
        return rulebook


def _nowhere(rulebook: Rulebook) -> Path:
    """Return the file a rulebook was read from, as a path."""
    from pathlib import Path

    return Path(rulebook.file)
