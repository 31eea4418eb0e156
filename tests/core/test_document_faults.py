"""Files that give no values: what is wrong, exactly where, and what would have been right."""

from __future__ import annotations

import pickle
from typing import TYPE_CHECKING

import pytest

from lampwright import documents
from lampwright.documents import Fault, Limits, Unreadable

if TYPE_CHECKING:
    from pathlib import Path


def faults(source: str | bytes | Path, limits: Limits | None = None) -> tuple[Fault, ...]:
    """Return what is wrong with a file."""
    with pytest.raises(Unreadable) as caught:
        documents.read(source.encode() if isinstance(source, str) else source, "plan.yaml", limits or Limits())
    return caught.value.faults


SLIPS = [
    ("a: 1\n\tb: 2\n", (2, 1, 2, 2), "tab indents", "spaces"),
    ("a:\n\tb: 2\n", (2, 1, 2, 2), "tab indents", "spaces"),
    ("a: 1\n  \tb: 2\n", (2, 3, 2, 4), "tab indents", "spaces"),
    ("a: 1\nb:2\nc: 3\n", (2, 2, 2, 3), "space is missing after this colon", "quotes"),
    ("plan:1\nname: x\n", (1, 5, 1, 6), "space is missing after this colon", ""),
    ("'a': 1\n'b':2\n", (2, 4, 2, 5), "space is missing after this colon", ""),
    ("a: {b:1}\n", (1, 6, 1, 7), "space is missing after this colon", ""),
    ("a: {scale: 1:76.2}\n", (1, 13, 1, 14), "colon in it needs quotes", ""),
    ("a: [https://x]\n", (1, 10, 1, 11), "colon in it needs quotes", ""),
    ("a: [1, 2\nb: 3\n", (1, 4, 1, 5), "this [ is never closed", "]"),
    ("a: {x: {y: 1}\nb: 3\n", (1, 4, 1, 5), "this { is never closed", "}"),
    ("a: {x: 1,\ny: {\nb: 2\n", (2, 4, 2, 5), "this { is never closed", "}"),
    ("a: [", (1, 4, 1, 5), "this [ is never closed", "]"),
    ("a: [1, 2", (1, 4, 1, 5), "this [ is never closed", "]"),
    ("a: [x}\n", (1, 6, 1, 7), "this } cannot close the [ of line 1", "]"),
    ("a: {b: [}\n", (1, 9, 1, 10), "this } cannot close the [ of line 1", "]"),
    ("a: [1]]\n", (1, 7, 1, 8), "this ] closes nothing", ""),
    ("a: {x: 1 y: 2}\n", (1, 11, 1, 12), "a comma or } is expected", "comma"),
    ("a: {\n  x: 1\n  y: 2\n}\n", (3, 4, 3, 5), "a comma or } is expected", "comma"),
    ("a: [x,, y]\n", (1, 7, 1, 8), "value is missing before this comma", ""),
    ("a: 'x\nb: 2\n", (1, 4, 1, 5), "this quote is never closed", ""),
    ('a: "x\n---\n"', (1, 4, 1, 5), "this quote is never closed", ""),
    ('a: "x\nb: 2\nc: "y"\n', (1, 4, 1, 5), "closed only on line 3", ""),
    ('a:\n  - "x\nb: "y"\n', (2, 5, 2, 6), "closed only on line 3", ""),
    ("a: 'it's'\n", (1, 8, 1, 10), "goes on after its closing quote", "twice"),
    ('a: "x" y  # z\n', (1, 8, 1, 9), "goes on after its closing quote", '\\"'),
    ('a: "\\q"', (1, 5, 1, 7), "\\q means nothing", "\\\\"),
    ('a: "\\u12"', (1, 5, 1, 7), "\\u needs 4 hexadecimal digits", ""),
    ("a: b: c\n", (1, 5, 1, 6), "second key and value", "quotes"),
    ("a: 1\n  b: 2\n", (2, 3, 2, 4), "key cannot stand here", "indent"),
    ("a:\n  b: 1\n c: 2\n", (3, 2, 3, 6), "indented like nothing above", "column 1"),
    ("a:\n  - b: 1\n   - c: 2\n", (3, 4, 3, 10), "indented like nothing above", "dashes in column 3"),
    ("a: [1] x\n", (1, 8, 1, 9), "nothing more may follow", ""),
    ("a: 1\nb\nc: 2\n", (2, 1, 2, 2), "a key and its colon are expected", "colon and a space"),
    ("a: 1\n- b\n", (2, 1, 2, 2), "list item cannot stand among the keys", ""),
    ("- a\nb: 1  # c\n", (2, 1, 2, 5), "a list item, with its dash, is expected", ""),
    ("a: - b\n", (1, 4, 1, 5), "a list cannot begin on this line", "[a, b]"),
    (": x\n", (1, 1, 1, 2), "key is missing before this colon", ""),
    ("{: x}\n", (1, 2, 1, 3), "key is missing before this colon", ""),
    ("a: @x\n", (1, 4, 1, 5), "text cannot begin with @", "quotes"),
    ("a: %\n", (1, 4, 1, 5), "text cannot begin with %", "quotes"),
    ("a: , b\n", (1, 4, 1, 5), "text cannot begin with ,", "quotes"),
    ("a: *\n", (1, 4, 1, 5), "text cannot begin with *", "quotes"),
    ("a: & b\n", (1, 4, 1, 5), "text cannot begin with &", "quotes"),
    ("a: |x\n  b\n", (1, 5, 1, 6), "nothing may follow |", "next line"),
    ("%x: 1\n", (1, 1, 1, 6), "a line cannot begin with %", ""),
    ("'a'\nb\n", (2, 1, 2, 2), "the value of the file has ended", ""),
]


