"""What is installed: sdist and wheel carry all that is needed, and the main job runs far from any checkout."""

from __future__ import annotations

import importlib.resources
import os
import shutil
import subprocess
import sys
import tarfile
import venv
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LEFT_OUT = shutil.ignore_patterns(".*", "__pycache__", "*.egg-info", "build", "dist")


@dataclass(frozen=True)
class Built:
    """The two files a release consists of."""

    sdist: Path
    wheel: Path


def run(*command: str | Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a command in a folder, with nothing of this checkout on the import path."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "LAMPWRIGHT"))}
    return subprocess.run(
        [str(word) for word in command], cwd=folder, env=environment, capture_output=True, text=True, check=False
    )


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """Build the sdist from a copy of the tree, and the wheel from the sdist."""
    copy = tmp_path_factory.mktemp("build") / "lampwright"
    shutil.copytree(ROOT, copy, ignore=LEFT_OUT)
    done = run(sys.executable, "-m", "build", "--no-isolation", "--outdir", copy / "out", folder=copy)
    assert done.returncode == 0, done.stdout + done.stderr
    (sdist,), (wheel,) = (copy / "out").glob("*.tar.gz"), (copy / "out").glob("*.whl")
    return Built(sdist, wheel)


@pytest.fixture(scope="module")
def installed(built: Built, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel in a new environment, and return the folder of its programs."""
    folder = tmp_path_factory.mktemp("environment")
    venv.create(folder, with_pip=False, symlinks=True)
    programs = folder / "bin"
    pip = (sys.executable, "-m", "pip", "--python", programs / "python", "--disable-pip-version-check")
    done = run(*pip, "install", "--quiet", built.wheel, folder=folder)
    assert done.returncode == 0, done.stdout + done.stderr
    return programs


def data() -> dict[str, str]:
    """Return the data of the project: each file in the tree, and where it is installed."""
    found = [path for room in ("rulesets", "schemas") for path in (ROOT / room).rglob("*.*") if path.is_file()]
    files = [path.relative_to(ROOT).as_posix() for path in found if "__pycache__" not in path.parts]
    brought = [path.relative_to(ROOT).as_posix() for path in (ROOT / "plugins").rglob("*.yaml")]
    return {file: f"lampwright_{file}" for file in files} | {file: file.removeprefix("plugins/") for file in brought}


def test_there_is_data() -> None:
    """The tests below compare with this."""
    there = {"rulesets/gb-colour-light/rulebook.yaml", "schemas/plan.schema.json"}
    assert there | {"plugins/lampwright_wiring/parts/boards.yaml"} <= set(data())


def test_the_wheel_carries_rulebooks_schemas_types_and_licence(built: Built) -> None:
    """All data, every module, nothing that belongs to the checkout alone."""
    names = set(zipfile.ZipFile(built.wheel).namelist())
    assert set(data().values()) <= names
    modules = {path.relative_to(ROOT / "core").as_posix() for path in (ROOT / "core").rglob("*.py")}
    modules |= {path.relative_to(ROOT / "plugins").as_posix() for path in (ROOT / "plugins").rglob("*.py")}
    assert modules | {"lampwright/py.typed"} <= names
    assert any(name.endswith("licenses/LICENSE") for name in names)
    tops = {name.split("/")[0] for name in names if ".dist-info" not in name}
    assert tops == {name.split("/")[0] for name in modules} | {"lampwright_rulesets", "lampwright_schemas"}


def test_the_wheel_says_what_it_is(built: Built) -> None:
    """Licence as an SPDX expression, oldest Python, and no dependency beyond the four."""
    archive = zipfile.ZipFile(built.wheel)
    (name,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
    lines = archive.read(name).decode().partition("\n\n")[0].splitlines()
    assert {"License-Expression: MIT", "Requires-Python: >=3.11"} <= set(lines)
    needed = [line.removeprefix("Requires-Dist: ") for line in lines if line.startswith("Requires-Dist")]
    always = sorted(line.partition(">")[0] for line in needed if "extra ==" not in line)
    assert always == ["click", "msgspec", "pluggy", "ruamel.yaml[oldlibyaml]"]


def test_the_sdist_carries_rulebooks_schemas_readme_and_licence(built: Built) -> None:
    """That the wheel was built from it says the rest."""
    with tarfile.open(built.sdist) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert set(data()) | {"README.md", "LICENSE", "pyproject.toml"} <= names


def test_the_data_is_found_in_whatever_way_this_was_installed() -> None:
    """The tests run from an editable install, users from a wheel; both find data by package name."""
    for package, file in (name.split("/", 1) for name in data().values()):
        assert (importlib.resources.files(package) / file).is_file()


def test_the_main_job_runs_from_the_wheel_outside_the_checkout(built: Built, installed: Path, tmp_path: Path) -> None:
    """The examples of the rulebook for Great Britain, taken out of the wheel, checked in a new environment."""
    archive = zipfile.ZipFile(built.wheel)
    examples = [name for name in archive.namelist() if name.startswith("lampwright_rulesets/gb-colour-light/examples/")]
    archive.extractall(tmp_path, examples)  # noqa: S202  (we have just made the archive)
    folder = tmp_path / Path(examples[0]).parent
    done = run(installed / "lampwright", "check", folder.name, folder=folder.parent)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "gb-colour-light" in done.stdout
    assert "Traceback" not in done.stderr


def test_every_bundled_plugin_is_loaded_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    """From the new environment and from nowhere else, all at the version of the wheel."""
    code = (
        "from lampwright.host import Host; host = Host.load(); print(host.failures); [print(p) for p in host.plugins]"
    )
    done = run(installed / "python", "-c", code, folder=tmp_path)
    failures, *plugins = done.stdout.splitlines()
    assert failures == "()", failures
    assert len(plugins) == len(list((ROOT / "plugins").glob("lampwright_*")))
    assert all(str(installed.parent) in plugin for plugin in plugins)


def test_a_rulebook_is_begun_changed_installed_and_used_with_nothing_but_the_wheel(
    installed: Path, tmp_path: Path
) -> None:
    """Its own tests run too, and say what they touch. Taken out again, it is gone."""
    assert run(installed / "lampwright", "new", "rulebook", "alpine", folder=tmp_path).returncode == 0
    made = tmp_path / "rulebook-alpine"
    for file in made.rglob("*.yaml"):
        file.write_text(file.read_text(encoding="utf-8").replace("stop-signal", "home-signal"), encoding="utf-8")
    done = run(sys.executable, "-m", "build", "--no-isolation", "--wheel", made, folder=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    (wheel,) = (made / "dist").glob("*.whl")
    pip = (sys.executable, "-m", "pip", "--python", installed / "python", "--disable-pip-version-check")
    done = run(*pip, "install", "--quiet", f"{wheel}[test]", folder=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    try:
        assert run(installed / "lampwright", "new", "plan", "--rulebook", "alpine", folder=tmp_path).returncode == 0
        assert "form: home-signal" in (tmp_path / "plan.yaml").read_text(encoding="utf-8")
        done = run(installed / "lampwright", "check", "plan.yaml", folder=tmp_path)
        assert (done.returncode, done.stdout.partition(";")[0]) == (0, "No findings. alpine in 1980")
        done = run(installed / "python", "-m", "pytest", "-q", folder=made)
        assert done.returncode == 0, done.stdout
        assert "rulebook alpine: what examples and cases touch" in done.stdout
    finally:
        run(*pip, "uninstall", "--yes", "--quiet", "rulebook-alpine", folder=tmp_path)
