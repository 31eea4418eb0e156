"""The shape of the tree: which rooms there are, and that imports between them point one way."""

from __future__ import annotations

import ast
import tomllib
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
ROOMS = {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "action.yml", "pyproject.toml"} | {
    "core",
    "plugins",
    "rulesets",
    "schemas",
    "tests",
}
MADE = {"build", "dist", "__pycache__", "fuzz-failures"}
"""What tools leave behind and git ignores."""
CORE = sorted((ROOT / "core").rglob("*.py"))
PLUGINS = sorted((ROOT / "plugins").rglob("*.py"))
BUNDLED = {path.name for path in (ROOT / "plugins").iterdir() if path.is_dir()} - MADE


def shown(path: Path) -> str:
    """Return a path as it is written in the project."""
    return path.relative_to(ROOT).as_posix()


def named(path: Path) -> set[str]:
    """Return the top-level modules a module names: imports wherever they stand, and names in plain text."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.add(node.value.split(".")[0])
    return found


def project() -> dict[str, Any]:
    """Return pyproject.toml."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_the_top_level_holds_only_the_agreed_rooms() -> None:
    """Anything new belongs in one of them."""
    there = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert there - ROOMS - MADE == set()


def test_there_is_something_to_look_at() -> None:
    """The tests below would pass over an empty list."""
    assert shown(ROOT / "core/lampwright/host/host.py") in map(shown, CORE)
    assert {"lampwright_rulebooks", "lampwright_signals"} <= BUNDLED


@pytest.mark.parametrize("path", CORE, ids=shown)
def test_core_names_no_plugin(path: Path) -> None:
    """The kernel knows its plugins through hooks alone."""
    assert named(path) & BUNDLED == set()


@pytest.mark.parametrize("path", PLUGINS, ids=shown)
def test_plugins_do_not_name_each_other(path: Path) -> None:
    """What two plugins need belongs in core."""
    own = path.relative_to(ROOT / "plugins").parts[0]
    assert named(path) & BUNDLED <= {own}


@pytest.mark.parametrize("path", [*CORE, *PLUGINS], ids=shown)
def test_a_module_is_documented_and_holds_one_idea(path: Path) -> None:
    """Over 400 lines two ideas live there."""
    text = path.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text)), "the module has no docstring"
    assert text.count("\n") <= 400


def test_every_package_is_installed() -> None:
    """A package missing from the list works in the checkout and nowhere else."""
    setup = project()["tool"]["setuptools"]
    folders = {path.parent for path in [*CORE, *PLUGINS]}
    there = {".".join(folder.relative_to(ROOT).parts[1:]) for folder in folders}
    assert set(setup["packages"]) == there | {"lampwright_rulesets", "lampwright_schemas"}
    data = {"lampwright_rulesets": "rulesets", "lampwright_schemas": "schemas"}
    assert setup["package-dir"] == {"": "core"} | {name: f"plugins/{name}" for name in BUNDLED} | data


def test_every_bundled_plugin_is_an_entry_point() -> None:
    """Bundled plugins come by the way that outsiders use."""
    offered = project()["project"]["entry-points"]["lampwright"]
    assert offered == {name.removeprefix("lampwright_"): name for name in BUNDLED}


@pytest.mark.parametrize("package", ["lampwright", *sorted(BUNDLED)])
def test_every_package_with_code_tells_its_types(package: str) -> None:
    """``py.typed`` is in the folder and goes into the wheel."""
    assert list((ROOT / ("core" if package == "lampwright" else "plugins") / package).glob("py.typed"))
    assert "py.typed" in project()["tool"]["setuptools"]["package-data"][package]
