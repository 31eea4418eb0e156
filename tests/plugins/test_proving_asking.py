"""The interactive mode: asks what tells most, stops when nothing more can be told, and leaves nothing half done."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from command_line import call
from lampwright.commands.group import lampwright

PLAN = """\
plan: 1
rulebook: gb-colour-light
year: 1978
boards: {A: {kind: pwm-16}}
signals:
  HF1:
    form: four-aspect
    lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]
  HF3:
    form: three-aspect
    lamps: [{green: A.4}, {yellow: A.5}, {red: A.6}]
"""
GREEN, RED = "2", "4"
"""Answers by the numbers of the lamps of HF1."""


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("plan.yaml").write_text(PLAN, encoding="utf-8")


@dataclass
class Asked:
    """What came of a session: what was said beside the questions, and how often something was asked."""

    said: list[str] = field(default_factory=list)
    asked: int = 0
    output: str = ""
    exit_code: int = 0

    def command(self) -> str:
        """Return the command that was asked about last."""
        line = next(line for line in reversed(self.said) if ": 1 " in line)
        return line.partition(" ")[2].partition(" (")[0]


def ask(answers: dict[str, str], *options: str) -> Asked:
    """Answer each command as it is asked; what is not in the answers is as it must be."""
    session = Asked()

    def answered(*_: object, **__: object) -> str:
        session.asked += 1
        return answers.get(session.command(), "")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("lampwright_proving.looking.asking.say", lambda text: session.said.extend(text.splitlines()))
        patch.setattr(click, "prompt", answered)
        result = CliRunner().invoke(lampwright, ["prove", "plan.yaml", "HF1", "--ask", *options])
    session.output, session.exit_code = result.output, result.exit_code
    return session


def test_nothing_more_is_asked_once_looking_tells_nothing_more() -> None:
    """A signal in order is proved before all its aspects have been asked for."""
    session = ask({})
    assert session.exit_code == 0
    assert session.asked == 5
    assert "Looking tells nothing more: 5 commands of 6." in session.said
    assert "All that was seen is as it should be" in session.output


def test_a_swap_is_found_and_put_into_the_plan() -> None:
    """Green and red change places."""
    result = ask({"danger": GREEN, "clear": RED}, "--fix")
    assert result.exit_code == 0
    assert "the wires of HF1 green and HF1 red are swapped" in result.output
    assert "{green: A.3}, {yellow: A.2}, {red: A.1}" in Path("plan.yaml").read_text(encoding="utf-8")


def test_what_was_seen_can_be_kept_and_read_again() -> None:
    """The file says the same as the answers did; one that is there is not overwritten."""
    first = ask({"clear": "2d", "danger": "-"}, "--keep", "kept.yaml")
    again = call("prove", "plan.yaml", "--seen", "kept.yaml")
    assert first.output == again.out
    assert again.err == ""
    kept = Path("kept.yaml").read_text(encoding="utf-8")
    refused = ask({}, "--keep", "kept.yaml")
    assert refused.exit_code == 1
    assert Path("kept.yaml").read_text(encoding="utf-8") == kept


def test_an_interrupt_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither the plan nor the file of answers is touched."""
    answers = iter(["", KeyboardInterrupt])

    def answered(*_: object, **__: object) -> str:
        answer = next(answers)
        if not isinstance(answer, str):
            raise click.Abort
        return answer

    monkeypatch.setattr(click, "prompt", answered)
    result = CliRunner().invoke(lampwright, ["prove", "plan.yaml", "HF1", "--ask", "--fix", "--keep", "kept.yaml"])
    assert result.exit_code == 1
    assert "stopped; nothing is written" in result.output
    assert [path.name for path in Path().iterdir()] == ["plan.yaml"]
    assert Path("plan.yaml").read_text(encoding="utf-8") == PLAN


def test_answers_that_say_nothing_are_asked_for_again_and_the_last_can_be_taken_back() -> None:
    """A slip of the finger costs nothing."""
    answers = "9\nrd\n4x\n2\nu\n4\n\n\n\n\n"
    result = CliRunner().invoke(lampwright, ["prove", "plan.yaml", "HF1", "--ask"], input=answers)
    assert result.output.count("is no lamp") == 3
    assert "rd is no lamp: did you mean red? Answer with" in result.output
    assert result.exit_code in (0, 1)


def test_lamps_are_answered_by_name_as_by_number() -> None:
    """With the letters of numbers behind them."""
    by_name = ask({"clear": "lower-yellow, redf", "danger": "greend"}, "--keep", "names.yaml")
    by_number = ask({"clear": "3 4f", "danger": "2d"}, "--keep", "numbers.yaml")
    assert by_name.output == by_number.output
    assert Path("names.yaml").read_text(encoding="utf-8") == Path("numbers.yaml").read_text(encoding="utf-8")


def test_where_the_input_ends_what_was_answered_is_kept() -> None:
    """As after q; of signals not asked about nothing is said. Where nothing was answered, nothing is written."""
    call_ = ["prove", "plan.yaml", "--ask", "--keep", "kept.yaml"]
    result = CliRunner().invoke(lampwright, call_, input="\nred\n")
    assert "there are no more answers; what was answered counts" in result.output
    kept = Path("kept.yaml").read_text(encoding="utf-8")
    assert kept.count("upper-yellow:") == 2
    assert "HF3" not in kept
    assert result.exit_code == call("prove", "plan.yaml", "--seen", "kept.yaml").code
    nothing = CliRunner().invoke(lampwright, ["prove", "plan.yaml", "--ask", "--keep", "none.yaml"], input="")
    assert "stopped; nothing is written" in nothing.output
    assert not Path("none.yaml").exists()


def test_q_ends_the_questions_with_what_is_known() -> None:
    """What was not looked at is said."""
    result = CliRunner().invoke(lampwright, ["prove", "plan.yaml", "HF3", "--ask"], input="\nq\n")
    assert result.exit_code == 0
    assert "(1 command).\nNot looked at: HF3 " in result.output


def test_without_a_signal_each_is_asked_about_by_itself() -> None:
    """In the order of the plan."""
    result = CliRunner().invoke(lampwright, ["prove", "plan.yaml", "--ask"], input="\n" * 12)
    assert result.output.count("Looking tells nothing more") == 2
    assert result.output.index("HF1 ") < result.output.index("HF3 ")
