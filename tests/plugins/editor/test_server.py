"""The language server, asked by a real client over a pipe."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from lsprotocol import types as lsp
from pygls import uris
from pygls.exceptions import JsonRpcException

from editor_client import Editor, editor
from lampwright.edits import Edit, applied

if TYPE_CHECKING:
    from collections.abc import Callable, Coroutine

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"
NORTH = f"""{HEAD}sections: {{AA: {{}}, AB: {{}}}}
signals:
  # é 🚂 HF1
  HF1: {{form: three-aspect, routes: [{{to: HF3, over: [AA]}}]}}   # 🚂
  HF3:
    form: four-aspect
    shows: {{clear: green, danger: red, caution: lower-yellow, preliminary-caution: [upper-yellow, lower-yellow]}}
    routes: [{{to: south/S1}}]
ends: {{bay: {{kind: buffer-stop}}}}
conflicts: {{HF1 to HF3: [HF3 to south/S1]}}
"""
SOUTH = f"{HEAD}signals:\n  S1: {{form: four-aspect, routes: [{{to: north/HF1}}]}}\n"


def spoken(folder: Path, talk: Callable[[Editor], Coroutine[Any, Any, None]]) -> None:
    """Let an editor that has both plans open talk with the server."""
    (folder / "north.yaml").write_text(NORTH)
    (folder / "south.yaml").write_text(SOUTH)

    async def run() -> None:
        async with editor(folder) as client:
            client.open("north.yaml", NORTH)
            await client.news("north.yaml")
            await talk(client)

    asyncio.run(run())


def test_what_is_typed_is_checked(tmp_path: Path) -> None:
    """A slip comes and goes; the place is right though an engine stands before it on the line."""

    async def talk(client: Editor) -> None:
        wrong = NORTH.replace("# é 🚂 HF1", "").replace(
            "HF1: {form: three-aspect", "HF1: {note: 🚂, form: three-aspekt"
        )
        client.type("north.yaml", wrong)
        (told,) = await client.news("north.yaml")
        assert (told.code, told.severity, told.source) == ("unknown-form", lsp.DiagnosticSeverity.Error, "lampwright")
        line = wrong.splitlines()[told.range.start.line].encode("utf-16-le")
        assert line[2 * told.range.start.character : 2 * told.range.end.character].decode("utf-16-le") == "three-aspekt"
        client.type("north.yaml", NORTH)
        assert await client.news("north.yaml") == []

    spoken(tmp_path, talk)


def test_files_know_each_other_as_they_are_in_the_editor(tmp_path: Path) -> None:
    """A signal that is gone from one plan is missed in the other, before anything is saved."""

    async def talk(client: Editor) -> None:
        client.open("south.yaml", SOUTH.replace("S1:", "S2:"))
        (told,) = await client.news("north.yaml")
        assert told.code == "dead-reference"

    spoken(tmp_path, talk)


@pytest.mark.parametrize(
    ("mark", "behind", "word", "text"),
    [
        ("caution: lower", 2, "**caution**", "next signal"),
        ("form: four-aspect", 8, "**four-aspect**", "Gives"),
        ("to: HF3", 5, "**HF3** four-aspect", "Leads to south/S1"),
        ("over: [AA]", 1, "**over**", "Sections on the way"),
    ],
)
def test_a_word_tells_what_it_means(tmp_path: Path, mark: str, behind: int, word: str, text: str) -> None:
    """Aspects what they tell the driver, with the source; keys what they are for."""

    async def talk(client: Editor) -> None:
        hover = await client.text_document_hover_async(lsp.HoverParams(**client.at("north.yaml", NORTH, mark, behind)))
        assert hover is not None
        assert isinstance(hover.contents, lsp.MarkupContent)
        assert hover.contents.value.startswith(word)
        assert text in hover.contents.value

    spoken(tmp_path, talk)


@pytest.mark.parametrize(
    ("old", "new", "offered"),
    [
        pytest.param("form: three-aspect,", "form: ", "four-aspect", id="forms"),
        pytest.param("to: HF3,", "to: ", "bay", id="exits"),
        pytest.param("to: HF3,", "to: s", "south/S1", id="exits in another plan"),
        pytest.param("over: [AA]", "over: [A", "AB", id="sections, a bracket open"),
        pytest.param("caution: lower-yellow", "cau", "preliminary-caution", id="aspects"),
        pytest.param("caution: lower-yellow", "caution: lo", "lower-yellow", id="lamps"),
        pytest.param("over: [AA]", "indicator: ", "position-1", id="indicators"),
        pytest.param("HF1: {form: three-aspect, routes: [{to: HF3, over: [AA]}]}", "HF1: {ro", "routes", id="keys"),
        pytest.param("    form: four-aspect\n", "    for\n", "form", id="keys in lines"),
    ],
)
def test_what_can_stand_there_is_offered(tmp_path: Path, old: str, new: str, offered: str) -> None:
    """Also while the file cannot be read."""

    async def talk(client: Editor) -> None:
        text = NORTH.replace(old, new, 1)
        client.type("north.yaml", text)
        place = client.at("north.yaml", text, new, len(new.rstrip("\n")))
        found = await client.text_document_completion_async(lsp.CompletionParams(**place))
        assert isinstance(found, lsp.CompletionList)
        assert offered in [item.label for item in found.items]

    spoken(tmp_path, talk)


@pytest.mark.parametrize(
    ("mark", "behind", "file", "line"),
    [
        ("to: HF3", 5, "north.yaml", "  HF3:"),
        ("to: south/S1", 8, "south.yaml", "  S1:"),
        ("over: [AA]", 8, "north.yaml", "sections:"),
        ("form: four-aspect", 8, "rulebook.yaml", "  four-aspect:"),
        ("HF1 to HF3", 2, "north.yaml", "  HF1:"),
    ],
)
def test_a_name_leads_to_what_it_names(tmp_path: Path, mark: str, behind: int, file: str, line: str) -> None:
    """In the plan, in another, in the rulebook."""

    async def talk(client: Editor) -> None:
        params = lsp.DefinitionParams(**client.at("north.yaml", NORTH, mark, behind))
        found = await client.text_document_definition_async(params)
        assert isinstance(found, lsp.Location)
        assert found.uri.endswith(file)
        assert line_of(found).startswith(line)

    spoken(tmp_path, talk)


def line_of(place: lsp.Location) -> str:
    """Return the line that a place is on."""
    return Path(uris.to_fs_path(place.uri) or "").read_text("utf-8").splitlines()[place.range.start.line]


def test_a_fix_is_offered_at_its_finding(tmp_path: Path) -> None:
    """As an edit of the word alone."""

    async def talk(client: Editor) -> None:
        wrong = NORTH.replace("three-aspect", "three-aspekt")
        client.type("north.yaml", wrong)
        (told,) = await client.news("north.yaml")
        document = lsp.TextDocumentIdentifier(client.uri("north.yaml"))
        params = lsp.CodeActionParams(document, told.range, lsp.CodeActionContext([told]))
        (action,) = await client.text_document_code_action_async(params) or []
        assert isinstance(action, lsp.CodeAction)
        assert action.title == "Write three-aspect (unknown-form)"
        assert changed(wrong, action.edit, client.uri("north.yaml")) == NORTH

    spoken(tmp_path, talk)


@pytest.mark.parametrize("asked", ["fix", "rename"])
def test_what_is_written_fits_the_text_as_it_is(tmp_path: Path, asked: str) -> None:
    """Also if something was typed and it has not been checked yet."""

    async def talk(client: Editor) -> None:
        text = NORTH.replace("three-aspect", "three-aspekt") if asked == "fix" else NORTH
        client.type("north.yaml", text)
        await client.news("north.yaml")
        text = text.replace("HF1: {", "HF1: {note: a note that came later, ")
        client.type("north.yaml", text)
        place = client.at("north.yaml", text, "to: HF3", 5)
        if asked == "rename":
            edit = await client.text_document_rename_async(lsp.RenameParams(new_name="HF7", **place))
            meant = text.replace("HF3", "HF7")
        else:
            here = lsp.Range(place["position"], place["position"])
            params = lsp.CodeActionParams(place["text_document"], here, lsp.CodeActionContext([]))
            (action,) = await client.text_document_code_action_async(params) or []
            assert isinstance(action, lsp.CodeAction)
            edit, meant = action.edit, text.replace("three-aspekt", "three-aspect")
        assert changed(text, edit, client.uri("north.yaml")) == meant

    spoken(tmp_path, talk)


@pytest.mark.parametrize("trouble", ["broken", "gone"])
def test_a_plan_that_cannot_be_read_keeps_names_as_they_are(tmp_path: Path, trouble: str) -> None:
    """It may name the signal; a plan that is gone does not."""

    async def talk(client: Editor) -> None:
        if trouble == "gone":
            (tmp_path / "south.yaml").unlink()
        else:
            (tmp_path / "south.yaml").write_text(f"{SOUTH}ends: [\n")
        params = lsp.RenameParams(new_name="HF7", **client.at("north.yaml", NORTH, "HF1: {", 1))
        if trouble == "broken":
            with pytest.raises(JsonRpcException, match=r"south\.yaml cannot be read, and may name HF1"):
                await client.text_document_rename_async(params)
        else:
            edit = await client.text_document_rename_async(params)
            assert edit is not None
            assert list(edit.changes or {}) == [client.uri("north.yaml")]

    spoken(tmp_path, talk)


def test_the_configuration_holds(tmp_path: Path) -> None:
    """Levels, files that are left out, and what is wrong in the configuration itself."""
    configuration = tmp_path / "lampwright.toml"
    wrong = NORTH.replace("three-aspect", "three-aspekt")

    async def talk(client: Editor) -> None:
        client.type("north.yaml", wrong)
        assert [one.code for one in await client.news("north.yaml")] == ["unknown-form"]
        for text in ('exclude = ["north.yaml", "south.yaml"]\n', '[levels]\nunknown-form = "off"\n'):
            configuration.write_text(text)
            client.type("north.yaml", f"{wrong}# {text[:4]}")
            assert await client.news("north.yaml") == []
        configuration.write_text("exclud = []\n")
        client.type("north.yaml", NORTH)
        (told,) = await client.news("lampwright.toml")
        assert "exclud" in told.message

    spoken(tmp_path, talk)


def test_nothing_is_said_of_files_of_others(tmp_path: Path) -> None:
    """Editors send every YAML file."""

    async def talk(client: Editor) -> None:
        client.open("services.yaml", "services: {web: {image: web}}\n")
        assert await client.news("services.yaml") == []

    spoken(tmp_path, talk)


def test_without_its_package_it_says_what_to_install() -> None:
    """The server's library is an extra."""
    program = "import sys; sys.modules['pygls'] = None; from lampwright.commands import main; main()"
    run = subprocess.run(
        [sys.executable, "-c", program, "serve-editor"], capture_output=True, text=True, check=False, timeout=60
    )
    assert (run.returncode, run.stdout) == (2, "")
    assert "pip install 'lampwright[editor]'" in run.stderr


