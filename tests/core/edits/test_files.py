"""Files are written whole or not at all."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from lampwright.edits import CannotWrite, Written, put, save

if TYPE_CHECKING:
    from pathlib import Path


def names(folder: Path) -> list[str]:
    """Return what is in a folder."""
    return sorted(path.name for path in folder.iterdir())


def test_a_file_is_replaced_and_keeps_mode_mark_and_link(tmp_path: Path) -> None:
    """What is not its text stays."""
    file, link = tmp_path / "plan.yaml", tmp_path / "link.yaml"
    file.write_bytes(b"\xef\xbb\xbfplan: 1\r\n")
    file.chmod(0o640)
    link.symlink_to(file)
    save([Written(link, "plan: 1\r\n", "plan: 1\r\nyear: 1978\r\n")])
    assert file.read_bytes() == b"\xef\xbb\xbfplan: 1\r\nyear: 1978\r\n"
    assert file.stat().st_mode & 0o777 == 0o640
    assert link.is_symlink()
    assert names(tmp_path) == ["link.yaml", "plan.yaml"]


def test_nothing_is_written_if_one_of_several_has_changed(tmp_path: Path) -> None:
    """Two files that speak of one signal stay in step."""
    one, other = tmp_path / "one.yaml", tmp_path / "other.yaml"
    one.write_text("a: 1\n")
    other.write_text("somebody was here\n")
    with pytest.raises(CannotWrite, match=r"other.yaml has changed since it was read"):
        save([Written(one, "a: 1\n", "a: 2\n"), Written(other, "b: 1\n", "b: 2\n")])
    assert one.read_text() == "a: 1\n"
    assert names(tmp_path) == ["one.yaml", "other.yaml"]


def test_a_new_file_never_takes_the_place_of_one(tmp_path: Path) -> None:
    """Unless that is asked for."""
    file = tmp_path / "new.yaml"
    put(file, "one\n")
    with pytest.raises(CannotWrite, match="is not overwritten"):
        put(file, "two\n")
    assert file.read_text() == "one\n"
    put(file, "two\n", over=True)
    assert file.read_text() == "two\n"
    assert names(tmp_path) == ["new.yaml"]


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    """By the path, and the system's reason."""
    with pytest.raises(CannotWrite, match=r"no/plan.yaml cannot be written: no such file or directory"):
        put(tmp_path / "no" / "plan.yaml", "x")


def test_a_disk_that_fails_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The error of the system comes out as a sentence, and nothing is left beside."""
    file = tmp_path / "plan.yaml"
    file.write_text("old\n")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWrite, match="no space left on device"):
        save([Written(file, "old\n", "new\n")])
    assert file.read_text() == "old\n"
    assert names(tmp_path) == ["plan.yaml"]


def test_what_is_no_file_is_written_into(tmp_path: Path) -> None:
    """A pipe, as a device: it must still be there afterwards."""
    from threading import Thread

    pipe, read = tmp_path / "pipe", []
    os.mkfifo(pipe)
    reader = Thread(target=lambda: read.append(pipe.read_text()))
    reader.start()
    put(pipe, "a report\n", over=True)
    reader.join(5)
    assert read == ["a report\n"]
    assert pipe.is_fifo()
    assert names(tmp_path) == ["pipe"]
