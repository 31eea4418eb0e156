"""Properties of reading, against a loader of another make and an emitter of our own."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, ScalarNode, SequenceNode

from lampwright import documents
from lampwright.documents import Document, Fault, Unreadable

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

MISLEADING = {"true", "false", "null", "101", "1.10"}
"""Texts that mean something else without quotes, unless they are keys."""
WORDS = [
    "HF1",
    "three-aspect",
    "60 mph",
    "on",
    "017",
    "1_000",
    "a#b",
    "x: y",
    "信号",
    "🚦 A",
    "it's",
    'say "x"',
    "- a",
    "#",
]
TEXTS = st.sampled_from(WORDS) | st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NUMBERS = st.integers(-(10**17), 10**17) | st.decimals(-999, 999, places=2).map(lambda d: Decimal(f"{d + 0:.2f}"))
SCALARS = st.none() | st.booleans() | NUMBERS | TEXTS
KEYS = TEXTS.filter(lambda key: key not in {"", "<<"})
TREES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=16,
)
MAPS = st.dictionaries(KEYS, TREES, min_size=1, max_size=4)
PLAIN = re.compile(r"[A-Za-z\u4e00-\u9fff🚦][\w \u4e00-\u9fff🚦.#'\"-]*(?<=[\w\u4e00-\u9fff🚦])")


@dataclass
class Emitter:
    """Writes a tree as YAML in whatever of its many ways the dice say."""

    dice: Random
    end: str

    def document(self, tree: dict[str, Any]) -> str:
        """Return a whole file."""
        head = self.dice.choice(["", "---" + self.end, "# \u4fe1\u53f7 \U0001f6a6" + self.end + self.end])
        return head + self.block(tree, 0)

    def block(self, value: Any, indent: int) -> str:
        """Return the entries of a map or list, each on lines of its own."""
        pad = " " * indent
        if isinstance(value, dict):
            return "".join(
                f"{pad}{self.scalar(key, key=True)}:{self.held(held, indent)}" for key, held in value.items()
            )
        return "".join(f"{pad}-{self.held(held, indent)}" for held in value)

    def held(self, value: Any, indent: int) -> str:
        """Return what follows a colon or dash, up to the end of its line or lines."""
        if isinstance(value, dict | list) and value and self.dice.random() < 0.6:
            return self.note() + self.block(value, indent + self.dice.randint(1, 4))
        if isinstance(value, str) and self.dice.random() < 0.3 and (text := self.block_text(value, indent)):
            return text
        if isinstance(value, str) and self.dice.random() < 0.3 and self.is_bare(value):
            folded = re.sub("(?<! ) (?! )", self.end + " " * (indent + 1), value, count=1)
            return " " + folded + self.note()
        if value is None and self.dice.random() < 0.5:
            return self.note()
        return " " * self.dice.randint(1, 3) + self.flow(value, indent) + self.note()

    def flow(self, value: Any, indent: int) -> str:
        """Return a value in one piece, collections in brackets, sometimes over several lines."""
        if not isinstance(value, dict | list):
            return self.scalar(value)
        if isinstance(value, dict):
            parts = [f"{self.scalar(key, key=True)}: {self.flow(held, indent)}" for key, held in value.items()]
        else:
            parts = [self.flow(held, indent) for held in value]
        joint = "," + self.dice.choice([" ", "  ", self.end + " " * (indent + 2)])
        return ("{" if isinstance(value, dict) else "[") + joint.join(parts) + ("}" if isinstance(value, dict) else "]")

    def scalar(self, value: Any, *, key: bool = False) -> str:
        """Return a scalar, quoted where it must be and sometimes where it need not."""
        if not isinstance(value, str):
            return str(value) if type(value) in {int, Decimal} else {None: "null", True: "true", False: "false"}[value]
        if self.is_bare(value, key=key) and self.dice.random() < 0.7:
            return value
        if value.isprintable() and self.dice.random() < 0.5:
            return "'" + value.replace("'", "''") + "'"
        return '"' + "".join(map(self.escaped, value)) + '"'

    def is_bare(self, value: str, *, key: bool = False) -> bool:
        """Tell whether a text needs no quotes."""
        if key and value in MISLEADING:
            return True
        return bool(PLAIN.fullmatch(value)) and " #" not in value and (key or value not in MISLEADING)

    def escaped(self, char: str) -> str:
        """Return a character as it may stand in double quotes."""
        if char in '"\\':
            return "\\" + char
        if char.isprintable() and self.dice.random() < 0.9:
            return char
        return f"\\U{ord(char):08x}"

    def block_text(self, value: str, indent: int) -> str:
        """Return ``|`` text, if this text can be written so."""
        lines = value.split("\n")
        if not all(line and line.isprintable() and not line.startswith(" ") for line in lines):
            return ""
        pad = " " * (indent + 2)
        return " |-" + self.end + "".join(f"{pad}{line}{self.end}" for line in lines)

    def note(self) -> str:
        """Return the end of a line, sometimes with a comment and empty lines."""
        return self.dice.choice(["", "", "  # é [", " # {\U0001f6a6" + self.end]) + self.end


@st.composite
def written(draw: st.DrawFn) -> tuple[dict[str, Any], str]:
    """Draw a tree and one way to write it."""
    tree = draw(MAPS)
    return tree, Emitter(draw(st.randoms(use_true_random=False)), draw(st.sampled_from(["\n", "\r\n", "\r"]))).document(
        tree
    )


def read(text: str) -> Document:
    """Read a text as if it stood in a file."""
    return documents.read(text.encode(), "plan.yaml")


def same(ours: Any, theirs: Any) -> bool:
    """Compare two trees; 1 is not true, and 1.10 is not 1.1."""
    if isinstance(ours, dict):
        return list(ours) == list(theirs) and all(same(ours[key], theirs[key]) for key in ours)
    if isinstance(ours, list):
        return len(ours) == len(theirs) and all(map(same, ours, theirs))
    return type(ours) is type(theirs) and str(ours) == str(theirs)


def nodes(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], bool, Any]]:
    """Go through the tree of another parser: path, whether it is the key, and its node."""
    yield path, False, node
    if isinstance(node, MappingNode):
        for key, held in node.value:
            yield (*path, key.value), True, key
            yield from nodes(held, (*path, key.value))
    elif isinstance(node, SequenceNode):
        for index, held in enumerate(node.value):
            yield from nodes(held, (*path, index))


def span(document: Document, path: tuple[str | int, ...], *, on_key: bool) -> tuple[int, int]:
    """Return a place as indices, counted here by the three line ends alone."""
    starts = [0, *(found.end() for found in re.finditer("\r\n|\r|\n", document.text))]
    place = document.place(path, on_key=on_key)
    return starts[place.line - 1] + place.column - 1, starts[place.end_line - 1] + place.end_column - 1


def at(values: Any, path: tuple[str | int, ...]) -> Any:
    """Return the value at a path."""
    for step in path:
        values = values[step]
    return values


@settings(max_examples=200, deadline=None)
@given(written())
def test_what_was_written_is_read(drawn: tuple[dict[str, Any], str]) -> None:
    """Every value comes back with its type and its digits, whichever way it was written."""
    tree, text = drawn
    assert same(read(text).values, tree)


@settings(max_examples=200, deadline=None)
@given(written(), st.booleans())
def test_values_and_places_are_those_of_another_parser(drawn: tuple[dict[str, Any], str], bom: bool) -> None:  # noqa: FBT001  (drawn)
    """Oracle: the pure Python parser of ruamel.yaml, its node tree and marks."""
    _, text = drawn
    document = read("\ufeff" * bom + text)
    for path, on_key, node in nodes(YAML(typ="safe", pure=True).compose(io.StringIO(text))):
        value = at(document.values, path)
        start, end = span(document, path, on_key=on_key)
        if not isinstance(node, ScalarNode):
            assert len(value) == len(node.value)
            assert start == node.start_mark.index
            assert end == node.end_mark.index or not node.flow_style
        elif node.start_mark.index < node.end_mark.index:
            assert start == node.start_mark.index
            assert end == node.start_mark.index + len(text[start : node.end_mark.index].rstrip())
            if on_key:
                assert path[-1] == node.value
            elif node.style:
                assert value == node.value
            else:
                assert (value is None and node.value in {"", "~", "null"}) or str(value) in {
                    node.value,
                    node.value.title(),
                }


@settings(max_examples=100, deadline=None)
@given(written())
def test_a_scalar_cut_out_by_its_place_reads_as_itself(drawn: tuple[dict[str, Any], str]) -> None:
    """So a place holds all of a scalar and nothing else."""
    document = read(drawn[1])
    for path, on_key, node in nodes(YAML(typ="safe", pure=True).compose(io.StringIO(drawn[1]))):
        start, end = span(document, path, on_key=on_key)
        value = at(document.values, path)
        if on_key:
            assert list(read(document.text[start:end] + ": 1").values) == [path[-1]]
        elif isinstance(node, ScalarNode) and value is not None:
            assert same(read("a: " + document.text[start:end]).values["a"], value)


SOUP = [
    *("a", "b: ", "c:", "\n", "\n  ", "\r\n", "\r", "- ", "-", "? ", ":", "[", "]", "{", "}", ",", "'", '"', "|", ">-"),
    *(
        "#",
        " # x",
        "&x ",
        "*x",
        "!t ",
        "%YAML 1.2\n",
        "%",
        "@",
        "\t",
        "\n---\n",
        "...",
        "<<: ",
        "\\",
        "\\x",
        "1.5",
        "\ufeff",
    ),
    *("\u2028", "\x85", "\0", "é", "字", "😀", "~", "  "),
]


@settings(max_examples=500, deadline=None)
@given(st.lists(st.sampled_from(SOUP), max_size=14).map("".join) | st.text(max_size=20) | st.binary(max_size=20))
def test_no_input_gives_anything_but_values_or_faults(source: str | bytes) -> None:
    """And every fault stands inside its file."""
    data = source if isinstance(source, bytes) else source.encode("utf-8", "surrogatepass")
    try:
        document: Document = documents.read(data, "plan.yaml")
        faults: tuple[Fault, ...] = ()
    except Unreadable as error:
        document, faults = error.document, error.faults
        assert faults
    assert document.place(()).line >= 1
    for fault in faults:
        assert fault.message
        assert (1, 1) <= (fault.line, fault.column) <= (fault.end_line, fault.end_column)
        assert fault.column <= len(document.line(fault.line)) + 1
