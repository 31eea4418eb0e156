"""Several reports of one run: text stays on the terminal, the others go to files."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from command_line import call

if TYPE_CHECKING:
    from pathlib import Path

PLAN = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: three-aspekt}\n"


@pytest.fixture
def plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Make a plan with one error in the folder one is in, outside of any build."""
    monkeypatch.delenv("GITHUB_ACTIONS", raising=False)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plan.yaml").write_text(PLAN)
    return "plan.yaml"


def test_several_reports_in_one_run(plan: str, tmp_path: Path) -> None:
    """All of the same findings."""
    done = call("check", plan, "--report", "sarif=out.sarif", "--report", "junit=out.xml")
    assert (done.code, done.err) == (1, "")
    assert done.out.startswith("error[unknown-form]")
    assert len(json.loads((tmp_path / "out.sarif").read_text())["runs"][0]["results"]) == 1
    assert "unknown-form" in (tmp_path / "out.xml").read_text()


def test_a_report_is_written_even_of_nothing(tmp_path: Path) -> None:
    """What comes after in a build finds its file; that nothing was checked is the exit code."""
    (tmp_path / "empty").mkdir()
    done = call("check", tmp_path / "empty", "--report", f"sarif={tmp_path / 'out.sarif'}")
    assert (done.code, done.out) == (3, "")
    assert json.loads((tmp_path / "out.sarif").read_text())["runs"][0]["results"] == []


def test_annotations_switch_on_where_they_are_read(plan: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """And off when told so; a format for programs stays what it is."""
    assert "::error" not in call("check", plan).out
    assert "::error" in call("check", plan, "--annotations").out
    monkeypatch.setenv("GITHUB_ACTIONS", "true")
    shown = call("check", plan).out
    assert shown.startswith("error[unknown-form]")
    assert "\n::error title=unknown-form,file=plan.yaml,line=5," in shown
    assert "::error" not in call("check", plan, "--no-annotations").out
    json.loads(call("check", plan, "--format", "json").out)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("sarif", "--report sarif names no file: write FORMAT=FILE"),
        ("sarf=x", "there is no format sarf: did you mean sarif?"),
    ],
)
def test_a_wrong_report_ends_the_call_before_any_work(plan: str, said: str, message: str) -> None:
    """2: a wrong call."""
    done = call("check", plan, "--report", said)
    assert (done.code, done.out) == (2, "")
    assert message in done.err


def test_a_file_that_cannot_be_written_is_told(plan: str) -> None:
    """2, after the report on the terminal."""
    done = call("check", plan, "--report", "sarif=no/out.sarif")
    assert done.code == 2
    assert "no/out.sarif cannot be written: no such file or directory" in done.err
