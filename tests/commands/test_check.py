"""``lampwright check``: what is read, what is said, how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from command_line import call
from findings_schema import problems
from named_checks import plan

PLAN = """\
plan: 1
rulebook: gb-colour-light
year: 1978
signals:
  HF1: {form: three-aspect}
"""


# --- how it ends -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("signal", "fail_on", "code"),
    [
        ("HF1", "note", 0),
        ("X", "error", 0),
        ("X", "warning", 0),
        ("X", "note", 1),
        ("ODD", "error", 0),
        ("ODD", "warning", 1),
        ("ODD", "note", 1),
        ("BAD", "error", 1),
        ("BAD", "note", 1),
    ],
)
@pytest.mark.usefixtures("site")
def test_the_exit_code_follows_the_worst_finding(signal: str, fail_on: str, code: int) -> None:
    """Errors fail the check, warnings and notes if they are asked to."""
    assert call("check", plan(signal), "--fail-on", fail_on).code == code
    if fail_on == "error":
        assert call("check", plan(signal)).code == code


@pytest.mark.usefixtures("site")
def test_a_whole_report() -> None:
    """What a user sees, and nothing beside it."""
    done = call("check", plan("HF1", "BAD"))
    assert done.err == ""
    assert done.out == (
        "error[bad-name]: BAD is a bad name\n"
        " --> plan.yaml:4:3\n"
        "  |\n"
        "4 |   BAD: {}\n"
        "  |   ^^^\n"
        "  = tip: take another\n"
        "  = explain: lampwright explain bad-name\n"
        "\n"
        "1 error. 3 checks over 2 signals and 0 routes; 1 check skipped for BAD (bad-name).\n"
    )


@pytest.mark.usefixtures("site")
def test_a_clean_run_says_what_was_checked() -> None:
    """And by which rulebook, in which year."""
    done = call("check", "-", stdin=PLAN.encode())
    assert (done.code, done.err) == (0, "")
    assert done.out == "No findings. gb-colour-light in 1978; 3 checks over 1 signal and 0 routes.\n"


WRONG_CALLS = {
    "nothing named": ((), "Missing argument 'PATHS...'"),
    "no such file": (("plna.yaml",), "there is no file or folder plna.yaml"),
    "no such option": (("plan.yaml", "--fast"), "No such option"),
    "no such format": (("plan.yaml", "--format", "jsn"), "there is no format jsn: did you mean json?"),
    "no such level": (("plan.yaml", "--fail-on", "hint"), "Invalid value for '--fail-on': 'hint' is not one of"),
    "no such rulebook": (
        ("plan.yaml", "--rulebook", "gb-color-light"),
        "there is no rulebook gb-color-light, nor a folder or file of that name: did you mean gb-colour-light?",
    ),
    "no such year": (
        ("gb.yaml", "--year", "british-rial"),
        "--year british-rial is neither a year, nor a span like 1974..1979, nor an era: did you mean british-rail?",
    ),
    "years backwards": (("gb.yaml", "--year", "1979..1974"), "--year 1979..1974 is neither a year"),
}


@pytest.mark.parametrize(("arguments", "said"), WRONG_CALLS.values(), ids=WRONG_CALLS)
@pytest.mark.usefixtures("site")
def test_a_wrong_call_ends_with_2_and_says_what_would_be_right(arguments: tuple[str, ...], said: str) -> None:
    """Nothing on standard output: no program may take it for a report."""
    plan("HF1")
    Path("gb.yaml").write_text(PLAN, encoding="utf-8")
    done = call("check", *arguments)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f"lampwright: {said}")
    assert done.err.endswith("see lampwright check --help\n")


@pytest.mark.usefixtures("site")
def test_nothing_to_check_is_no_success() -> None:
    """A folder without plans ends with 3 and a sentence."""
    Path("notes").mkdir()
    Path("notes/shopping.yaml").write_text("milk: 1\n", encoding="utf-8")
    done = call("check", "notes")
    assert (done.code, done.out) == (3, "")
    assert done.err == (
        "lampwright: there is nothing to check in notes: it holds no YAML file whose first key is plan: or rulebook:\n"
    )


@pytest.mark.usefixtures("site")
def test_one_empty_folder_among_others_is_told() -> None:
    """The rest is checked all the same."""
    Path("notes").mkdir()
    done = call("check", plan("HF1"), "notes", ".")
    assert done.code == 0
    assert done.out.startswith("No findings.")
    assert done.err.count("\n") == 1
    assert "there is nothing to check in notes:" in done.err


# --- what is read ----------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("site")
def test_files_and_folders_in_one_call() -> None:
    """Each file once, however often it is named; findings in the order of files."""
    named = plan("BAD", file="b.yaml")
    plan("HF1", "BAD", file="yard/deep/a.yml")
    plan("BAD", file="yard/.hidden/c.yaml")
    done = call("check", named, "yard", "./b.yaml", "--format", "json")
    whole = json.loads(done.out)
    assert [finding["file"] for finding in whole["findings"]] == ["b.yaml", "yard/deep/a.yml"]
    assert whole["summary"]["files"] == ["b.yaml", "yard/deep/a.yml"]
    assert done.code == 1


@pytest.mark.usefixtures("site")
def test_standard_input() -> None:
    """A dash, and a name that no file has."""
    done = call("check", "-", stdin=b"plan: 1\nsignals: {BAD: {}}\n")
    assert done.code == 1
    assert " --> <stdin>:2:11\n" in done.out


@pytest.mark.parametrize(
    ("content", "rule", "place"),
    [
        (b"", "empty-file", "1:1"),
        (b"plan: 1\nname: a\x00b\n", "not-text", "2:8"),
        (b"plan: 1\nname: a\xffb\n", "not-text", "2:8"),
        (bytes(range(256)) * 9, "not-text", "1:1"),
        (b"plan: " + b"[" * 1000, "over-limit", "1:70"),
        (b"plan: 1\nname: [\n", "bad-yaml", "2:7"),
        (b"plan: 1\na: &a [x]\nb: *a\n", "unsupported-yaml", "2:4"),
        (b"plan: 1\nplan: 1\n", "duplicate-key", "2:1"),
        (b"plna: 1\n", "unknown-kind", "1:1"),
        (b"plan: 1\nsgnals: {}\n", "malformed", "2:1"),
    ],
)
@pytest.mark.usefixtures("site")
def test_a_file_that_cannot_be_used_is_a_finding_like_any_other(content: bytes, rule: str, place: str) -> None:
    """With its place, and exit code 1; the sound file beside it is checked."""
    Path("bad.yaml").write_bytes(content)
    done = call("check", "bad.yaml", plan("BAD"))
    assert done.code == 1
    assert done.err == ""
    assert done.out.startswith(f"error[{rule}]: ")
    assert f"--> bad.yaml:{place}\n" in done.out
    assert "BAD is a bad name" in done.out


@pytest.mark.usefixtures("site")
def test_a_year_from_the_command_line() -> None:
    """A year, a span or an era takes the place of what the plan says; the plan's own file is left alone."""
    for year in ("1965", "1974..1979", "sectors"):
        done = call("check", "-", "--year", year, stdin=PLAN.encode())
        assert done.code == 0
        assert f"gb-colour-light in {year};" in done.out


