"""Plugins that fail in any way: named, and never a run that looks clean."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

import lampwright
from command_line import call, run
from findings_schema import problems
from named_checks import CHECKS, plan

if TYPE_CHECKING:
    from plugin_site import Site

RAISING = {
    "look": "def look(self, signal): return {}['lens']",
    "look, late": "def look(self, signal): yield {}['lens']",
    "missing": "def missing(self, whole): return {}['lens']",
}
ODD = """
    class Odd(Check):
        name = "odd-lens"
        {method}

    @hookimpl
    def checks():
        return [Odd]
"""


@pytest.mark.parametrize("method", RAISING.values(), ids=RAISING)
def test_a_check_that_raises_is_one_finding_and_the_run_goes_on(
    site: Site, monkeypatch: pytest.MonkeyPatch, method: str
) -> None:
    """It names plugin, check and cause, however many signals and plans there are; fewer checks never end with 0."""
    module = site.install("lamps", ODD.format(method=method))
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "names,lamps")
    done = call("check", plan("ODD", "HF2"), plan("HF3", file="b.yaml"), "--format", "json")
    whole = json.loads(done.out)
    assert problems(whole) == []
    assert done.code == 1
    (failed,) = (finding for finding in whole["findings"] if finding["level"] == "error")
    assert failed["rule"] == "failed-check"
    assert failed["message"].startswith(f"plugin lamps 2.5: the check odd-lens raised KeyError: 'lens' ({module}:")
    assert failed["because"]
    assert failed["file"] == "plan.yaml"
    assert "doubtful-name" in {finding["rule"] for finding in whole["findings"]}


def test_a_check_that_needs_what_no_plugin_brings_is_an_error(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """As when one plugin builds on another that is not loaded."""
    site.install("more", CHECKS.replace('("bad-name",)', '("good-name",)').replace('"bad-name"', '"base-name"'))
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "more")
    done = call("check", plan("X"))
    assert done.code == 1
    assert done.out.startswith(
        "error[failed-check]: the check doubtful-name needs good-name, which no plugin brings\n"
        "   = tip: did you mean dull-name?\n"
        "   = explain: lampwright explain failed-check\n"
    )
    assert "X is a dull name" in done.out


BROKEN = {
    "import error": ("import no_such_module", "cannot be imported: ModuleNotFoundError"),
    "wrong API number": ("lampwright_api = 7", f"needs plugin API 7, and Lampwright {lampwright.__version__} has"),
    "raising hook": ("@hookimpl\ndef checks():\n    raise KeyError('lens')", "checks() raised KeyError: 'lens'"),
    "bad return": ("@hookimpl\ndef checks():\n    return 7", "checks() returned 7, not classes of Check with a name"),
    "unfinished check": (
        "class Odd(Check):\n    name = 'odd'\n    needs = 'bad-name'\n@hookimpl\ndef checks():\n    return [Odd]",
        "checks() returned <class 'plugin_broken.Odd'> among classes of Check",
    ),
    "bad reporter": (
        "@hookimpl\ndef reporters():\n    return {'loud': lambda result: None}",
        "reporters() returned ('loud', <function",
    ),
    "no such folder": (
        "from pathlib import Path\n@hookimpl\ndef rulebooks():\n    return [Path('no/such')]",
        "rulebooks() returned PosixPath('no/such') among paths of folders that exist",
    ),
}


@pytest.mark.parametrize(("code", "cause"), BROKEN.values(), ids=BROKEN)
def test_a_broken_plugin_is_one_error_and_the_run_goes_on(site: Site, code: str, cause: str) -> None:
    """In a process of its own, as a user would meet it; the plan itself has nothing but a note."""
    site.install("broken", code, dist="broken-plugin")
    done = run("check", plan("X"), "--format", "json", site=site.folder, LAMPWRIGHT_PLUGINS="names,broken,rulebooks")
    assert done.err == ""
    assert done.code == 1
    whole = json.loads(done.out)
    assert problems(whole) == []
    failed, note = whole["findings"]
    assert (failed["rule"], failed["level"], failed["file"]) == ("failed-plugin", "error", "")
    assert failed["message"].startswith(f"plugin broken 2.5: {cause}")
    assert note["rule"] == "dull-name"


def test_a_plugin_that_is_named_and_not_there_is_an_error(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """A slip in the variable must not look like a clean run."""
    del site
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "nmaes")
    done = call("check", plan("HF1"))
    assert done.code == 1
    assert done.out.startswith("error[failed-plugin]: plugin nmaes: no plugin named nmaes is installed\n")
    assert "= tip: did you mean names?\n" in done.out


LOUD = """
    @hookimpl
    def reporters():
        return {"loud": loud}

    def loud(result, write, options):
        write(f"{len(result.findings)} FOUND in {', '.join(result.files)}\\n")
"""


def test_a_reporter_of_a_plugin(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """It gets the whole result and a place to write."""
    site.install("loud", LOUD)
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "names,loud")
    done = call("check", plan("BAD", "X"), "--format", "loud")
    assert (done.code, done.out, done.err) == (1, "2 FOUND in plan.yaml\n", "")


def test_a_reporter_that_raises_is_a_failure_of_its_plugin(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """No report is no finding: 2, and the plugin is named."""
    site.install("loud", LOUD.replace("len(result.findings)", "1 / 0"))
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "names,loud")
    done = call("check", plan("HF1"), "--format", "loud")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("lampwright: plugin loud 2.5: the reporter loud raised ZeroDivisionError")
