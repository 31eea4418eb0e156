"""``lampwright new``: what it writes works at once, and nothing is overwritten or left half."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from command_line import call
from lampwright.edits import CannotWrite, put_folder
from support import library

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("name", library().ids)
def test_a_starter_plan_checks_clean(folder: Path, name: str) -> None:
    """For every rulebook there is: no finding of any level."""
    assert call("new", "plan", "--rulebook", name).code == 0
    done = call("check", "plan.yaml", "--fail-on", "note")
    assert (done.code, done.out.startswith(f"No findings. {name} in ")) == (0, True)
    assert f"rulebook: {name}\n" in (folder / "plan.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", library().ids)
def test_a_starter_plan_is_right_with_its_lamps_written_out(folder: Path, name: str) -> None:
    """The line of lamps holds as it stands once its # is gone, and every plan has routes."""
    text = call("new", "plan", "-", "--rulebook", name).out
    (folder / "plan.yaml").write_text(text.replace("    # lamps: ", "    lamps: "), encoding="utf-8")
    assert "\n    lamps: [" in (folder / "plan.yaml").read_text(encoding="utf-8")
    assert "    routes:\n" in text
    done = call("check", "plan.yaml", "--fail-on", "note")
    assert (done.code, done.out.startswith("No findings. ")) == (0, True)


def test_a_plan_has_routes_and_says_what_lamps_there_are() -> None:
    """There is something to change; ``-`` prints it."""
    done = call("new", "plan", "-", "--rulebook", "gb-colour-light")
    assert "      - {to: A2, turns: straight}\n" in done.out
    assert "    form: three-aspect    # Three-aspect signal\n    # lamps: [green, yellow, red]\n" in done.out


def test_the_rulebook_of_the_configuration_is_followed(folder: Path) -> None:
    """Where the plan is to lie; without one it is asked for."""
    (folder / "lampwright.toml").write_text('rulebook = "nl-1954"\n', encoding="utf-8")
    assert "rulebook: nl-1954\n" in call("new", "plan", "-").out
    (folder / "lampwright.toml").unlink()
    done = call("new", "plan")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("lampwright: for which rulebook? name it with --rulebook ID")


def test_nothing_is_overwritten(folder: Path) -> None:
    """Neither a plan nor a folder, not even an empty one, nor a link that leads nowhere."""
    (folder / "plan.yaml").write_text("mine", encoding="utf-8")
    (folder / "link.yaml").symlink_to("nowhere")
    (folder / "rulebook-ours").mkdir()
    for arguments in (
        ["plan", "--rulebook", "de-hv"],
        ["plan", "link.yaml", "--rulebook", "de-hv"],
        ["rulebook", "ours"],
    ):
        done = call("new", *arguments)
        assert done.code == 2
        assert "is there already, and is not overwritten" in done.err
    assert (folder / "plan.yaml").read_text(encoding="utf-8") == "mine"
    assert sorted(path.name for path in folder.iterdir()) == ["link.yaml", "plan.yaml", "rulebook-ours"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["My-Railway"], "My-Railway is no id: small letters, digits and hyphens"),
        (["../x"], "../x is no id"),
        (["gb-colour-light"], "there is a rulebook gb-colour-light already"),
        (["ours", "--title", 'a "b"'], "it can hold neither quotes"),
    ],
)
def test_what_cannot_be_is_a_wrong_call(folder: Path, arguments: list[str], said: str) -> None:
    """Before anything is written."""
    done = call("new", "rulebook", *arguments)
    assert (done.code, said in done.err) == (2, True), done.err
    assert list(folder.iterdir()) == []


def test_a_folder_is_written_whole_or_not_at_all(folder: Path) -> None:
    """It fails after the first file: nothing stays."""
    with pytest.raises(CannotWrite, match="ours cannot be written"):
        put_folder(folder / "ours", {"a/b": "first", "a": "a folder of that name is there"})
    with pytest.raises(CannotWrite, match="no such file"):
        put_folder(folder / "nowhere" / "ours", {"a": ""})
    assert list(folder.iterdir()) == []
    put_folder(folder / "ours", {"a/b": "text\n"})
    assert (folder / "ours/a/b").read_bytes() == b"text\n"
    assert [path.name for path in folder.iterdir()] == ["ours"]


def test_a_title_stands_where_people_look(folder: Path) -> None:
    """In the rulebook, the README and the description of the package."""
    call("new", "rulebook", "ours", "--title", "Our railway, main line")
    made = folder / "rulebook-ours"
    for file in ("README.md", "pyproject.toml", "rulebook_ours/books/ours/rulebook.yaml"):
        assert "Our railway, main line" in (made / file).read_text(encoding="utf-8")
    done = call("check", "rulebook-ours", "--fail-on", "warning")
    assert (done.code, "ours in 1960" in done.out) == (0, True)