def changed(text: str, edit: lsp.WorkspaceEdit | None, uri: str) -> str:
    """Return a text as an editor would change it."""
    assert edit is not None
    assert edit.changes is not None
    lines = text.splitlines(keepends=True)

    def index(place: lsp.Position) -> int:
        units = lines[place.line].encode("utf-16-le")[: 2 * place.character]
        return sum(map(len, lines[: place.line])) + len(units.decode("utf-16-le"))

    edits = [Edit(index(one.range.start), index(one.range.end), one.new_text) for one in edit.changes.get(uri, ())]
    return applied(text, edits)


def test_a_signal_gets_another_name_everywhere(tmp_path: Path) -> None:
    """In routes of both plans, in the names of routes, and where it stands; taken names are refused."""

    async def talk(client: Editor) -> None:
        place = client.at("north.yaml", NORTH, "HF1: {", 1)
        edit = await client.text_document_rename_async(lsp.RenameParams(new_name="HF7", **place))
        north = changed(NORTH, edit, client.uri("north.yaml"))
        assert north == NORTH.replace("  HF1: {", "  HF7: {").replace("HF1 to HF3", "HF7 to HF3")
        assert changed(SOUTH, edit, client.uri("south.yaml")) == SOUTH.replace("north/HF1", "north/HF7")
        with pytest.raises(JsonRpcException, match="has a HF3 already"):
            await client.text_document_rename_async(lsp.RenameParams(new_name="HF3", **place))

    spoken(tmp_path, talk)


