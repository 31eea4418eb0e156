"""Answers to what an editor asks about a place in a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from lsprotocol import types as lsp
from pygls import uris
from pygls.exceptions import JsonRpcInvalidParams

from lampwright.edits import CannotEdit, edits_of
from lampwright.mending.choice import fix_of
from lampwright.renaming import CannotRename, renamed
from lampwright.reports import placed
from lampwright_editor import books
from lampwright_editor.context import context
from lampwright_editor.targets import target
from lampwright_editor.words import meaning, words_at

if TYPE_CHECKING:
    from lampwright.documents import Document
    from lampwright.edits import Change
    from lampwright.findings import Finding, Fix, Spot
    from lampwright.findings import Path as Steps
    from lampwright_editor.desk import Desk
    from lampwright_editor.server import Server
    from lampwright_editor.words import Word


class Answers:
    """Answers from what lies on the desk."""

    def __init__(self, server: Server, desk: Desk) -> None:
        self._server = server
        self._desk = desk

    def hover(self, params: lsp.HoverParams) -> lsp.Hover | None:
        """Tell what a word means: an aspect what it tells the driver, with its source."""
        file, document, index = self._place(params, half_written=True)
        path, on_key = document.at(index) if document is not None else ((), False)
        word = self._meaning(file, document.values, path, on_key=on_key) if document is not None and path else None
        if document is None or word is None:
            return None
        value = "\n\n".join(filter(None, (f"**{word.word}** {word.title}".rstrip(), word.text)))
        where = self._server.places(document.text).range(document.place(path, on_key=on_key))
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, value), where)

    def completion(self, params: lsp.CompletionParams) -> lsp.CompletionList:
        """Offer what can stand where the cursor is, also in a file that cannot be read at the moment."""
        file, text, index = self._text(params)
        layout = self._desk.layout(file)
        here = context(text, index) if layout is not None else None
        if layout is None or here is None:
            return lsp.CompletionList(is_incomplete=False, items=[])
        found = words_at(layout, here.document.values, here.path, on_key=here.on_key)
        return lsp.CompletionList(is_incomplete=False, items=[_item(word) for word in found])

    def definition(self, params: lsp.DefinitionParams) -> lsp.Location | None:
        """Lead from a name to what it is the name of: in the plan, another plan, or the rulebook."""
        file, document, index = self._place(params, half_written=True)
        path, on_key = document.at(index) if document is not None else ((), False)
        spot = self._target(file, document.values, path, on_key=on_key) if document is not None and path else None
        where, there = (self._desk.path(spot.file), self._desk.known(spot.file)) if spot else (None, None)
        there = document if spot and spot.file == str(file) else there
        uri = uris.from_fs_path(str(where)) if where is not None else None
        if spot is None or there is None or uri is None:
            return None
        place = there.place(spot.path, on_key=spot.on_key)
        return lsp.Location(uri, self._server.places(there.text).range(place))

    def actions(self, params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        """Offer the fixes of what was found in a range."""
        file = str(Path(uris.to_fs_path(params.text_document.uri) or ""))
        result = self._desk.current()
        document = result.documents.get(file)
        if document is None:
            return []
        lines = range(params.range.start.line + 1, params.range.end.line + 2)
        offered = []
        for finding in result.findings:
            place = placed(finding.spot, result.documents) if finding.spot.file == file else None
            if place is not None and any(place.line <= line <= place.end_line for line in lines):
                offered += [self._action(finding, fix) for fix in self._fixes(finding)]
        return [action for action in offered if action is not None]

    def rename(self, params: lsp.RenameParams) -> lsp.WorkspaceEdit | None:
        """Give a signal another name in all plans."""
        file, document, index = self._place(params)
        layout = self._desk.layout(file)
        if document is None or layout is None:
            return None
        path, on_key = document.at(index)
        spot = target(layout, document.values, path, on_key=on_key) if path else None
        plans = self._desk.check().layouts  # files that are not open may have changed as well
        home = next((one for one in plans if spot and one.plan.file == spot.file), None)
        if spot is None or home is None or len(spot.path) != len(("signals", "HF1")) or spot.path[0] != "signals":
            raise JsonRpcInvalidParams("this is no name of a signal")
        if unusable := self._desk.unusable():
            message = f"{unusable[0]} cannot be read, and may name {spot.path[1]}: put that right first"
            raise JsonRpcInvalidParams(message)
        try:
            return self._edit(renamed(plans, home, str(spot.path[1]), params.new_name))
        except (CannotRename, CannotEdit) as error:
            raise JsonRpcInvalidParams(str(error)) from error

    def _meaning(self, file: Path, values: Any, path: Steps, *, on_key: bool) -> Word | None:
        """Return what stands at a path of a plan or rulebook, with its meaning."""
        if (layout := self._desk.layout(file)) is not None:
            return meaning(layout, values, path, on_key=on_key)
        book = self._desk.book(file)
        return books.meaning(book, values, path, on_key=on_key) if book is not None else None

    def _target(self, file: Path, values: Any, path: Steps, *, on_key: bool) -> Spot | None:
        """Return where that is said which stands at a path of a plan or rulebook."""
        if (layout := self._desk.layout(file)) is not None:
            return target(layout, values, path, on_key=on_key)
        known = self._desk.book(file) is not None
        return books.target(str(file), values, path, on_key=on_key) if known else None

    def _fixes(self, finding: Finding) -> list[Fix]:
        """Return the ways to mend a finding."""
        one = fix_of(finding, self._desk.result.documents)
        return list(finding.fixes) or ([one] if one is not None else [])

    def _action(self, finding: Finding, fix: Fix) -> lsp.CodeAction | None:
        """Return a fix as the editor offers it; None if it does not fit into the text."""
        changes: dict[str, list[Change]] = {}
        for file, change in fix.changes:
            changes.setdefault(file, []).append(change)
        try:
            edit = self._edit(changes)
        except CannotEdit:
            return None
        title = fix.title[:1].upper() + fix.title[1:]
        return lsp.CodeAction(f"{title} ({finding.rule})", kind=lsp.CodeActionKind.QuickFix, edit=edit)

    def _edit(self, changes: dict[str, list[Change]]) -> lsp.WorkspaceEdit:
        """Return changes of files as the editor makes them."""
        found: dict[str, list[lsp.TextEdit]] = {}
        for file, made in changes.items():
            document, uri = self._desk.result.documents[file], uris.from_fs_path(file)
            places = self._server.places(document.text)
            if uri is not None:
                found[uri] = [places.edit(document, edit) for edit in edits_of(document, made)]
        return lsp.WorkspaceEdit(changes=found)

    def _text(self, params: Any) -> tuple[Path, str, int]:
        """Return the file that is asked about, its text, and the index in it."""
        uri = params.text_document.uri
        text = self._server.workspace.get_text_document(uri).source
        return Path(uris.to_fs_path(uri) or ""), text, self._server.places(text).index(params.position)

    def _place(self, params: Any, *, half_written: bool = False) -> tuple[Path, Document | None, int]:
        """Return the file that is asked about, as it is at the moment if it can be read, and the index in it.

        One that is ``half_written`` may do, as far as it can be read; nothing is to be written into what comes of that.
        """
        file, text, index = self._text(params)
        self._desk.texts.setdefault(file, text)
        return file, self._desk.legible(file, index) if half_written else self._desk.document(file), index


def _item(word: Word) -> lsp.CompletionItem:
    """Return a word as the editor offers it."""
    return lsp.CompletionItem(word.word, detail=word.title or None, documentation=word.text or None)
