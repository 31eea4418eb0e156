"""Which files are looked at."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from lampwright.documents import find


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with plans, rulebooks and what looks like them."""
    monkeypatch.chdir(tmp_path)
    files = {
        "b/plan.yaml": "plan: 1\n",
        "b/a.yml": "\ufeff# a\r\n\r\n%YAML 1.2\r\n--- # b\r\n'rulebook' : 1\r\n",
        "b/c/flow.yaml": "{plan: 1, name: x}\n",
        "b/c/late.yaml": "# licence\n" * 3000 + "plan:\n",
        "b/c/cr.yaml": "# a\rplan: 1\r",
        "a.yaml": '"plan": 1\n',
        "other.yaml": "name: x\nplan: 1\n",
        "plans.yaml": "plans: 1\n",
        "word.yaml": "plan:1\n",
        "list.yaml": "- plan: 1\n",
        "empty.yaml": "",
        "binary.yaml": "\x00\x01",
        "plan.txt": "plan: 1\n",
        ".hidden.yaml": "plan: 1\n",
        ".venv/plan.yaml": "plan: 1\n",
    }
    for name, text in files.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())
    return tmp_path


def names(paths: list[Path]) -> list[str]:
    """Return paths as they would be shown."""
    return [path.as_posix() for path in paths]


@pytest.mark.usefixtures("tree")
def test_a_folder_is_searched_for_what_begins_with_plan_or_rulebook() -> None:
    """Sorted, with the folders in it; hidden files and folders are not looked at."""
    assert names(find(["."])) == ["a.yaml", "b/a.yml", "b/c/cr.yaml", "b/c/flow.yaml", "b/c/late.yaml", "b/plan.yaml"]


@pytest.mark.usefixtures("tree")
def test_what_is_named_is_looked_at_whatever_it_is() -> None:
    """In the order given, each file once, under the name by which it came first; ``-`` is standard input."""
    given = ["b/plan.yaml", "none.yaml", "-", "other.yaml", "b/../b/plan.yaml", "b/c", "-", "b", "plan.txt"]
    assert names(find(given)) == [
        "b/plan.yaml",
        "none.yaml",
        "-",
        "other.yaml",
        "b/c/cr.yaml",
        "b/c/flow.yaml",
        "b/c/late.yaml",
        "b/a.yml",
        "plan.txt",
    ]
    assert names(find([".venv"])) == [".venv/plan.yaml"]


def test_links_are_not_followed_into_folders(tree: Path) -> None:
    """So a circle ends; a link to a file is that file, and a link to nothing is nothing."""
    (tree / "b" / "circle").symlink_to(tree)
    (tree / "d").mkdir()
    (tree / "d" / "link.yaml").symlink_to(tree / "a.yaml")
    (tree / "d" / "gone.yaml").symlink_to(tree / "nowhere.yaml")
    assert names(find([tree, "d"]))[:1] == [str(tree / "a.yaml")]
    assert len(find([tree])) == 6


def test_a_link_to_a_file_elsewhere_has_to_be_allowed(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is named is read wherever it leads; what is merely found is not even opened outside."""
    (tree / "d").mkdir()
    (tree / "d" / "link.yaml").symlink_to(tree / "a.yaml")
    out: list[Path] = []
    assert find(["d"], leads_out=out.append) == []
    assert names(out) == ["d/link.yaml"]
    assert names(find(["d/link.yaml", "a.yaml"])) == ["d/link.yaml"]
    monkeypatch.setenv("LAMPWRIGHT_OUTSIDE", f"/nowhere{os.pathsep}{tree}")
    assert names(find(["d"])) == ["d/link.yaml"]


def test_pipes_and_folders_with_the_name_of_a_plan_are_no_plans(tree: Path) -> None:
    """Opening a pipe would wait for ever."""
    os.mkfifo(tree / "d.yaml")
    (tree / "e.yaml").mkdir()
    assert len(find([tree])) == 6


def test_what_cannot_be_opened_is_returned_so_that_somebody_is_told(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file or folder that is silently left out would look like one without faults."""
    real = os.scandir

    def scandir(path: str) -> object:
        if Path(path).name == "c":
            raise PermissionError(13, "Permission denied", path)
        return real(path)

    monkeypatch.setattr(os, "scandir", scandir)
    assert names(find([tree / "b"])) == [(tree / "b" / name).as_posix() for name in ("a.yml", "c", "plan.yaml")]