BOOK = """\
rulebook: 1
id: alpine
title: Alpine railway
source: page
sources: {page: {title: A page, publisher: a club, basis: secondary}}
aspects:
  stop: {says: {authority: stop}}
  clear: {name: Clear way, says: {authority: proceed}, source: page 14}
order: [[stop, clear]]
forms:
  home:
    role: stop
    lamps: {green: green, red: red}
    shows: {stop: red, clear: green}
    in-doubt: stop
"""
HALF = {
    "a bracket open": ("ends: {bay", "ends: [{bay"),
    "a key without a value, and a line that is no YAML": ("ends: {bay: {kind: buffer-stop}}", "ends\n  : ]"),
    "a line before it": ("sections: {AA: {}, AB: {}}", "sections: {AA: {}, AB: {}"),
}
"""Slips on other lines than those asked about, with what they were."""


@pytest.mark.parametrize("slip", HALF)
def test_a_half_written_file_still_tells_and_leads(tmp_path: Path, slip: str) -> None:
    """What an aspect means and where a form is said, while another line cannot be read."""
    text = NORTH.replace(*HALF[slip])

    async def talk(client: Editor) -> None:
        client.type("north.yaml", text)
        assert await client.news("north.yaml") != []
        where = client.at("north.yaml", text, "caution: lower", 2)
        hover = await client.text_document_hover_async(lsp.HoverParams(**where))
        assert hover is not None
        assert isinstance(hover.contents, lsp.MarkupContent)
        assert hover.contents.value.startswith("**caution**")
        params = lsp.DefinitionParams(**client.at("north.yaml", text, "to: HF3", 5))
        found = await client.text_document_definition_async(params)
        assert isinstance(found, lsp.Location)
        assert text.splitlines()[found.range.start.line].startswith("  HF3:")

    spoken(tmp_path, talk)


