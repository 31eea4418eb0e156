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


SLIPS = """\
plan: 1
rulebook: gb-colour-light
year: 1978
signals:
  HF1:
    form: three aspect
    lamps: [gren, yellow, red]
    routes:
      - {to: HF3, turns: straight, speed: 25 kmh}
  HF3:
    form: four aspect
    lamps: [{yellow: A.0}, {gren: A.1}, {yellow: A.2}, {red: A.3}]
"""


def test_units_colours_and_spaces_in_names_are_slips_too(plan: Path) -> None:
    """A name with a space in it may be another: what is not mended is told once for each reason."""
    plan.write_text(SLIPS)
    done = call("check", plan, "--fix")
    assert "speed: 25 km/h}" in plan.read_text()
    assert done.err.splitlines()[1:] == [
        (
            "lampwright: not mended: form of HF1 is the text three aspect; expected a name (write three-aspect), "
            "and 1 more: it may not be what is meant: --unsafe-fixes makes it"
        )
    ]
    done = call("check", plan, "--fix", "--unsafe-fixes")
    right = SLIPS.replace("three aspect", "three-aspect").replace("four aspect", "four-aspect")
    assert plan.read_text() == right.replace("gren", "green").replace("kmh", "km/h")
    assert done.err == "lampwright: 4 findings mended in 1 file\n"


def test_a_colour_that_is_one_is_no_slip(plan: Path) -> None:
    """What is built in another colour must be rebuilt."""
    plan.write_text(SLIPS.replace("e aspect", "e-aspect").replace("r aspect", "r-aspect").replace("gren", "white"))
    wrong = plan.read_text().replace("kmh", "km/h")
    assert call("check", plan, "--fix", "--unsafe-fixes").code == 1
    assert plan.read_text() == wrong


def test_which_fixes_may_be_made_is_not_that_they_are(plan: Path) -> None:
    """By itself the option is a wrong call."""
    done = call("check", plan, "--unsafe-fixes")
    assert (done.code, plan.read_text()) == (2, WRONG)
    assert "add --fix to do it, or --diff to see it" in done.err


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
