"""The fifteen acceptance fixtures: one or two signals of eleven systems, asked what a driver would ask.

Each test beside this one names its fixture and, in its docstring, who says so and how well known it is. The
rulebooks lie in ``tests/rulebooks`` and say of every datum where it comes from; what is called derived follows from
those data. Here is what holds for all of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from fixture_books import NAMES, form, rulebook
from lampwright import schema
from lampwright.rulebooks import dump, load

if TYPE_CHECKING:
    from collections.abc import Iterator

Path = tuple[str | int, ...]
DATA = ("aspects", "forms", "indicators", "plates", "regimes", "states", "speeds", "order", "sequence", "never")
NO_DATA = ("source", "source-of", "disputed", "note")


def data(value: Any, path: Path = ()) -> Iterator[Path]:
    """Yield the path of every datum below a value."""
    if isinstance(value, dict):
        for key, child in value.items():
            if key not in NO_DATA:
                yield from data(child, (*path, key))
    elif isinstance(value, list):
        for position, child in enumerate(value):
            yield from data(child, (*path, position))
    else:
        yield path


def test_there_are_eleven_systems() -> None:
    """Two of the Netherlands, two of Australia, one of seven other countries: the index of the fixtures."""
    assert NAMES == ["au-nsw", "au-vic", "be", "dk", "fr", "it", "jp", "nl-1946", "nl-1955", "norway", "se"]
    assert [rulebook(name).id for name in NAMES] == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_what_is_dumped_loads_to_an_equal_rulebook(name: str) -> None:
    """Every fixture round-trips: nothing the file says is lost on the way, its sources included."""
    book = rulebook(name)
    written = dump(book)
    again = load(written, book.file)
    assert schema.faults("rulebook", written) == []
    assert again == book
    assert dump(again) == written
    told = {path: book.why(*path).text for section in DATA for path in data(written.get(section), (section,))}
    assert {path: again.why(*path).text for path in told} == told


@pytest.mark.parametrize("name", NAMES)
def test_every_datum_has_a_source(name: str) -> None:
    """E2: each datum has a source, so that what rests on memory alone can be listed."""
    book = rulebook(name)
    unsourced = [
        path
        for section in DATA
        for path in data(book.values.get(section), (section,))
        if book.why(*path).text == "no source given"
    ]
    assert unsourced == []


@pytest.mark.parametrize("name", NAMES)
def test_what_is_commanded_reads_back_as_itself(name: str) -> None:
    """Layers 2 and 3: on every form, every display that is commanded for an aspect is that aspect and no other."""
    for kind in rulebook(name).forms:
        signal = form(name, kind)
        assert signal.gives
        for aspect in signal.gives:
            part, _, inner = aspect.rpartition(".")
            for display in signal.displays(aspect):
                assert signal.read_parts(display)[part].aspects == (inner,)
