"""What lies on the desk: the plans of a folder, some of them as an editor has them, and what was found in them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from lampwright.documents import Unreadable, find, read
from lampwright.layout import Settings
from lampwright.project import Result

if TYPE_CHECKING:
    from lampwright.documents import Document
    from lampwright.layout import Layout
    from lampwright.session import Session


class Desk:
    """The files of a folder with the texts an editor has of some; checked together, so that they know each other."""

    def __init__(self, session: Session, folder: Path | None = None) -> None:
        self._session = session
        self.folder = folder
        self.texts: dict[Path, str] = {}
        self.result = Result()
        self._layouts: dict[str, Layout] = {}
        self._documents: dict[str, Document] = {}

    def check(self) -> Result:
        """Check all files, and remember what could be made of each."""
        session = self._session.anew()
        files = dict.fromkeys([*self._found(), *self.texts])
        sources = [(str(file), self.texts[file].encode() if file in self.texts else file) for file in files]
        self.result = session.examine(sources, Settings())
        self._layouts |= {layout.plan.file: layout for layout in self.result.layouts}
        self._documents |= {name: one for name, one in self.result.documents.items() if one.values is not None}
        return self.result

    def layout(self, file: Path) -> Layout | None:
        """Return a plan as it was when it could last be read."""
        return self._layouts.get(str(file))

    def layouts(self) -> list[Layout]:
        """Return all plans, each as it was when it could last be read."""
        return list(self._layouts.values())

    def document(self, file: Path) -> Document | None:
        """Return a file as it is at the moment; None if it cannot be read."""
        try:
            return read(self.texts[file].encode(), str(file)) if file in self.texts else read(file, str(file))
        except Unreadable:
            return None

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

    def _found(self) -> list[Path]:
        """Return the plans and rulebooks of the folder."""
        return find([str(self.folder)]) if self.folder is not None else []
