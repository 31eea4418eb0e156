"""Every bundled rulebook and every example plan of one, run as a user's files are."""

from __future__ import annotations

from pathlib import Path

import pytest

from lampwright.rulebooks import dump, load
from support import findings_of, library, result_of

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "rulesets").glob("*/examples/*.yaml"))
RULEBOOKS = sorted((ROOT / "rulesets").glob("*/rulebook.yaml"))


def test_there_are_rulebooks_and_great_britain_has_a_small_and_a_large_example() -> None:
    """One of a few signals, one of about thirty."""
    assert RULEBOOKS
    examples = [path.read_text(encoding="utf-8") for path in EXAMPLES if "gb-colour-light" in path.parts]
    signals = [len(layout.signals) for text in examples for layout in result_of(text).layouts]
    assert min(signals) <= 5
    assert 28 <= max(signals) <= 32


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_silent(path: Path) -> None:
    """No finding of any level, by any check of any plugin."""
    assert [f"{one.rule}: {one.message}" for one in findings_of(path.read_text(encoding="utf-8"))] == []


@pytest.mark.parametrize("path", RULEBOOKS, ids=lambda path: path.parent.name)
def test_a_rulebook_has_no_errors(path: Path) -> None:
    """What is left as a warning or note is told in its README, which says what is encoded and what is not."""
    levels = {str(one.level) for one in findings_of(path.read_text(encoding="utf-8"))}
    assert "error" not in levels


@pytest.mark.parametrize("path", RULEBOOKS, ids=lambda path: path.parent.name)
def test_what_is_dumped_loads_to_an_equal_rulebook(path: Path) -> None:
    """Nothing a file says is lost on the way, its sources included."""
    book = library().get(path.parent.name)
    assert book is not None
    again = load(dump(book), book.file)
    assert again == book
    assert dump(again) == dump(book)
