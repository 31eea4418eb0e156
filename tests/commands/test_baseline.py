"""A baseline: what was agreed on passes, what is new does not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from command_line import call

if TYPE_CHECKING:
    from pathlib import Path

OLD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: three-aspekt}\n"
NEW = OLD + "  HF3: {form: for-aspect}\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make a project with an old plan and a baseline of it."""
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "old.yaml").write_text(OLD)
    monkeypatch.chdir(tmp_path)
    done = call("check", "plans", "--baseline", "known.yaml", "--write-baseline")
    assert done.code == 0
    assert "known.yaml now agrees on 1" in done.err
    return tmp_path


def test_the_file_can_be_read(folder: Path) -> None:
    """A line for each file and rule."""
    lines = (folder / "known.yaml").read_text().splitlines()
    assert lines[1:] == ["baseline: 1", "files:", "  plans/old.yaml:", "    unknown-form: 1"]


def test_what_was_agreed_on_passes_wherever_it_moves(folder: Path) -> None:
    """From any folder, and after lines were added."""
    (folder / "plans" / "old.yaml").write_text("# a note\n\n" + OLD)
    done = call("check", "plans/old.yaml", "--baseline", "known.yaml")
    assert done.code == 0
    assert done.out.startswith("No findings, 1 agreed on in the baseline.")


def test_a_new_one_does_not_pass(folder: Path) -> None:
    """Nobody can tell which is the old one, so both are shown, and that is said."""
    (folder / "plans" / "old.yaml").write_text(NEW)
    done = call("check", "plans", "--baseline", "known.yaml")
    assert done.code == 1
    assert done.out.count("error[unknown-form]") == 2
    assert "has 1 of unknown-form in plans/old.yaml, and now there are 2: all are shown" in done.err


def test_a_new_file_does_not_pass(folder: Path) -> None:
    """A baseline speaks of the files it names."""
    (folder / "plans" / "new.yaml").write_text(OLD)
    assert call("check", "plans", "--baseline", "known.yaml").out.count("error[unknown-form]") == 1


def test_it_shrinks_when_told_and_never_grows(folder: Path) -> None:
    """What has been mended does not come back unseen."""
    (folder / "plans" / "old.yaml").write_text(NEW)
    call("check", "plans", "--baseline", "known.yaml", "--shrink-baseline")
    assert "unknown-form: 1" in (folder / "known.yaml").read_text()
    (folder / "plans" / "old.yaml").write_text(OLD.replace("aspekt", "aspect"))
    assert call("check", "plans", "--baseline", "known.yaml", "--shrink-baseline").code == 0
    assert (folder / "known.yaml").read_text().endswith("files: {}\n")


def test_what_is_agreed_on_in_a_file_goes_with_it(folder: Path) -> None:
    """Another of its name one day begins with nothing; files that were only not looked at stay."""
    (folder / "plans" / "new.yaml").write_text(NEW)
    call("check", "plans", "--baseline", "known.yaml", "--write-baseline")
    (folder / "plans" / "old.yaml").unlink()
    (folder / "other.yaml").write_text(OLD.replace("aspekt", "aspect"))
    call("check", "other.yaml", "--baseline", "known.yaml", "--shrink-baseline")
    assert (folder / "known.yaml").read_text().splitlines()[2:] == [
        "files:",
        "  plans/new.yaml:",
        "    unknown-form: 2",
    ]


@pytest.mark.parametrize("text", ["baseline: 2\nfiles: {}\n", "plan: 1\n", "baseline: 1\nfiles: {a: {b: 0}}\n", "{"])
def test_a_wrong_baseline_is_a_wrong_call(folder: Path, text: str) -> None:
    """With the place; nothing passes because of it."""
    (folder / "known.yaml").write_text(text)
    done = call("check", "plans", "--baseline", "known.yaml")
    assert done.code == 2
    assert "--> known.yaml:" in done.err
    assert (folder / "known.yaml").read_text() == text


def test_options_without_a_baseline_are_a_wrong_call(folder: Path) -> None:
    """So is one that is not there."""
    del folder
    assert call("check", "plans", "--write-baseline").code == 2
    assert call("check", "plans", "--baseline", "none.yaml").code == 2
