"""The configuration of a project: what it does to a check, where it is found, and what is wrong in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from command_line import call

if TYPE_CHECKING:
    from pathlib import Path

PLAN = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: three-aspect}\n"
BARE = "plan: 1\nsignals:\n  HF1: {form: three-aspect}\n"
SLIP = PLAN.replace("three-aspect", "thre-aspect")
DOUBTFUL = PLAN.replace("1978", "1970").replace(
    "three-aspect}", "four-aspect, shows: {flashing-caution: {lower-yellow: flash}}}"
)
"""A plan with a finding that rests on memory."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def put(folder: Path, **files: str) -> None:
    """Write files: ``north__yard_yaml`` is north/yard.yaml."""
    for name, text in files.items():
        *inner, last = name.split("__")
        file = folder.joinpath(*inner, ".".join(last.rsplit("_", 1)))
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")


def heads(out: str) -> list[str]:
    """Return the first lines of the findings in a report."""
    return [line for line in out.splitlines() if line.startswith(("error[", "warning[", "note["))]


def test_year_and_rulebook_are_for_plans_that_do_not_say_them(folder: Path) -> None:
    """A plan's own come before; an option before both."""
    put(folder, lampwright_toml='year = 1965\nrulebook = "gb-colour-light"\n', a_yaml=BARE, b_yaml=PLAN)
    done = call("check", "a.yaml")
    assert (done.code, "gb-colour-light in 1965" in done.out) == (0, True)
    assert "gb-colour-light in 1978" in call("check", "b.yaml").out
    assert "gb-colour-light in 1990" in call("check", "a.yaml", "--year", "1990").out
    table = call("table", "a.yaml", "--format", "json")
    assert '"rulebook": "gb-colour-light"' in table.out


def test_what_the_configuration_says_is_shown_where_it_says_it(folder: Path) -> None:
    """Not in the plan, which says nothing of it."""
    put(folder, pyproject_toml='[tool.lampwright]\nyear = "1911"\nrulebook = "gb-colour-lihgt"\n', a_yaml=BARE)
    done = call("check", "a.yaml")
    assert "the plan follows the rulebook gb-colour-lihgt, which nobody has brought" in done.out
    assert "--> pyproject.toml:3:12" in done.out
    put(folder, pyproject_toml='[tool.lampwright]\nyear = "1911"\nrulebook = "gb-colour-light"\n')
    assert "--> pyproject.toml:2:8" in call("check", "a.yaml").out


def test_the_nearest_file_holds_whole(folder: Path) -> None:
    """For each plan its own, however the check is called; a pyproject.toml without our section is passed over."""
    put(
        folder,
        lampwright_toml='fail-on = "note"\nyear = 1965\nrulebook = "gb-colour-light"\n',
        north__lampwright_toml='year = 1978\nrulebook = "gb-colour-light"\n[levels]\nunknown-form = "warning"\n',
        north__deep__pyproject_toml='[tool.other]\nx = "lampwright"\n',
        north__deep__a_yaml=BARE.replace("three", "thre"),
        south__b_yaml=BARE,
    )
    done = call("check", ".")
    assert done.code == 0, done.out
    assert heads(done.out) == [
        "warning[unknown-form]: HF1 is of the form thre-aspect, which gb-colour-light does not have"
    ]
    assert "in 1978 and 1965" in done.out
    put(folder, north__deep__lampwright_toml='rulebook = "gb-colour-light"\n')
    assert heads(call("check", ".").out)[0].startswith("error[unknown-form]")


def test_a_rule_that_is_off_is_counted_and_never_hides_more(folder: Path) -> None:
    """What builds on it is skipped all the same."""
    put(folder, lampwright_toml='levels = {unknown-form = "off"}\n', a_yaml=SLIP)
    done = call("check", "a.yaml")
    assert (done.code, heads(done.out)) == (0, [])
    assert "No findings, 1 switched off by the configuration." in done.out
    assert "skipped for HF1 (unknown-form)" in done.out
    assert '"switched_off": 1' in call("check", "a.yaml", "--format", "json").out


def test_what_rests_on_memory_stays_a_note(folder: Path) -> None:
    """A project may not know better than the rulebook."""
    put(folder, a_yaml=DOUBTFUL)
    before = heads(call("check", "a.yaml").out)
    assert before[0].startswith("note[aspect-not-in-use]")
    put(folder, lampwright_toml='levels = {aspect-not-in-use = "error"}\n')
    assert heads(call("check", "a.yaml").out) == before


