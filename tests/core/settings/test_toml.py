"""TOML files with places: whatever the notation, the text at a place is the value that the standard library reads."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright.documents import Unreadable
from lampwright.documents.toml import read_toml
from lampwright.documents.toml_marks import Marks

if TYPE_CHECKING:
    from collections.abc import Iterator

EVERY_NOTATION = (Path(__file__).parent / "every-notation.toml").read_text(encoding="utf-8")


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Yield every value that holds no other, with its path."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from leaves(item, (*path, key))
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from leaves(item, (*path, number))
    else:
        yield path, value


def read_again(text: str, path: tuple[str | int, ...]) -> Any:
    """Return the value whose text stands at a path."""
    start, end = Marks(text).by_path[path].value
    return tomllib.loads(f"v = {text[start:end]}")["v"]


def test_every_notation_has_its_place() -> None:
    """Strings of all four kinds, comments, inline and scattered tables, lists of tables, dotted and quoted keys."""
    everything = list(leaves(tomllib.loads(EVERY_NOTATION)))
    assert len(everything) > 20
    for path, value in everything:
        assert read_again(EVERY_NOTATION, path) == value, path


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=12)
VALUES = st.recursive(
    st.integers(-(10**6), 10**6) | st.booleans() | WORDS, lambda inner: st.lists(inner, max_size=3), max_leaves=6
)


def written(value: Any) -> str:
    """Return a value as TOML."""
    if isinstance(value, list):
        return f"[ {', '.join(map(written, value))} ]"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return str(value).lower()


@given(st.dictionaries(WORDS, st.dictionaries(WORDS, VALUES, max_size=3), max_size=3))
def test_places_hold_what_is_read(tables: dict[str, dict[str, Any]]) -> None:
    """For any keys and values, in tables and in braces."""
    lines = []
    for name, entries in tables.items():
        lines += [f"[{written(name)}]  # {name}", *(f"{written(key)}={written(item)}" for key, item in entries.items())]
    text = "\n".join(lines)
    assert tomllib.loads(text) == tables
    for path, value in leaves(tables):
        assert read_again(text, path) == value


@pytest.mark.parametrize(
    ("text", "rule", "line", "column"),
    [
        ("year = 1978\nrulebook = gb\n", "bad-toml", 2, 12),
        ("year = 1978\nyear = 1979\n", "bad-toml", 2, 12),
        ('year = "1978', "bad-toml", 1, 13),
        ("a = " + "[" * 5000 + "]" * 5000, "over-limit", 1, 1),
        ("a = 1\n\x00", "not-text", 2, 1),
    ],
)
def test_what_is_no_toml_is_told_at_its_place(tmp_path: Path, text: str, rule: str, line: int, column: int) -> None:
    """The standard library's own words, at a line and a column; no limit is met by a traceback."""
    file = tmp_path / "lampwright.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(Unreadable) as caught:
        read_toml(file, "lampwright.toml")
    fault = caught.value.fault
    assert (fault.rule, fault.line, fault.column) == (rule, line, column)


def test_what_is_not_there_is_shown_at_what_lacks_it(tmp_path: Path) -> None:
    """A finding about something missing has a place."""
    file = tmp_path / "x.toml"
    file.write_text('a = 1\n[b]\nc = {d = "e"}\n', encoding="utf-8")
    document = read_toml(file, "x.toml")
    assert document.place(("b", "c", "f")) == (3, 1, 3, 2)
    assert document.place(("b", "c", "d")) == (3, 10, 3, 13)
    assert document.place(("b", "c", "d"), on_key=True) == (3, 6, 3, 7)
    assert document.place(("g",)) == (1, 1, 1, 1)
