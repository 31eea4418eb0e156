"""An editor as the server sees one: pygls's own client, over standard input and output of a process."""

from __future__ import annotations

import asyncio
import sys
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING, Any

from lsprotocol import types as lsp
from pygls import uris
from pygls.lsp.client import LanguageClient

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path


class Editor(LanguageClient):
    """Opens files of a folder, types into them, and keeps what it is told."""

    def __init__(self, folder: Path) -> None:
        super().__init__("editor", "1")
        self.folder = folder
        self.told: dict[str, list[lsp.Diagnostic]] = {}
        self._news = asyncio.Event()
        self._version = 0

        @self.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)  # type: ignore[untyped-decorator]
        def hear(params: lsp.PublishDiagnosticsParams) -> None:
            self.told[params.uri] = list(params.diagnostics)
            self._news.set()

    def uri(self, name: str) -> str:
        """Return how a file is called."""
        return str(uris.from_fs_path(str(self.folder / name)))

    async def news(self, name: str) -> list[lsp.Diagnostic]:
        """Return the errors that are told of a file next."""
        while True:
            await asyncio.wait_for(self._news.wait(), 30)
            self._news.clear()
            await asyncio.sleep(0.05)  # all files are told one after the other
            if self.uri(name) in self.told:
                told = self.told.pop(self.uri(name))
                return [one for one in told if one.severity == lsp.DiagnosticSeverity.Error]

    def open(self, name: str, text: str) -> None:
        """Open a file with a text."""
        item = lsp.TextDocumentItem(self.uri(name), "yaml", self._version, text)
        self.text_document_did_open(lsp.DidOpenTextDocumentParams(item))

    def type(self, name: str, text: str) -> None:
        """Change the text of a file."""
        self._version += 1
        document = lsp.VersionedTextDocumentIdentifier(self._version, self.uri(name))
        change = lsp.TextDocumentContentChangeWholeDocument(text)
        self.text_document_did_change(lsp.DidChangeTextDocumentParams(document, [change]))

    def at(self, name: str, text: str, mark: str, behind: int = 0) -> dict[str, Any]:
        """Return a file and the place of a mark in its text, columns in UTF-16 units, for a question."""
        index = text.index(mark) + behind
        line = text.count("\n", 0, index)
        before = text[text.rfind("\n", 0, index) + 1 : index]
        place = lsp.Position(line, len(before.encode("utf-16-le")) // 2)
        return {"text_document": lsp.TextDocumentIdentifier(self.uri(name)), "position": place}


@asynccontextmanager
async def editor(folder: Path) -> AsyncIterator[Editor]:
    """Start the server and an editor that has a folder open."""
    client = Editor(folder)
    await client.start_io(sys.executable, "-m", "lampwright", "serve-editor")
    root = uris.from_fs_path(str(folder))
    workspace = [lsp.WorkspaceFolder(str(root), "layout")]
    params = lsp.InitializeParams(lsp.ClientCapabilities(), root_uri=root, workspace_folders=workspace)
    await client.initialize_async(params)
    client.initialized(lsp.InitializedParams())
    try:
        yield client
    finally:
        await client.shutdown_async(None)
        client.exit(None)
        await client.stop()  # type: ignore[no-untyped-call]
