"""Input that makes YAML loaders crash, hang or eat memory: a located fault, in bounded time and memory."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

import lampwright
from lampwright import documents
from lampwright.documents import Document, Fault, Limits, Unreadable

CORE = str(Path(lampwright.__file__).parents[1])
BIG = 50_000_000
LARGE = 5_000_000
"""As good as big, wherever the time does not depend on what comes after the limit."""
SOON = 2.0
"""Seconds of processor time within which every input here is refused or read; loaders take minutes, or for ever."""


def read(data: bytes, limits: Limits | None = None) -> Document:
    """Read a file, and see that it did not take long."""
    before = time.process_time()
    try:
        return documents.read(data, "plan.yaml", limits or Limits())
    finally:
        assert time.process_time() - before < SOON


def fault(data: bytes, limits: Limits | None = None) -> Fault:
    """Return the first thing that is wrong with a file."""
    with pytest.raises(Unreadable) as caught:
        read(data, limits)
    return caught.value.fault


SCALARS = {
    "plain": (b"a: ", b"x", b"\n", (1, 4)),
    "plain words": (b"plan: 1\na: ", b"x ", b"y\n", (2, 4)),
    "plain, in many lines": (b"a:\n  - ", b"xxxxxxxx\n    ", b"y\nb: 1\n", (2, 5)),
    "in double quotes": (b'a: "', b"x", b'"', (1, 4)),
    "in single quotes": (b"a: {b: [1, '", b"x", b"']}", (1, 12)),
    "quoted, in many lines": (b'a: "', b"xxxxx\n  ", b'"', (1, 4)),
    "a quote never closed": (b"a: '", b"\nb: c\n", b"", (1, 4)),
    "backslashes": (b'a: "', b"\\\\", b"", (1, 4)),
    "block": (b"a: |\n", b"  xxxxxxxx\n", b"b: 1\n", (1, 4)),
    "folded": (b"- - >-\n", b"    x\n\n", b"", (1, 5)),
    "the whole file": (b"", b"x", b"", (1, 1)),
    "a key": (b"a: 1\n", b"x", b": 1", (2, 1)),
    "a long key": (b"? ", b"x", b"", (1, 3)),
    "behind comments": (b"a: 1\n" + b"# b: {\n" * 50_000 + b"c: ", b"x", b"", (50_002, 4)),
    "wide": ("\u00e9: ".encode(), "\u5b57".encode(), b"", (1, 4)),
    "an anchor": (b"a: &", b"x", b"", (1, 4)),
    "an alias": (b"a: *", b"x", b"", (1, 4)),
    "a tag": (b"a: !", b"x", b"", (1, 4)),
    "a directive": (b"%", b"x", b"", (1, 1)),
}


@pytest.mark.parametrize(("head", "piece", "tail", "place"), SCALARS.values(), ids=SCALARS)
def test_a_scalar_of_megabytes(head: bytes, piece: bytes, tail: bytes, place: tuple[int, int]) -> None:
    """The parser is stopped soon after the limit, however the text is written (those with an end: 50 MB)."""
    found = fault(head + piece * ((BIG if tail else LARGE) // len(piece)) + tail)
    assert (found.rule, found.line, found.column) == ("over-limit", *place)
    assert "longer than 65,536 characters" in found.message
    assert ("closing quote" in found.tip) == (head[-1:] in {b"'", b'"'})


def test_a_scalar_of_just_the_limit_is_read() -> None:
    """One character more is too much, quoted or not."""
    text = b"x" * 65_536
    assert read(b"a: '" + text + b"'").values == {"a": text.decode()}
    assert fault(b"a: '" + text + b"x'").rule == "over-limit"
    assert fault(b"a: " + text + b"x").column == 4


@pytest.mark.parametrize("filler", [b"# all trains stop here\n", b"\n", b"                              \n"])
def test_what_is_no_scalar_may_be_long(filler: bytes) -> None:
    """Comments and empty lines are no values: a long licence is allowed."""
    document = read(b"a: 'x'\n" + filler * (LARGE // len(filler)) + b"b:\n  c: 2\n")
    assert document.values == {"a": "x", "b": {"c": 2}}
    assert document.place(("b", "c"))[:2] == (LARGE // len(filler) + 3, 6)


@pytest.mark.parametrize(
    ("text", "column"),
    [
        (b"[" * 30_000, 65),
        (b"[" * LARGE, 65),
        (b"{a: " * 100_000, 257),
        (b"- " * 100_000, 129),
        (b"[" * 1000 + b"]" * 1000, 65),
    ],
    ids=["lists", "very many lists", "maps", "block lists", "closed lists"],
)
def test_deep_nesting(text: bytes, column: int) -> None:
    """With 30,000 brackets a loader over the C parser ends the whole process."""
    found = fault(text)
    assert (found.rule, found.line, found.column) == ("over-limit", 1, column)
    assert "more than 64 deep" in found.message


def test_deep_nesting_by_indentation() -> None:
    """The same in blocks; the 64th map is still read."""
    lines = [" " * depth + "a:" for depth in range(1000)]
    assert (fault("\n".join(lines).encode()).line, fault("\n".join(lines[:65]).encode()).line) == (65, 65)
    document = read("\n".join(lines[:64]).encode())
    assert document.place(("a",) * 64) == (64, 64, 64, 65)


def test_very_many_nodes() -> None:
    """The limit holds without a single nested value."""
    found = fault(b"a: [" + b"1," * 400_000 + b"]", Limits(nodes=100_000))
    assert found.rule == "over-limit"
    assert "more than 100,000 keys and values" in found.message


LAUGHS = b"a: &a [ha, ha]\n" + b"".join(b"%c: &%c [*%c, *%c]\n" % (n, n, n - 1, n - 1) for n in range(98, 123))
MERGES = b"a: &a {b: 1}\n" + b"".join(b"%c: &%c\n  <<: [*%c, *%c]\n" % (n, n, n - 1, n - 1) for n in range(98, 123))


@pytest.mark.parametrize(
    ("text", "column", "end"),
    [
        (LAUGHS, 4, 6),
        (MERGES, 4, 6),
        (b"a: &a\n  b: *a\n", 4, 6),
        (b"&a [*a]", 1, 3),
        (b"- &" + b"x" * 999 + b" 1", 3, 1003),
    ],
    ids=["billion laughs", "merge bomb", "a map in itself", "a list in itself", "long name"],
)
def test_anchors_are_refused_before_anything_is_built(text: bytes, column: int, end: int) -> None:
    """What grows or goes round by reference never starts."""
    found = fault(text)
    assert (found.rule, found.line, found.column, found.end_column) == ("unsupported-yaml", 1, column, end)
    assert "anchors are not read" in found.message
    assert len(found.message) < 80
    assert "like:" in found.tip


@pytest.mark.parametrize(
    ("text", "value"),
    [
        (b"9" * 5_000, "9" * 5_000),
        (b"-" + b"9" * 5_000 + b"." + b"9" * 5_000, "-" + "9" * 5_000 + "." + "9" * 5_000),
        (b"2024-13-45", "2024-13-45"),
        (b"1e999999999", "1e999999999"),
        (b"0x" + b"f" * 5_000, "0x" + "f" * 5_000),
    ],
    ids=["long integer", "long decimal", "no date", "huge exponent", "long hexadecimal"],
)
def test_numbers_and_dates_that_loaders_choke_on_are_text(text: bytes, value: str) -> None:
    """A bare ValueError elsewhere."""
    assert read(b"a: " + text).values == {"a": value}


def test_keys_that_loaders_take_for_one_are_three() -> None:
    """``1``, ``1.0`` and ``true`` are equal in Python, not in a plan."""
    assert list(read(b"1: a\n1.0: b\ntrue: c\n").values) == ["1", "1.0", "true"]


@pytest.mark.parametrize(
    ("data", "rule", "place"),
    [
        (b"# " + b"x" * LARGE + b"\na: \x00", "not-text", (2, 4)),
        (b"# " + b"x\n" * 1_000_000 + b"a: \xff", "not-text", (1_000_001, 4)),
        (b"\x00" * LARGE, "not-text", (1, 1)),
        (b"a: 1\n" * 1_000_000, "duplicate-key", (2, 1)),
        (b":" * LARGE, "over-limit", (1, 1)),
        (b"[" + b"," * LARGE, "bad-yaml", (1, 2)),
        (b"? " * 100_000, "unsupported-yaml", (1, 3)),
        (b"a: {" + b"b: 1\n " * 100_000, "bad-yaml", (2, 3)),
        (b"a: " + b"\t" * LARGE + b"]", "bad-yaml", (1, LARGE + 4)),
    ],
    ids=["late NUL", "late bad byte", "only NULs", "duplicates", "colons", "commas", "questions", "no comma", "tabs"],
)
def test_large_nonsense(data: bytes, rule: str, place: tuple[int, int]) -> None:
    """Finding the place is as quick as finding the fault."""
    found = fault(data)
    assert (found.rule, found.line, found.column) == (rule, *place)


def test_a_file_over_the_size_limit_is_not_read_at_all(tmp_path: Path) -> None:
    """A sparse file of a terabyte costs nothing."""
    file = tmp_path / "plan.yaml"
    with file.open("wb") as sparse:
        sparse.truncate(2**40)
    with pytest.raises(Unreadable, match="larger than the 268,435,456 bytes") as caught:
        documents.read(file, "plan.yaml")
    assert caught.value.fault.rule == "over-limit"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless file here")
def test_a_file_without_end_is_read_up_to_the_limit() -> None:
    """Its size says nothing: it is 0."""
    with pytest.raises(Unreadable, match="larger than the 1,000,000 bytes"):
        documents.read(Path("/dev/zero"), "zero", Limits(size=1_000_000))


MEMORY = """
import resource
from lampwright import documents
def most():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
documents.read(b"a: 1", "p")
data = {data}
before = most()
try:
    documents.read(data, "p")
except documents.Unreadable as error:
    print(most() - before, error.fault.rule)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="counts in KiB on Linux")
@pytest.mark.parametrize("data", ["b'a: |\\n' + b'  xxx\\n' * 10_000_000", "b'a: \"' + b'x' * 50_000_000"])
def test_memory_stays_near_the_size_of_the_text(data: str) -> None:
    """50 MB are read as bytes and as text, and not a third time by the parser: it would double its buffer to 64 MB."""
    done = subprocess.run(
        [sys.executable, "-c", MEMORY.format(data=data)],
        env=os.environ | {"PYTHONPATH": CORE},
        capture_output=True,
        text=True,
        check=True,
    )
    grown, rule = done.stdout.split()
    assert rule == "over-limit"
    assert int(grown) < 80
