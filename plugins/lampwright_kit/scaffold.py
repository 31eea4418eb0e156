"""The files of a new package for a rulebook."""

from __future__ import annotations

from importlib.resources import files
from string import Template

PLACES = {
    "pyproject.toml": "pyproject.toml",
    "README.md": "README.md",
    "init.py": "{package}/__init__.py",
    "rulebook.yaml": "{package}/books/{id}/rulebook.yaml",
    "cases.yaml": "{package}/books/{id}/cases.yaml",
    "example.yaml": "{package}/books/{id}/examples/little-welding.yaml",
    "test_package.py": "tests/test_package.py",
}
"""Where each template goes."""


def distribution(name: str) -> str:
    """Return what the package of a rulebook is called."""
    return f"rulebook-{name}"


def package(name: str, title: str) -> dict[str, str]:
    """Return the files of a package by their paths in it; ``name`` is the id of the rulebook."""
    words = {
        "id": name,
        "title": title or name.replace("-", " ").capitalize(),
        "distribution": distribution(name),
        "package": distribution(name).replace("-", "_"),
    }
    return {place.format(**words): _filled(template, words) for template, place in PLACES.items()}


def _filled(template: str, words: dict[str, str]) -> str:
    """Return a template with its words in their places."""
    text = files("lampwright_kit").joinpath("templates", f"{template}.txt").read_text(encoding="utf-8")
    return Template(text).substitute(words)