@pytest.mark.parametrize(("text", "place", "message", "tip"), SLIPS, ids=[slip[0] for slip in SLIPS])
def test_slips_are_told_in_plain_words(text: str, place: tuple[int, ...], message: str, tip: str) -> None:
    """What is wrong, exactly where, and what would have been right."""
    (fault,) = faults(text)
    assert (fault.rule, fault.line, fault.column, fault.end_line, fault.end_column) == ("bad-yaml", *place)
    assert message in fault.message
    assert tip in fault.tip


@pytest.mark.parametrize(("text", "place"), [slip[:2] for slip in SLIPS if not slip[0].startswith("%")])
def test_what_stands_before_a_slip_does_not_move_it(text: str, place: tuple[int, ...]) -> None:
    """Columns count characters: not bytes, not the byte order mark, and CRLF ends one line."""
    (fault,) = faults(("\ufeff# \U0001f6a6 \u4fe1\u53f7\n" + text).replace("\n", "\r\n"))
    line, column, end_line, end_column = place
    assert (fault.line, fault.column, fault.end_line, fault.end_column) == (line + 1, column, end_line + 1, end_column)


UNSUPPORTED = [
    ("a: &b 1\n", (1, 4, 1, 6), "anchors are not read (&b)", "like:"),
    ("&b a: 1\n", (1, 1, 1, 3), "anchors are not read (&b)", "like:"),
    ("a: &b\n  c: 1\n", (1, 4, 1, 6), "anchors are not read (&b)", "like:"),
    ("a: [1, *b]\n", (1, 8, 1, 10), "aliases are not read (*b)", "like:"),
    ("a:\n  <<: 1\n", (2, 3, 2, 5), "merge keys are not read (<<)", "like:"),
    ("a: !!str 1\n", (1, 4, 1, 9), "tags are not read (!!str)", "leave it out"),
    ("a: !b {c: 1}\n", (1, 4, 1, 6), "tags are not read (!b)", "leave it out"),
    ("a: ! b\n", (1, 4, 1, 5), "tags are not read (!)", "quotes"),
    ("[a, b]: 1\n", (1, 1, 1, 2), "cannot be a key", "quotes"),
    ("a: {{b}: c}\n", (1, 5, 1, 6), "cannot be a key", "quotes"),
    ("? - a\n: b\n", (1, 3, 1, 4), "cannot be a key", "plain name"),
    ("a: {'': 1}\n", (1, 5, 1, 7), "a key is empty", "name"),
    ("a: 1\n---\nb: 1\n", (2, 1, 2, 4), "second document", "file of its own"),
    ("--- a\n...\n--- b\n", (3, 1, 3, 4), "second document", "file of its own"),
    ("%YAML 1.1\n---\na: 1\n", (1, 1, 1, 10), "directive is not read", "YAML 1.2"),
    ("%TAG ! x\n---\na: 1\n", (1, 1, 1, 9), "directive is not read", "YAML 1.2"),
]


