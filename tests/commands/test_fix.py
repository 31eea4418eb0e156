"""``check --fix``: files are mended, or shown as they would be."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from command_line import call

if TYPE_CHECKING:
    from pathlib import Path

WRONG = "plan: 1   # ours\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: four-aspekt}\n"
RIGHT = WRONG.replace("aspekt", "aspect")


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Make a plan with a slip."""
    file = tmp_path / "plan.yaml"
    file.write_text(WRONG)
    return file


def test_a_slip_is_mended_and_the_rest_is_checked_again(plan: Path) -> None:
    """0: nothing is wrong any more."""
    done = call("check", plan, "--fix")
    assert (done.code, plan.read_text()) == (0, RIGHT)
    assert done.err == "lampwright: 1 finding mended in 1 file\n"
    assert done.out.startswith("No findings.")


def test_a_diff_writes_nothing(plan: Path) -> None:
    """And tells what is wrong as ever."""
    done = call("check", plan, "--diff")
    assert (done.code, plan.read_text()) == (1, WRONG)
    assert "-  HF1: {form: four-aspekt}\n+  HF1: {form: four-aspect}\n" in done.out
    assert "error[unknown-form]" in done.out


def test_a_file_that_cannot_be_written_stays(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """2, with the reason."""
    import os

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    done = call("check", plan, "--fix")
    assert (done.code, plan.read_text()) == (2, WRONG)
    assert "no space left on device" in done.err


def test_standard_input_cannot_be_mended() -> None:
    """There is nowhere to write it to."""
    done = call("check", "-", "--fix", stdin=WRONG.encode())
    assert done.code == 2
    assert "standard input cannot be mended" in done.err


def test_a_rulebook_that_cannot_be_used_is_what_is_told(plan: Path, tmp_path: Path) -> None:
    """Its folder is no standard input."""
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "rulebook.yaml").write_text("rulebook: 1\n")
    done = call("check", plan, "--rulebook", tmp_path / "mine", "--fix")
    assert (done.code, plan.read_text()) == (1, WRONG)
    assert "error[malformed]: the file lacks the key" in done.out
    assert "standard input" not in done.err