@pytest.mark.parametrize(
    ("mark", "behind", "told", "line"),
    [
        ("stop, clear]", 7, "**clear** Clear way", "  clear:"),
        ("shows: {stop: red", 9, "**stop**", "  stop:"),
        ("source: page 14", 9, "**page** A page", "sources:"),
        ("stop: red", 6, "", "    lamps:"),
        ("in-doubt: stop", 2, "**in-doubt**", ""),
    ],
)
def test_a_rulebook_tells_and_leads_too(tmp_path: Path, mark: str, behind: int, told: str, line: str) -> None:
    """Aspects what they tell, sources what they are, lamps where their form has them; keys what they are for."""
    (tmp_path / "alpine").mkdir()
    (tmp_path / "alpine" / "rulebook.yaml").write_text(BOOK)
    name = "alpine/rulebook.yaml"

    async def talk(client: Editor) -> None:
        client.open(name, BOOK)
        await client.news(name)
        hover = await client.text_document_hover_async(lsp.HoverParams(**client.at(name, BOOK, mark, behind)))
        if told:
            assert hover is not None
            assert isinstance(hover.contents, lsp.MarkupContent)
            assert hover.contents.value.startswith(told)
        found = await client.text_document_definition_async(lsp.DefinitionParams(**client.at(name, BOOK, mark, behind)))
        if line:
            assert isinstance(found, lsp.Location)
            assert line_of(found).startswith(line)

    spoken(tmp_path, talk)