def test_fail_on_may_stand_in_the_configuration(folder: Path) -> None:
    """An option comes before it."""
    put(folder, lampwright_toml='fail-on = "note"\n', a_yaml=DOUBTFUL)
    assert call("check", "a.yaml").code == 1
    assert call("check", "a.yaml", "--fail-on", "error").code == 0


def test_include_and_exclude_are_for_what_is_found_in_folders(folder: Path) -> None:
    """What is named is looked at; a folder of which nothing is left is no success."""
    put(
        folder,
        lampwright_toml='include = ["north", "*.plan.yaml"]\nexclude = ["drafts"]\n',
        north__a_yaml=PLAN,
        north__drafts__b_yaml=SLIP,
        c_yaml=SLIP,
        d__e_plan_yaml="",
    )
    (folder / "d" / "e.plan.yaml").write_text(PLAN, encoding="utf-8")
    (folder / "d" / "e_plan.yaml").unlink()
    done = call("check", ".")
    assert (done.code, "2 signals and 0 routes in 2 plans" in done.out) == (0, True)
    assert call("check", "c.yaml").code == 1
    done = call("check", "north/drafts")
    assert (done.code, done.out) == (3, "")
    assert "it holds 1 file that lampwright.toml leaves out" in done.err


def test_a_link_is_left_out_by_where_it_lies(folder: Path) -> None:
    """Not by where it leads."""
    put(folder, lampwright_toml='exclude = ["drafts"]\n', a_yaml=PLAN, drafts__b_yaml=SLIP)
    put(folder.parent, elsewhere__drafts__c_yaml=SLIP)
    (folder / "drafts" / "c.yaml").symlink_to(folder.parent / "elsewhere" / "drafts" / "c.yaml")
    (folder / "drafts" / "d.yaml").symlink_to(folder / "a.yaml")
    done = call("check", ".")
    assert (done.code, "No findings" in done.out) == (0, True), done.out
    assert call("check", f"../{folder.name}/.").out == done.out


BOOK = "rulebook: 1\nid: ours\nlike: gb-colour-light\ntitle: Ours\n"


def test_rulebooks_come_by_path_and_nothing_is_imported(folder: Path) -> None:
    """A folder of folders, from the configuration's own folder; code beside the data stays unread."""
    put(
        folder,
        lampwright_toml='rulebooks = ["books"]\nrulebook = "ours"\n',
        books__any__rulebook_yaml=BOOK,
        books__any__conftest_py="raise SystemExit('imported')",
        lampwright_ours_py="raise SystemExit('imported')",
        north__a_yaml=BARE,
    )
    done = call("check", "north")
    assert (done.code, "; ".join(done.out.split("; ")[:1])) == (0, "No findings. ours"), done.out
    assert "\nours " in call("rulebooks").out


def test_a_rulebook_by_path_takes_the_place_of_a_namesake(folder: Path) -> None:
    """Two of one id in one run is a finding, for it cannot be told which a plan means."""
    mine = BOOK.replace("id: ours\nlike: gb-colour-light\n", "id: gb-colour-light\n") + "aspects: {danger: {}}\n"
    put(folder, lampwright_toml='rulebooks = ["mine"]\n', mine__rulebook_yaml=mine, a_yaml=PLAN)
    assert "does not have" in call("check", "a.yaml").out
    put(folder, north__lampwright_toml='rulebooks = ["other"]\n', north__b_yaml=PLAN, north__other__rulebook_yaml=mine)
    done = call("check", "a.yaml", "north")
    assert "a rulebook in north/other has the id of another one in this run, in mine" in done.out
    assert "--> north/lampwright.toml:1:14" in done.out