@pytest.mark.parametrize(("text", "place", "message", "tip"), UNSUPPORTED, ids=[slip[0] for slip in UNSUPPORTED])
def test_what_yaml_has_and_a_plan_has_not(text: str, place: tuple[int, ...], message: str, tip: str) -> None:
    """Refused by name, with what to write instead."""
    (fault,) = faults(text)
    assert (fault.rule, fault.line, fault.column, fault.end_line, fault.end_column) == ("unsupported-yaml", *place)
    assert message in fault.message
    assert tip in fault.tip


def test_the_directive_of_our_own_version_is_read() -> None:
    """And one document may be begun and ended in full."""
    assert documents.read(b"%YAML 1.2\n--- # x\na: 1\n...\n", "p").values == {"a": 1}


def test_each_duplicate_key_is_told_with_the_first() -> None:
    """All of them in one go; text that is written in different ways is still one name."""
    found = faults('plan: 1\nname: x\nname : {a: [b, {c: 1}], d: 2, d: 3}\n101: y\n"101": z\n')
    assert [(fault.rule, fault.line, fault.column, fault.end_column) for fault in found] == [
        ("duplicate-key", 3, 1, 5),
        ("duplicate-key", 3, 31, 32),
        ("duplicate-key", 5, 1, 6),
    ]
    assert [fault.message for fault in found] == [
        "the key name is given twice, first on line 2",
        "the key d is given twice, first in column 25",
        "the key 101 is given twice, first on line 4",
    ]


def test_duplicates_come_before_the_slip_that_ends_reading() -> None:
    """And no more than twenty faults are told."""
    assert [fault.rule for fault in faults("a: 1\na: 2\nb: [\n")] == ["duplicate-key", "bad-yaml"]
    assert len(faults("a: 1\n" * 100)) == 20


@pytest.mark.parametrize(
    ("data", "place", "message", "tip"),
    [
        (b"a: \xc3\xa9\nb: \xe9t\xe9\n", (2, 4), "0xE9 is not UTF-8", "UTF-8; was this \u00e9?"),
        (b"\xef\xbb\xbf\xff", (1, 1), "0xFF is not UTF-8", ""),
        (b"a: \xe4\xbf", (1, 4), "0xE4 is not UTF-8", ""),
        (b"a: \xed\xa0\x80", (1, 4), "0xED is not UTF-8", ""),
        (b"a: 1\r\n\xc3\xa9: x\x00\n", (2, 5), "U+0000 (NUL)", '"\\x00"'),
        (b"a: \x1b[31mred", (1, 4), "U+001B", '"\\x1b"'),
        (b"a: \x7f", (1, 4), "U+007F", ""),
        (b"# \xc2\x85", (1, 3), "U+0085 (next line)", '"\\x85"'),
        (b"a: b\xe2\x80\xa8  c", (1, 5), "U+2028 (line separator)", '"\\u2028"'),
        (b"a: 1\n\xef\xbb\xbfb: 2", (2, 1), "U+FEFF (byte order mark)", "delete"),
        (b"a: \xef\xbf\xbf", (1, 4), "U+FFFF", ""),
        ("plan: 1".encode("utf-16"), (1, 1), "UTF-16", "UTF-8"),
        (bytes(range(256)) * 20, (1, 1), "binary", ""),
        (b"\x7fELF\x02\x01\x01" + b"\x00" * 60, (1, 1), "binary", ""),
    ],
)
def test_what_is_not_text_is_told_at_its_character(data: bytes, place: tuple[int, int], message: str, tip: str) -> None:
    """Unicode 16, table 3-7, says which bytes are UTF-8; YAML 1.2.2, section 5.1, which characters it takes."""
    (fault,) = faults(data)
    assert (fault.rule, fault.line, fault.column) == ("not-text", *place)
    assert message in fault.message
    assert tip in fault.tip