@pytest.mark.usefixtures("site")
def test_a_rulebook_by_its_id() -> None:
    """In place of what the plan says, or where it says nothing."""
    done = call("check", plan("HF1"), "--rulebook", "gb-colour-light")
    assert done.out.startswith("No findings. gb-colour-light; 3 checks")


RULEBOOK = """\
rulebook: 1
id: my-railway
title: My railway
territory: nowhere
years: 1900..
source: memory
aspects: {danger: {says: {authority: stop}}, clear: {says: {authority: proceed}}}
order: [[danger, clear]]
forms:
  lamp: {lamps: {red: {colour: red}}, shows: {danger: red}, in-doubt: danger}
"""


@pytest.mark.parametrize("named", ["mine", "mine/rulebook.yaml", "other.yaml"])
@pytest.mark.usefixtures("site")
def test_a_rulebook_by_its_folder_or_file(named: str) -> None:
    """Rulebook data may come from anywhere; only code must be installed."""
    Path("mine").mkdir()
    for file in ("mine/rulebook.yaml", "other.yaml"):
        Path(file).write_text(RULEBOOK, encoding="utf-8")
    done = call("check", "-", "--rulebook", named, stdin=b"plan: 1\nyear: 1950\nsignals: {HF1: {form: lamp}}\n")
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("No findings. my-railway in 1950; 3 checks")


