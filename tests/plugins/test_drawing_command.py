"""``lampwright draw`` as a user calls it."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from drawn import parsed, with_class
from lampwright.commands.group import lampwright
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright.reports import Options
from lampwright_drawing.letters import of_signals
from support import library

ROOT = Path(__file__).parents[2]
PLAN = str(ROOT / "rulesets/gb-colour-light/examples/merrowdale-junction.yaml")


def draw(*arguments: str) -> Result:
    """Call the command."""
    return CliRunner().invoke(lampwright, ["draw", *arguments])


def test_one_picture_goes_to_the_output_and_several_into_a_folder(tmp_path: Path) -> None:
    """One form is an SVG on standard output; all signals of a plan are a file each, called after plan and signal."""
    ran = draw("gb-colour-light", "--form", "three-aspect")
    assert ran.exit_code == 0
    assert len(with_class(parsed(ran.stdout), "signal")) == 4
    ran = draw(PLAN, "--kind", "aspects", "-o", str(tmp_path / "new"))
    assert (ran.exit_code, ran.stderr) == (0, f"29 pictures in {tmp_path / 'new'}\n")
    names = {path.name for path in (tmp_path / "new").iterdir()}
    assert "merrowdale-junction-MJ7-aspects.svg" in names
    assert len(names) == 29


def test_a_file_takes_one_picture(tmp_path: Path) -> None:
    """More than one for a single place is a wrong call that says what to do."""
    ran = draw(PLAN, "--kind", "signal", "--signal", "MJ7", "-o", str(tmp_path / "one.svg"))
    assert ran.exit_code == 0
    assert parsed((tmp_path / "one.svg").read_text(encoding="utf-8")).tag.endswith("svg")
    ran = draw(PLAN, "--kind", "signal", "-o", str(tmp_path / "all.svg"))
    assert ran.exit_code == 2
    assert "these are 29 pictures: name a folder by -o" in ran.output


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([PLAN, "--signal", "MJ77"], "there is no signal MJ77"),
        (["gb-colour-light", "--form", "five-aspect"], "there is no form five-aspect"),
        (["no-such.yaml"], "there is no file or folder no-such.yaml"),
    ],
)
def test_what_is_not_there_is_a_wrong_call(arguments: list[str], said: str) -> None:
    """The name is told; so is what may have been meant."""
    ran = draw(*arguments)
    assert ran.exit_code == 2
    assert said in " ".join(ran.output.split())


def test_letters_read_the_same_in_colour_and_without(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every command of a signal, part by part; colour adds escapes and nothing else."""
    ran = draw(PLAN, "--text", "--signal", "MJ7")
    lines = [line.split() for line in ran.stdout.splitlines()]
    assert lines[0] == ["MJ7", *"YGYR", *"WW", "four-aspect-with-position-light"]
    assert lines[1] == ["0", "danger", *"...R", *".."]
    assert lines[2] == ["1", "danger", "+", "shunt-proceed", *"...R", *"WW"]
    assert lines[4] == ["3", "preliminary-caution", *"Y.Y.", *".."]
    monkeypatch.setenv("FORCE_COLOR", "1")
    coloured = draw(PLAN, "--text", "--signal", "MJ7").stdout
    assert "\x1b[31mR\x1b[0m" in coloured
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == ran.stdout


def test_the_pictures_of_the_readme_are_there_and_small() -> None:
    """Each one shown is there, is a PNG, and what makes them calls the command as it is."""
    shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert {Path(one).stem for one in shown} == {"page", "diagram", "aspects", "sequence", "signal"}
    for one in shown:
        content = (ROOT / one).read_bytes()
        assert content.startswith(b"\x89PNG")
        assert len(content) < 60_000
    script = (ROOT / ".github/pictures/make").read_text(encoding="utf-8")
    (plan,) = re.findall(r"^plan=(.+)$", script, re.MULTILINE)
    for line in re.findall(r"^picture \S+ \d+ (.+)$", script, re.MULTILINE):
        ran = draw(*shlex.split(line.replace('"$plan"', str(ROOT / plan))))
        assert ran.exit_code == 0
        parsed(ran.stdout)


def test_names_from_a_file_do_not_act_on_the_terminal() -> None:
    """An escape in a signal's name is shown, not sent; so is one of a signal that cannot be drawn."""
    signals = {"A\x1b[31mB": {"form": "three-aspect"}, "C\x1b[31mD": {"stage": "dummy"}}
    plan = load({"plan": 1, "rulebook": "gb-colour-light", "signals": signals}, "p.yaml")
    printed = "\n".join(of_signals(Layout(plan, library()), (), Options()))
    assert "\x1b" not in printed
    assert "G Y  R  three-aspect" in printed
    assert "not drawn: it is a dummy" in printed


def test_a_year_that_is_none_is_a_wrong_call() -> None:
    """Also where only rulebooks are drawn."""
    ran = draw("gb-colour-light", "--form", "three-aspect", "--year", "soon")
    assert ran.exit_code == 2
    assert "--year soon is neither a year, nor a span like 1974..1979, nor an era of gb-colour-light" in " ".join(
        ran.output.split()
    )


def test_forms_of_a_rulebook_as_letters() -> None:
    """The displays of one form, and no other."""
    ran = draw("gb-colour-light", "--form", "three-aspect", "--text")
    assert ran.exit_code == 0
    rows = [line.split() for line in ran.stdout.splitlines()]
    assert ["danger", ".", ".", "R"] in rows
    assert "four-aspect" not in ran.stdout
