"""Between an editor's places (lines and columns from 0, in its own units) and a file's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lsprotocol import types as lsp

if TYPE_CHECKING:
    from pygls.workspace import PositionCodec

    from lampwright.documents import Document, Place
    from lampwright.edits import Edit


class Places:
    """Turns places of one text; ``codec`` knows the units that the editor counts columns in."""

    def __init__(self, text: str, codec: PositionCodec) -> None:
        self._text = text
        self._lines = text.splitlines(keepends=True) or [""]
        self._codec = codec

    def range(self, place: Place) -> lsp.Range:
        """Return a span of the file as the editor counts it."""
        start = lsp.Position(place.line - 1, place.column - 1)
        end = lsp.Position(place.end_line - 1, place.end_column - 1)
        return self._codec.range_to_client_units(self._lines, lsp.Range(start, end))

    def index(self, position: lsp.Position) -> int:
        """Return the index in the text of an editor's place."""
        inside = self._codec.position_from_client_units(self._lines, position)
        return sum(map(len, self._lines[: inside.line])) + inside.character

    def edit(self, document: Document, edit: Edit) -> lsp.TextEdit:
        """Return an edit as the editor makes it."""
        return lsp.TextEdit(self.range(document.lines.place(edit.start, edit.end)), edit.text)