@pytest.mark.usefixtures("site")
def test_a_rulebook_that_cannot_be_used_is_the_finding() -> None:
    """No plan is checked by another instead."""
    Path("mine.yaml").write_text(RULEBOOK.replace("shows: {danger: red}", "shows: {danger: rad}"), encoding="utf-8")
    done = call("check", plan("BAD"), "--rulebook", "mine.yaml")
    assert done.code == 1
    assert done.out.startswith("error[unknown-name]: lamp has no rad\n")
    assert " --> mine.yaml:10:" in done.out
    assert done.out.endswith("1 error. Nothing could be checked.\n")


@pytest.mark.parametrize("content", ["rulebook: 1\nid: gb-colour-light\ntitel: x\n", "rulebook: [1\n"])
def test_a_broken_rulebook_is_reported_once(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, content: str) -> None:
    """Not again at the plans that follow it; and they are not checked by another of its id."""
    monkeypatch.chdir(tmp_path)
    Path("gb-colour-light").mkdir()
    Path("gb-colour-light/rulebook.yaml").write_text(content, encoding="utf-8")
    Path("plan.yaml").write_text(PLAN.replace("three-aspect", "thre-aspect"), encoding="utf-8")
    done = call("check", ".", "--format", "json")
    assert done.code == 1
    assert [finding["file"] for finding in json.loads(done.out)["findings"]] == ["gb-colour-light/rulebook.yaml"]


@pytest.mark.usefixtures("site")
def test_a_rulebook_beside_the_plans_is_checked_and_followed() -> None:
    """Whatever order the files are named in."""
    Path("z.yaml").write_text(RULEBOOK, encoding="utf-8")
    Path("a.yaml").write_text("plan: 1\nrulebook: my-railway\nsignals: {BAD: {form: lamp}}\n", encoding="utf-8")
    done = call("check", ".")
    assert done.code == 1
    assert " ".join(done.out.split()).endswith(
        "1 error. my-railway; 3 checks over 1 signal, 0 routes and 1 rulebook; 1 check skipped for BAD (bad-name)."
    )


# --- JSON ------------------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("site")
def test_json_is_as_its_schema_has_it() -> None:
    """With findings of every origin at once: a check, the reader, the schema, a file that is no text."""
    Path("broken.yaml").write_text("plan: [\n", encoding="utf-8")
    Path("odd.yaml").write_text("plan: 1\nsgnals: {}\n", encoding="utf-8")
    Path("raw.yaml").write_bytes(b"plan: 1\n\x00\x01\x02\x03")
    plan("BAD", "ODD", "X")
    done = call("check", ".", "--format", "json")
    whole = json.loads(done.out)
    assert problems(whole) == []
    assert done.code == 1
    assert {finding["rule"] for finding in whole["findings"]} == {
        "bad-yaml",
        "malformed",
        "not-text",
        "bad-name",
        "doubtful-name",
        "dull-name",
    }
    assert whole["summary"]["skipped"] == [{"rule": "doubtful-name", "about": "BAD", "reason": "bad-name"}]
