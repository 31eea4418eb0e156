"""The README's two commands are what continuous integration runs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from click.testing import CliRunner

from lampwright.commands.group import lampwright
from support import findings_of

if TYPE_CHECKING:
    import pytest

ROOT = Path(__file__).parents[1]
MAIN_JOB = "lampwright check rulesets/gb-colour-light/examples/"


def commands() -> list[str]:
    """Return the README's commands: the lines that set something up."""
    lines = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line.startswith("python3 -m venv ")]


def test_the_readme_has_two_commands_the_main_job_and_the_tests() -> None:
    """Each sets up what it runs, in one line, with nothing but Python and its venv."""
    main_job, tests = commands()
    assert main_job == f"python3 -m venv .venv && .venv/bin/pip install -q -e . && .venv/bin/{MAIN_JOB}"
    pytest = "pytest -q -n auto --dist worksteal"
    assert tests == f"python3 -m venv .venv && .venv/bin/pip install -q -e '.[test]' && .venv/bin/{pytest}"


def test_continuous_integration_takes_its_commands_from_the_readme() -> None:
    """The script has no command of its own that could differ; it runs the same lines, both of them."""
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "grep '^python3 -m venv ' README.md" in script
    assert [f'bash -c "${{commands[{number}]}}"' in script for number in range(2)] == [True, True]
    assert "pytest" not in script
    assert MAIN_JOB not in script


def blocks(language: str) -> list[str]:
    """Return the README's fenced blocks of one language."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    return [block.split("```")[0] for block in text.split(f"```{language}\n")[1:]]


def ageless(printed: str) -> list[str]:
    """Return the words of a report up to how many checks there are, without lines' numbers and the frame's width."""
    finding, _, _ = printed.partition("in 1978; ")
    return [word for word in finding.split() if not word.isdigit() and set(word) != {"-"} and ":" not in word]


def test_the_transcript_is_what_the_program_prints(monkeypatch: pytest.MonkeyPatch) -> None:
    """The finding in the README is a real one, of a plan that lies among the tests; line numbers and counts may age."""
    monkeypatch.chdir(ROOT / "tests" / "plans")
    command, _, printed = blocks("")[0].partition("\n")
    assert command == "$ lampwright check hollin-fork.yaml"
    ran = CliRunner().invoke(lampwright, ["check", "hollin-fork.yaml"])
    assert (ageless(ran.output), ran.exit_code) == (ageless(printed), 1)


def test_the_plan_to_begin_with_is_sound() -> None:
    """A reader who copies it gets no findings."""
    (plan,) = blocks("yaml")
    assert findings_of(plan) == []
