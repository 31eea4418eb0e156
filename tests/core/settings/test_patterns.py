"""Patterns of files in the configuration."""

from __future__ import annotations

import pytest

from lampwright.settings.patterns import fits


@pytest.mark.parametrize(
    ("pattern", "file", "fit"),
    [
        ("drafts", "drafts/a.yaml", True),  # a folder takes all that is in it
        ("drafts", "north/drafts/deep/a.yaml", True),  # without a slash: in any folder
        ("drafts/", "drafts/a.yaml", True),
        ("./drafts/*", "drafts/a.yaml", True),
        ("north/drafts", "south/north/drafts/a.yaml", False),  # with one: from where the patterns begin
        ("*.old.yaml", "north/yard.old.yaml", True),
        ("*.old.yaml", "north/yard.yaml", False),
        ("north/*.yaml", "north/deep/yard.yaml", False),  # a star stays in its folder
        ("north/**/yard-?.yaml", "north/yard-1.yaml", True),
        ("north/**/yard-?.yaml", "north/a/b/yard-1.yaml", True),
        ("**/yard.yaml", "yard.yaml", True),
        ("north/**", "north/a/b.yaml", True),
        ("yard.yaml", "yardXyaml", False),  # a dot is a dot
        ("[ab].yaml", "[ab].yaml", True),  # and brackets are brackets
    ],
)
def test_a_pattern_fits(pattern: str, file: str, *, fit: bool) -> None:
    """As in the project files of other tools."""
    assert fits([pattern], file) is fit
