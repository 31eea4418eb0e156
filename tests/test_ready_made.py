"""What comes ready-made for builds: valid by others' schemas, and run as far as that goes here."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from lampwright.documents import read

ROOT = Path(__file__).parents[1]
LEFT_OUT = shutil.ignore_patterns(
    ".git", ".venv", "__pycache__", "*.egg-info", "build", "dist", ".*_cache", ".hypothesis"
)
RIGHT = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals:\n  HF1: {form: four-aspect}\n"
WRONG = RIGHT.replace("four-aspect", "four-aspekt")


@dataclass(frozen=True)
class Done:
    """How a program ended, and all it said."""

    code: int
    said: str


def run(*command: str | Path, folder: Path, **environment: str) -> Done:
    """Run a program in a folder, as in a fresh shell."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("GIT_", "GITHUB_", "PYTHON"))}
    done = subprocess.run(
        [str(word) for word in command],
        cwd=folder,
        env=kept | environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    return Done(done.returncode, done.stdout)


@pytest.mark.parametrize(
    ("schema", "file"), [("vendor.github-actions", "action.yml"), ("vendor.gitlab-ci", ".gitlab/lampwright.yml")]
)
def test_the_files_are_what_their_servers_read(schema: str, file: str) -> None:
    """By the schemas that check-jsonschema ships."""
    done = run(sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema, ROOT / file, folder=ROOT)
    assert done.code == 0, done.said


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Make a project with a wrong plan, and a right one, and the program where a build has it."""
    folder = tmp_path / "project"
    folder.mkdir()
    (folder / "wrong.yaml").write_text(WRONG)
    (folder / "right.yaml").write_text(RIGHT)
    return folder


def steps() -> list[dict[str, Any]]:
    """Return the steps of the GitHub action."""
    found: list[dict[str, Any]] = read(ROOT / "action.yml", "action.yml").values["runs"]["steps"]
    return found


@pytest.mark.parametrize(
    ("plan", "code"),
    [("wrong.yaml", 1), ("right.yaml", 0), ("wrong.yaml right.yaml", 1), ("right.yaml\nwrong.yaml\n", 1)],
)
def test_the_action_checks_and_reports(project: Path, tmp_path: Path, plan: str, code: int) -> None:
    """Its script as it stands there, with the inputs as the platform would set them."""
    (tmp_path / "lampwright").symlink_to(Path(sys.executable).parents[1])
    done = run(
        *("bash", "-eo", "pipefail", "-c", steps()[-1]["run"]),
        folder=project,
        RUNNER_TEMP=str(tmp_path),
        GITHUB_STEP_SUMMARY=str(tmp_path / "summary"),
        GITHUB_ACTIONS="true",
        PATHS=plan,
        FAIL_ON="error",
        SARIF="out.sarif",
    )
    assert done.code == code, done.said
    assert ("::error title=unknown-form,file=wrong.yaml" in done.said) == bool(code)
    assert (tmp_path / "summary").read_text().startswith("## Lampwright: " + ("1 error" if code else "no findings"))
    assert len(json.loads((project / "out.sarif").read_text())["runs"][0]["results"]) == code


@pytest.mark.parametrize(("said", "code"), [("", 1), ("error", 0)])
def test_what_the_project_says_holds_unless_the_build_says_another(
    project: Path, tmp_path: Path, said: str, code: int
) -> None:
    """The project fails on warnings, and there is one; in both ready-made builds."""
    (project / "lampwright.toml").write_text('fail-on = "warning"\nlevels = {unknown-form = "warning"}\n')
    job = read(ROOT / ".gitlab/lampwright.yml", "lampwright.yml").values["lampwright"]
    for folder in (tmp_path / "lampwright", project / ".lampwright"):
        folder.symlink_to(Path(sys.executable).parents[1])
    surroundings = {"RUNNER_TEMP": str(tmp_path), "GITHUB_STEP_SUMMARY": str(tmp_path / "summary"), "SARIF": ""}
    for script, default in ((steps()[-1]["run"], action_default()), (*job["script"], job["variables"]["FAIL_ON"])):
        done = run("bash", "-ec", script, folder=project, PATHS="wrong.yaml", FAIL_ON=said or default, **surroundings)
        assert done.code == code, done.said


def action_default() -> str:
    """Return what the action takes if nobody says at which level it fails."""
    return str(read(ROOT / "action.yml", "action.yml").values["inputs"]["fail-on"]["default"])


def test_the_job_for_gitlab_leaves_its_reports(project: Path) -> None:
    """Its script as it stands there."""
    job = read(ROOT / ".gitlab/lampwright.yml", "lampwright.yml").values["lampwright"]
    (project / ".lampwright").symlink_to(Path(sys.executable).parents[1])
    done = run("bash", "-ec", *job["script"], folder=project, PATHS="wrong.yaml", FAIL_ON="error")
    assert done.code == 1, done.said
    assert [issue["check_name"] for issue in json.loads((project / "lampwright-quality.json").read_text())]
    assert "unknown-form" in (project / "lampwright-tests.xml").read_text()
    assert set(job["artifacts"]["reports"].values()) == {"lampwright-quality.json", "lampwright-tests.xml"}


def git(folder: Path, *words: str | Path) -> Done:
    """Run git as a modeller without any configuration of their own."""
    name = ("-c", "user.name=A Modeller", "-c", "user.email=modeller@example.org", "-c", "protocol.file.allow=always")
    home = str(folder.parent)
    return run(
        "git",
        *name,
        *words,
        folder=folder,
        HOME=home,
        GIT_CONFIG_NOSYSTEM="1",
        PRE_COMMIT_HOME=f"{home}/hooks",
        PIP_QUIET="1",
    )


def test_pre_commit_stops_a_commit_that_breaks_a_plan(tmp_path: Path) -> None:
    """For real: the hook is installed from a repository of this tree, and a commit goes through or does not."""
    source, project = tmp_path / "lampwright", tmp_path / "project"
    shutil.copytree(ROOT, source, ignore=LEFT_OUT)
    for words in (("init", "-q"), ("add", "-A"), ("commit", "-q", "-m", "as it is")):
        assert git(source, *words).code == 0
    revision = git(source, "rev-parse", "HEAD").said.strip()
    project.mkdir()
    hook = f"repos:\n- repo: {source}\n  rev: {revision}\n  hooks: [{{id: lampwright-check, args: [layouts/]}}]\n"
    (project / ".pre-commit-config.yaml").write_text(hook)
    git(project, "init", "-q")
    done = run(
        sys.executable, "-m", "pre_commit", "install", folder=project, HOME=str(tmp_path), GIT_CONFIG_NOSYSTEM="1"
    )
    assert done.code == 0, done.said
    (project / "layouts").mkdir()
    plan = project / "layouts" / "plan.yaml"
    plan.write_text(RIGHT)
    git(project, "add", "-A")
    done = git(project, "commit", "-m", "a right plan")
    assert done.code == 0, done.said
    plan.write_text(WRONG)
    git(project, "add", "-A")
    done = git(project, "commit", "-m", "a wrong plan")
    assert done.code == 1
    assert "error[unknown-form]" in done.said
    assert git(project, "log", "--oneline").said.count("\n") == 1