def test_every_character_is_either_read_or_told() -> None:
    """YAML 1.2.2, section 5.1, ``c-printable``, less the marks and separators that readers disagree about."""
    ranges = [(0x20, 0x7E), (0xA0, 0x2027), (0x202A, 0xD7FF), (0xE000, 0xFEFE), (0xFF00, 0xFFFD), (0x10000, 0x10FFFF)]
    allowed = [code for first, last in ranges for code in range(first, last + 1)]
    lines = ["".join(map(chr, allowed[at : at + 1000])) for at in range(0, len(allowed), 1000)]
    text = "".join("- '" + line.replace("'", "''") + "'\n" for line in lines)
    assert documents.read(text.encode(), "p").values == lines
    refused = {*range(0x10000), 0x1FFFE} - {*allowed} - {*range(0xD800, 0xE000)} - {*b"\t\n\r"}
    assert len(refused) == 67
    for code in refused:
        for text in (f"a: 'b{chr(code)}'", f"a: b{chr(code)}", f"a#b{chr(code)}: 1"):
            (fault,) = faults(text)
            assert (fault.rule, fault.column) == ("not-text", text.index(chr(code)) + 1)
            assert f"U+{code:04X}" in fault.message


@pytest.mark.parametrize("text", ["", "\ufeff", "\n\n", "---\n", "--- \n...\n", "# a\n", "---\n# a\n"])
def test_an_empty_file_is_a_fault(text: str) -> None:
    """Also one that holds nothing but comments, which it says."""
    (fault,) = faults(text)
    assert (fault.rule, fault.line, fault.column) == ("empty-file", 1, 1)
    assert ("comments" in fault.message) == ("#" in text)


def test_a_file_that_cannot_be_opened_says_why(tmp_path: Path) -> None:
    """Not there, or a folder."""
    for path, reason in ((tmp_path / "none.yaml", "no such file"), (tmp_path, "is a directory")):
        (fault,) = faults(path)
        assert fault.rule == "unreadable-file"
        assert reason in fault.message


def test_an_unreadable_file_still_has_lines() -> None:
    """As they are written, so that columns hold; a byte that is not UTF-8 is one replacement, binary has none."""
    with pytest.raises(Unreadable, match=r"plan\.yaml:2:4: .*U\+001B") as caught:
        documents.read(b"a: 1\nb: \x1b[2Jc\n", "plan.yaml")
    assert caught.value.fault is caught.value.faults[0]
    assert caught.value.document.line(2) == "b: \x1b[2Jc"
    for data, line in (
        (b"a: [", "a: ["),
        (b"a: \xe9t\xe9", "a: \ufffdt\ufffd"),
        (b"\x00" * 99, ""),
        (b"\xff\xfea", ""),
    ):
        with pytest.raises(Unreadable) as caught:
            documents.read(data, "plan.yaml")
        assert caught.value.document.line(1) == line
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)  # noqa: S301  (our own)


def test_messages_hold_nothing_that_a_terminal_would_obey() -> None:
    """A name may have any character in it, by an escape."""
    (fault,) = faults('"\\e[2J": 1\n"\\e[2J": 2\n')
    assert "key \\x1b[2J is" in fault.message


@pytest.mark.parametrize(
    ("text", "limits", "place", "message"),
    [
        ("a: [[1]]", Limits(depth=2), (1, 5), "more than 2 deep"),
        ("a:\n- - 1", Limits(depth=2), (2, 3), "more than 2 deep"),
        ("a: 'x\n  yz'\n", Limits(scalar=3), (1, 4), "longer than 3 characters"),
        ("abcd: 1\n", Limits(scalar=3), (1, 1), "longer than 3 characters"),
        ("a: 1\n" * 3, Limits(size=14), (1, 1), "larger than the 14 bytes"),
    ],
)
def test_limits_are_faults_at_their_place(text: str, limits: Limits, place: tuple[int, int], message: str) -> None:
    """What just fits is read."""
    (fault,) = faults(text, limits)
    assert (fault.rule, fault.line, fault.column) == ("over-limit", *place)
    assert message in fault.message


def test_what_just_fits_is_read(tmp_path: Path) -> None:
    """Limits are the most that is allowed."""
    limits = Limits(size=9, depth=2, scalar=3, nodes=4)
    file = tmp_path / "plan.yaml"
    file.write_bytes(b"abc: [1]\n")
    assert documents.read(file, "p", limits).values == {"abc": [1]}
    file.write_bytes(b"abc: [1]\n#")
    assert faults(file, limits)[0].rule == "over-limit"
