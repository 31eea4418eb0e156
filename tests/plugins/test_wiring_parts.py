"""The bundled parts data: whole and sourced; and parts that other plugins bring."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from lampwright import documents, schema
from lampwright.library import Library
from lampwright.schema.files import load
from lampwright.tables.outputs import outputs
from lampwright_wiring.catalogue import Catalogue
from lampwright_wiring.reading import READERS
from parts import parts
from support import host, library

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

SECTIONS = [section for section in READERS if section != "resistors"]
KINDS = [(section, name) for section in SECTIONS for name in parts().names(section)]
GETTERS = {"switches": "switch", "supplies": "supply", "series": "series", "refused": "refusal"}


def kind(section: str, name: str) -> Any:
    """Return one kind by its section and name."""
    return getattr(parts(), GETTERS.get(section, section.removesuffix("s")))(name)


def test_every_file_is_read_and_accepted() -> None:
    """Each plan that names a part would tell otherwise."""
    assert {document.name for document in library().parts} == {
        f"parts/{name}.yaml" for name in ("boards", "colours", "leds", "supplies")
    }
    assert all(schema.faults("parts", document.values) == [] for document in library().parts)


@pytest.mark.parametrize(("section", "name"), KINDS)
def test_every_kind_has_a_source_that_is_named(section: str, name: str) -> None:
    """Every datum of it too: of none is there no source, and no source lacks its entry."""
    found = kind(section, name)
    said = found.data.values[section][name]
    for key in said:
        if key not in ("source", "source-of", "note", "title"):
            text = found.why(key).text
            assert text != "no source given", key
            assert "unknown source" not in text, key


def test_what_is_made_of_others_names_kinds_there_are() -> None:
    """Dies of LEDs, and the usual series."""
    catalogue = parts()
    leds = [catalogue.led(name) for name in catalogue.names("leds")]
    dies = {(colour, die) for led in leds if led for colour, die in led.dies.items()}
    assert dies
    assert all((one := catalogue.led(die)) is not None and one.colour == colour for colour, die in dies)
    assert catalogue.resistors is not None
    assert catalogue.series(catalogue.resistors.series) is not None


def test_groups_of_a_board_are_groups_of_its_outputs() -> None:
    """Each output of the microcontroller is in one group for each way."""
    board = parts().board("pins-8bit")
    assert board is not None
    for way in ("sink", "source"):
        inside = [name for group in board.groups if way in group.limits for name in group.outputs]
        assert [inside.count(name) for name in board.outputs] == [1] * len(board.outputs)


def test_the_data_use_every_key_of_the_format() -> None:
    """No key of the format is without a datum."""
    used = {key for document in library().parts for key in _keys(document.values)}
    assert {key for node in _nodes(load("parts")) for key in node.get("properties", {})} - used == set()


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("15", ("15",)),
        (7, ("7",)),
        ("12..15", ("12", "13", "14", "15")),
        ("A0..A2", ("A0", "A1", "A2")),
        (["0..1", "A0"], ("0", "1", "A0")),
        ("3..1", ("3..1",)),
        ("0..99999999", ("0..99999999",)),
        (None, ()),
    ],
)
def test_spans_of_outputs(said: Any, expected: tuple[str, ...]) -> None:
    """Numbers count up, letters may stand before them; what is no span is taken as a name."""
    assert outputs(said) == expected


OWN = """
parts: 1
source: bench
sources: {bench: {title: measured on the bench, basis: verified}}
leds:
  red-lens: {colour: red, vf: {typical: 1.9 V}, limit: 15 mA}
  red-3mm: {colour: red, vf: {typical: 9 V}}
"""


def test_other_plugins_bring_parts_too(tmp_path: Path) -> None:
    """Of two kinds of one name the first counts."""
    (tmp_path / "mine.yaml").write_text(OWN, encoding="utf-8")
    folders = [folder for _, folder in host().parts_dirs()]
    catalogue = Catalogue(Library([], parts=[*folders, tmp_path]).parts)
    mine, ours = catalogue.led("red-lens"), catalogue.led("red-3mm")
    assert mine is not None
    assert str(mine.why("vf")) == '"measured on the bench" (verified)'
    assert ours is not None
    assert ours.title == "red, 3 mm"


@pytest.mark.parametrize("slip", [OWN.replace("1.9 V", "1.9"), OWN.replace("  red-lens", " red-lens"), "leds: {}\n"])
def test_a_file_that_is_no_parts_file_is_told_and_left_out(tmp_path: Path, slip: str) -> None:
    """The rest goes on."""
    (tmp_path / "mine.yaml").write_text(slip, encoding="utf-8")
    folders = [folder for _, folder in host().parts_dirs()]
    there = Library([], parts=[tmp_path, *folders])
    assert Catalogue(there.parts).led("red-3mm") is not None
    assert [finding.spot.file for finding in there.findings] == [f"{tmp_path.name}/mine.yaml"]


def test_a_key_that_is_not_known_gets_the_near_miss() -> None:
    """As in plans and rulebooks."""
    values = documents.read(OWN.replace("limit", "limits").encode(), "mine.yaml").values
    (fault,) = schema.faults("parts", values)
    assert (fault.message, fault.tip) == ("limits is not a key of a kind of LED", "did you mean limit?")


def _nodes(node: Any) -> Iterator[dict[str, Any]]:
    """Yield every node of the schema's own file."""
    for one in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from _nodes(one)
    if isinstance(node, dict):
        yield node


def _keys(value: Any) -> Iterator[str]:
    """Yield every key of the values."""
    if isinstance(value, dict):
        yield from value
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from _keys(inner)
