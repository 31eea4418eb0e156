"""The server: takes what an editor says, and answers from the desk."""

from __future__ import annotations

import asyncio
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from lsprotocol import types as lsp
from pygls import uris
from pygls.lsp.server import LanguageServer

from lampwright import __version__
from lampwright.findings import Level
from lampwright.reports import ordered, placed
from lampwright.reports.printable import printable
from lampwright_editor.answers import Answers
from lampwright_editor.desk import Desk
from lampwright_editor.places import Places

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.documents import Place
    from lampwright.findings import Finding, Spot
    from lampwright.project import Result
    from lampwright.session import Session

PAUSE: Final = 0.15
"""Seconds of silence after which what was typed is checked."""
SEVERITY: Final = {
    Level.ERROR: lsp.DiagnosticSeverity.Error,
    Level.WARNING: lsp.DiagnosticSeverity.Warning,
    Level.NOTE: lsp.DiagnosticSeverity.Information,
}


class Server(LanguageServer):
    """Serves one editor."""

    def __init__(self, session: Session) -> None:
        super().__init__("lampwright", __version__)
        self.desk = Desk(session)
        self._told: set[str] = set()
        self._waiting: asyncio.TimerHandle | None = None
        self._serve()

    def _serve(self) -> None:
        """Say what is done with what the editor says."""
        answers = Answers(self, self.desk)
        triggers = lsp.CompletionOptions(trigger_characters=[" ", "[", "{", ",", "/"])
        self._take(lsp.INITIALIZED, self._begin)
        self._take(lsp.TEXT_DOCUMENT_DID_OPEN, self._changed)
        self._take(lsp.TEXT_DOCUMENT_DID_CHANGE, self._changed)
        self._take(lsp.TEXT_DOCUMENT_DID_SAVE, self._changed)
        self._take(lsp.TEXT_DOCUMENT_DID_CLOSE, self._closed)
        self._take(lsp.TEXT_DOCUMENT_HOVER, answers.hover)
        self._take(lsp.TEXT_DOCUMENT_COMPLETION, answers.completion, triggers)
        self._take(lsp.TEXT_DOCUMENT_DEFINITION, answers.definition)
        self._take(lsp.TEXT_DOCUMENT_CODE_ACTION, answers.actions)
        self._take(lsp.TEXT_DOCUMENT_RENAME, answers.rename)

    def _take(self, what: str, answer: Callable[[Any], object], options: object = None) -> None:
        """Let something answer; the library marks what it is given, which a method does not bear."""

        def answering(params: Any) -> object:
            return answer(params)

        self.feature(what, options)(answering)

    def places(self, text: str) -> Places:
        """Return what turns places of a text, in the units agreed on with the editor."""
        return Places(text, self.workspace.position_codec)

    def _begin(self, _params: lsp.InitializedParams) -> None:
        """Look at the folder that the editor has open."""
        root = self.workspace.root_path
        self.desk.folder = Path(root) if root and Path(root).is_dir() else None

    def _changed(
        self,
        params: lsp.DidOpenTextDocumentParams | lsp.DidChangeTextDocumentParams | lsp.DidSaveTextDocumentParams,
    ) -> None:
        """Take the text of a file, and check when nothing more comes."""
        uri = params.text_document.uri
        path = uris.to_fs_path(uri)
        if path is not None:
            self.desk.texts[Path(path)] = self.workspace.get_text_document(uri).source
            self._wait()

    def _closed(self, params: lsp.DidCloseTextDocumentParams) -> None:
        """Let go of a text: what is on the disk counts again."""
        path = uris.to_fs_path(params.text_document.uri)
        if path is not None:
            self.desk.texts.pop(Path(path), None)
            self._wait()

    def _wait(self) -> None:
        """Check after a pause, counted from the last change."""
        if self._waiting is not None:
            self._waiting.cancel()
        self._waiting = asyncio.get_running_loop().call_later(PAUSE, self.tell)

    def tell(self) -> None:
        """Check everything, and tell the editor what was found; what is gone is told too."""
        result = self.desk.check()
        opened = map(str, self.desk.texts)
        by_file: dict[str, list[lsp.Diagnostic]] = {file: [] for file in {*result.files, *self._told, *opened}}
        for finding, place in ordered(result):
            if place is not None:
                told = by_file.setdefault(finding.spot.file, [])
                told.append(self._diagnostic(finding, place, result))
        self._told = set(by_file)
        for file, diagnostics in by_file.items():
            uri = self._uri(file)
            if uri is not None:
                self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, diagnostics))

    def _uri(self, name: str) -> str | None:
        """Return how the editor calls a file of that name; configurations are named from the working folder."""
        path = Path(name) if Path(name).is_absolute() else self.desk.path(name)
        return uris.from_fs_path(os.path.abspath(path)) if path is not None else None  # noqa: PTH100  (links stay)

    def _diagnostic(self, finding: Finding, place: Place, result: Result) -> lsp.Diagnostic:
        """Return a finding as the editor shows it."""
        text = result.documents[finding.spot.file].text
        because = f"\nbecause: {finding.because}" if finding.because else ""
        sources = "".join(f"\nsource: {source}" for source in dict.fromkeys(map(str, finding.citations)))
        tip = f"\ntip: {finding.tip}" if finding.tip else ""
        related = [one for spot in finding.related if (one := self._related(spot, result)) is not None]
        return lsp.Diagnostic(
            self.places(text).range(place),
            "\n".join(map(printable, f"{finding.message}{because}{sources}{tip}".split("\n"))),
            severity=SEVERITY[finding.level],
            code=finding.rule,
            source="lampwright",
            related_information=related,
        )

    def _related(self, spot: Spot, result: Result) -> lsp.DiagnosticRelatedInformation | None:
        """Return a place that has to do with a finding."""
        place, uri = placed(spot, result.documents), self._uri(spot.file)
        if place is None or uri is None:
            return None
        where = lsp.Location(uri, self.places(result.documents[spot.file].text).range(place))
        return lsp.DiagnosticRelatedInformation(where, printable(spot.label) or "see here")
