"""Watching: a change is checked again, whatever comes or goes meanwhile."""

from __future__ import annotations

import signal
import threading
import time
from typing import TYPE_CHECKING

import pytest

from command_line import call, start

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

RIGHT = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: four-aspect}\n"
WRONG = RIGHT.replace("four-aspect", "four-aspekt")


def changing(*steps: Callable[[], object]) -> threading.Thread:
    """Make changes one after the other, with time to notice each."""

    def run() -> None:
        for step in steps:
            time.sleep(1.2)
            step()

    thread = threading.Thread(target=run)
    thread.start()
    return thread


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_every_change_is_checked(tmp_path: Path) -> None:
    """A file that changes, one that comes, one that goes."""
    plan, other = tmp_path / "plan.yaml", tmp_path / "other.yaml"
    plan.write_text(RIGHT)
    thread = changing(lambda: plan.write_text(WRONG), lambda: other.write_text(WRONG), plan.unlink)
    done = call("watch", tmp_path, "--rounds", "4")
    thread.join()
    assert done.code == 0
    summaries = [
        line.split(".")[0] for line in done.out.splitlines() if line.startswith(("No findings", "1 err", "2 err"))
    ]
    assert summaries == ["No findings", "1 error", "2 errors", "1 error"]


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_a_configuration_that_comes_or_changes_is_noticed(tmp_path: Path) -> None:
    """It decides levels, and which files are looked at."""
    (tmp_path / "plan.yaml").write_text(WRONG)
    settings = tmp_path / "lampwright.toml"
    thread = changing(
        lambda: settings.write_text('levels = {unknown-form = "warning"}\n'),
        lambda: settings.write_text('exclude = ["plan.yaml"]\n'),
    )
    done = call("watch", tmp_path, "--rounds", "3")
    thread.join()
    said = [line.split(".")[0] for line in done.out.splitlines() if line.startswith(("No findings", "1 "))]
    assert said == ["1 error", "1 warning", "No findings"]


def test_a_rulebook_that_changes_is_read_again(tmp_path: Path) -> None:
    """Broken, it is told; mended, plans are checked by it again."""
    from lampwright.session import Session

    book = tmp_path / "mine" / "rulebook.yaml"
    book.parent.mkdir()
    text = Session().library.documents  # nothing is read yet
    assert not text
    source = next(path for path in _rulesets() if path.parent.name == "gb-colour-light").read_text("utf-8")
    good = source.replace("id: gb-colour-light", "id: mine", 1)
    book.write_text(good, "utf-8")
    plan = tmp_path / "plan.yaml"
    plan.write_text(RIGHT)
    thread = changing(lambda: book.write_text("rulebook: 1\n"), lambda: book.write_text(good, "utf-8"))
    done = call("watch", plan, "--rulebook", book.parent, "--rounds", "3")
    thread.join()
    assert done.code == 0
    assert done.out.count("No findings") == 2
    assert "error[malformed]" in done.out


def _rulesets() -> list[Path]:
    from importlib.resources import files
    from pathlib import Path

    return list(Path(str(files("lampwright_rulesets"))).rglob("rulebook.yaml"))


def test_control_c_ends_it(tmp_path: Path) -> None:
    """130, as shells have it, and not a word more."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(RIGHT)
    process = start("watch", plan)
    assert process.stderr is not None
    assert b"watching 1 file" in process.stderr.readline()
    process.send_signal(signal.SIGINT)
    _, said = process.communicate(timeout=20)
    assert (process.returncode, said) == (130, b"")