@pytest.mark.parametrize(
    ("text", "head", "place", "tip"),
    [
        ("rulebok = 'x'\n", "malformed]: rulebok is not a key of a configuration", "1:1", "did you mean rulebook?"),
        ("levels = {unknown-from = 'off'}\n", "bad-setting]: there is no rule unknown-from", "1:11", "unknown-form?"),
        ("levels = {unknown-form = 'of'}\n", "malformed]: unknown-form cannot be of", "1:26", "did you mean off?"),
        ("levels = {malformed = 'off'}\n", "bad-setting]: malformed is always an error", "1:11", "take the line away"),
        ("rulebooks = ['books']\n", "bad-setting]: there is no folder books", "1:14", "begin at the folder"),
        ("rulebooks = ['.']\n", "bad-setting]: there is no rulebook in .", "1:14", "a rulebook is a folder"),
        ("exclude = 'drafts'\n", "malformed]", "1:11", ""),
        ("year = \n", "bad-toml]: this is no TOML: invalid value", "1:8", ""),
    ],
)
def test_what_is_wrong_is_a_located_finding(folder: Path, text: str, head: str, place: str, tip: str) -> None:
    """The plans are checked all the same; `config` says it too."""
    put(folder, lampwright_toml=text, a_yaml=SLIP)
    for done in (call("check", "a.yaml"), call("config")):
        assert done.code == 1
        assert f"error[{head}" in done.out, done.out
        assert f"lampwright.toml:{place}" in done.out
        assert tip in done.out
        assert "Traceback" not in done.out + done.err
    assert "unknown-form" in call("check", "a.yaml").out


def test_commands_on_plans_stop_at_a_bad_configuration(folder: Path) -> None:
    """Rather than show what it would not have meant."""
    put(folder, lampwright_toml="rulebok = 'x'\n", a_yaml=PLAN)
    done = call("table", "a.yaml")
    assert (done.code, done.out) == (1, "")
    assert "did you mean rulebook?" in done.err


def test_the_rest_of_a_file_holds(folder: Path) -> None:
    """One level that is none leaves the others."""
    put(folder, lampwright_toml="[levels]\nunknown-form = 'warning'\nnonsense = 3\n", a_yaml=SLIP)
    assert sum("unknown-form" in line for line in heads(call("check", "a.yaml").out)) == 1
    assert "warning[unknown-form]" in call("check", "a.yaml").out


def test_config_shows_what_is_in_force_and_from_where(folder: Path) -> None:
    """File and line, default, or option."""
    put(
        folder,
        pyproject_toml='[project]\nname = "x"\n\n[tool.lampwright]\nyear = 1978\nexclude = [\n  "drafts",\n]\n'
        '[tool.lampwright.levels]\nconfusable-indicators = "off"\n',
        north__a_yaml=PLAN,
    )
    done = call("config", "north/a.yaml", "--rulebook", "gb-colour-light")
    assert (done.code, done.err) == (0, "")
    assert [line.split(maxsplit=2) for line in done.out.splitlines()] == [
        ["pyproject.toml"],
        [],
        ["include", "default", "every plan and rulebook in folders"],
        ["exclude", "pyproject.toml:7", "drafts"],
        ["rulebook", "option", "--rulebook  gb-colour-light"],
        ["year", "pyproject.toml:5", "1978"],
        ["levels.confusable-indicators", "pyproject.toml:10", "off"],
        ["rulebooks", "default", "those of plugins"],
        ["fail-on", "default", "error"],
    ]


def test_config_says_what_a_check_would_say_of_the_file(folder: Path) -> None:
    """A year and a rulebook that cannot be are found where they stand; as options they are wrong calls."""
    (folder / "lampwright.toml").write_text('year = "19x5"\nrulebook = "gb-color-light"\n', encoding="utf-8")
    done = call("config")
    assert done.code == 1
    assert "error[unknown-year]: the plan is set in 19x5" in done.out
    assert "--> lampwright.toml:2:12" in done.out
    assert "did you mean gb-colour-light?" in done.out
    (folder / "lampwright.toml").write_text('rulebook = "gb-colour-light"\n', encoding="utf-8")
    assert call("config", "--year", "1965").code == 0
    assert call("config", "--year", "19x5").code == 2
    assert call("config", "--rulebook", "gb").code == 2


def test_without_a_file_everything_is_a_default(folder: Path) -> None:
    """And the first line says which files would have counted."""
    del folder
    out = call("config").out
    assert out.startswith("no lampwright.toml, and no pyproject.toml with [tool.lampwright]\n")
    assert out.count(" default ") == 7


def test_fixes_leave_the_configuration_alone(folder: Path) -> None:
    """They mend plans and rulebooks; what a plan is mended by is what its configuration says."""
    text = 'rulebook = "gb-colour-light"\nrulebok = "x"\n[levels]\nunknown-form = "warnin"\n'
    put(folder, lampwright_toml=text, a_yaml=BARE.replace("three", "thre"))
    done = call("check", "--fix", "a.yaml")
    assert (done.code, "1 finding mended in 1 file" in done.err) == (1, True)
    assert (folder / "lampwright.toml").read_text(encoding="utf-8") == text
    assert (folder / "a.yaml").read_text(encoding="utf-8") == BARE
