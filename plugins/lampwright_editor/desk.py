"""What lies on the desk: the plans of a folder, some of them as an editor has them, and what was found in them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from lampwright.documents import Unreadable, find, read
from lampwright.documents.discovery import begins_as_ours
from lampwright.layout import Settings
from lampwright.project import Result

if TYPE_CHECKING:
    from lampwright.documents import Document
    from lampwright.layout import Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.session import Session


class Desk:
    """The files of a folder with the texts an editor has of some; checked together, so that they know each other."""

    def __init__(self, session: Session, folder: Path | None = None) -> None:
        self._session = session
        self.folder = folder
        self.texts: dict[Path, str] = {}
        self.result = Result()
        self._seen: dict[Path, str] = {}
        self._layouts: dict[str, Layout] = {}
        self._books: dict[str, Rulebook] = {}
        self._documents: dict[str, Document] = {}

    def check(self) -> Result:
        """Check all files, and remember what could be made of each."""
        session = self._session.anew()
        self._seen = dict(self.texts)
        files = self._files(session)
        sources = [(str(file), self.texts[file].encode() if file in self.texts else file) for file in files]
        self.result = session.examine(sources, Settings())
        self._layouts |= {layout.plan.file: layout for layout in self.result.layouts}
        self._books |= {book.file: book for book in self.result.rulebooks}
        self._documents |= {name: one for name, one in self.result.documents.items() if one.values is not None}
        return self.result

    def current(self) -> Result:
        """Return what was found in the texts as they are now: what is written must not be placed in older ones."""
        return self.result if self._seen == self.texts else self.check()

    def layout(self, file: Path) -> Layout | None:
        """Return a plan as it was when it could last be read."""
        return self._layouts.get(str(file))

    def book(self, file: Path) -> Rulebook | None:
        """Return a rulebook as it was when it could last be read."""
        return self._books.get(str(file))

    def unusable(self) -> list[str]:
        """Return the files of which no plan or rulebook could be made at the last check."""
        made = {layout.plan.file for layout in self.result.layouts} | {book.file for book in self.result.rulebooks}
        return [file for file in self.result.files if file not in made]

    def document(self, file: Path) -> Document | None:
        """Return a file as it is at the moment; None if it cannot be read."""
        try:
            return read(self.texts[file].encode(), str(file)) if file in self.texts else read(file, str(file))
        except Unreadable:
            return None

    def legible(self, file: Path, index: int) -> Document | None:
        """Return a file as it is at the moment, or as far as it can be read around an index."""
        found = self.document(file)
        if found is not None or file not in self.texts:
            return found
        from lampwright_editor.legible import legible  # only a half-written file pays for it

        return legible(self.texts[file], str(file), index)

    def known(self, name: str) -> Document | None:
        """Return any file that was read, rulebooks too, by the name that findings give it."""
        return self._documents.get(name)

    def path(self, name: str) -> Path | None:
        """Return where a file is, by the name that findings give it; a bundled rulebook's is its id and file."""
        file = Path(name)
        if file.is_file():
            return file
        for layout in self._layouts.values():
            book = layout.rulebook
            if book is not None and book.file == name:
                there = layout.library.folder(book.id) / file.name
                return there if there.is_file() else None
        return None

    def _files(self, session: Session) -> list[Path]:
        """Return the plans and rulebooks of the folder and those that are open, if the configuration takes them.

        An editor that sends all YAML also sends what is none of ours: nothing is said of that.
        """

        def takes(file: Path) -> bool:
            return session.configurations.of(file).takes(file)

        found = find([self.folder], takes) if self.folder is not None else []
        opened = [file for file, text in self.texts.items() if takes(file) and begins_as_ours(text.encode())]
        return list(dict.fromkeys([*(file for file in found if file not in self.texts), *opened]))
