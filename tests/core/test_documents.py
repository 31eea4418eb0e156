"""Reading: values as YAML 1.2 has them, and the exact place of every one of them."""

from __future__ import annotations

import contextlib
import gc
import io
import os
import pickle
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

import lampwright
from lampwright import documents
from lampwright.documents import Document, Place

CORE = str(Path(lampwright.__file__).parents[1])


def read(text: str | bytes) -> Document:
    """Read a text as if it stood in a file."""
    return documents.read(text.encode() if isinstance(text, str) else text, "plan.yaml")


def cut(document: Document, *path: str | int, on_key: bool = False) -> str:
    """Return what is written at a path, found by its lines and columns alone."""
    place = document.place(path, on_key=on_key)
    lines = [document.line(number) for number in range(place.line, place.end_line + 1)]
    lines[-1] = lines[-1][: place.end_column - 1]
    lines[0] = lines[0][place.column - 1 :]
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("0", 0),
        ("1978", 1978),
        ("-17", -17),
        ("999999999999999999", 999999999999999999),
        ("1.10", Decimal("1.10")),
        ("-0.5", Decimal("-0.5")),
        ("true", True),
        ("false", False),
        ("null", None),
        ("~", None),
        ("", None),
    ],
)
def test_plain_scalars_that_are_more_than_text(written: str, value: object) -> None:
    """YAML 1.2.2, section 10.3 (core schema), as far as nothing is lost: a number gives back what was written."""
    found = read(f"a: {written}").values["a"]
    assert (type(found), found) == (type(value), value)
    if isinstance(found, int | Decimal) and not isinstance(found, bool):
        assert str(found) == written


@pytest.mark.parametrize(
    "written",
    [
        *(
            "on",
            "off",
            "yes",
            "no",
            "On",
            "NO",
            "True",
            "NULL",
            "=",
            "--",
            "a#b",
            "A.10",
            "1.2.3",
            "1:76.2",
            "12:30:45",
        ),
        *("017", "00", "-0", "+1", "1_000", "0x40", "1e3", "1.5e3", ".5", "1.", "007.50", "0.0000001", ".inf", ".nan"),
        *("2024-13-45", "1978-05-01", "1000000000000000000", "1.0000000000000000001"),
    ],
)
def test_everything_else_stays_text(written: str) -> None:
    """What YAML 1.1 or a careless reader would turn into something else."""
    assert read(f"a: {written}").values == {"a": written}


def test_keys_are_text_and_quotes_make_text() -> None:
    """A name is what is written, be it 101 or true; quotes keep numbers and words from meaning more."""
    document = read("101: a\ntrue: b\n1.10: c\n'x y': '12'\n\"z\": \"true\"\n'<<': 1\n? q\n: 1\n")
    assert document.values == {"101": "a", "true": "b", "1.10": "c", "x y": "12", "z": "true", "<<": 1, "q": 1}


def test_text_over_several_lines() -> None:
    """Folding, block text and escapes are YAML's own."""
    text = "a: one\n  two\nb: |\n  x\n   y\nc: >-\n  x\n  y\n\nd: \"x\\\n  y \\u2028\\x85\\uFEFF\"\ne: 'it''s'\n"
    assert read(text).values == {"a": "one two", "b": "x\n y\n", "c": "x y", "d": "xy \u2028\x85\ufeff", "e": "it's"}


PLAN = """\
# a comment
plan: 1
signals:
  HF1:
    form: three-aspect   # so far
    lamps: [{green: A.0}, 'red "x"']
    routes:
    - {to: HF3,
       over: [AA]}
    - to: bay


    note: |
      two
      lines

  HF3:
empty:
list:
  -
  - ~
"""


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("bom", ["", "\ufeff"])
@pytest.mark.parametrize("wide", ["", "# 信号 🚦\t\xa0é"])
def test_every_key_and_value_has_its_place(end: str, bom: str, wide: str) -> None:
    """Columns count characters, whatever the line ends, a byte order mark, and wide characters before them."""
    document = read((bom + PLAN.replace("# a comment", wide)).replace("\n", end))
    signal = ("signals", "HF1")
    assert cut(document, *signal, "form") == "three-aspect"
    assert cut(document, *signal, "form", on_key=True) == "form"
    assert cut(document, *signal, "lamps") == "[{green: A.0}, 'red \"x\"']"
    assert cut(document, *signal, "lamps", 0) == "{green: A.0}"
    assert cut(document, *signal, "lamps", 0, "green") == "A.0"
    assert cut(document, *signal, "lamps", 1) == "'red \"x\"'"
    assert cut(document, *signal, "routes", 0) == "{to: HF3,\n       over: [AA]}"
    assert cut(document, *signal, "routes", 0, "over", 0) == "AA"
    assert cut(document, *signal, "routes", 1) == "to: bay"
    assert cut(document, *signal, "routes") == "- {to: HF3,\n       over: [AA]}\n    - to: bay"
    assert cut(document, *signal, "note") == "|\n      two\n      lines"
    assert document.place((*signal, "form")) == Place(5, 11, 5, 23)
    assert document.place((), on_key=True)[:2] == (2, 1)


def test_a_block_ends_at_its_last_value() -> None:
    """The parser knows its end only at the next key, lines later."""
    document = read("a:\n  b:\n    - c: 1\n      d: [2]   # e\n\n\n# f\ng: 3\n")
    assert cut(document, "a") == "b:\n    - c: 1\n      d: [2]"
    assert cut(document) == "a:\n  b:\n    - c: 1\n      d: [2]   # e\n\n\n# f\ng: 3"


def test_what_has_no_text_is_shown_by_what_has() -> None:
    """A value left empty by its key or dash, something missing by the key of what lacks it."""
    document = read(PLAN)
    assert cut(document, "empty") == "empty"
    assert cut(document, "signals", "HF3") == "HF3"
    assert cut(document, "list", 0) == "-"
    assert cut(document, "list", 1) == "~"
    assert cut(document, "signals", "HF9", "form") == "signals"
    assert cut(document, "signals", "HF1", "stage") == "HF1"
    assert cut(document, "signals", "HF1", "form", "x", 3) == "form"
    assert cut(document, "signals", "HF1", "lamps", 7) == "lamps"
    assert cut(document, "signals", "HF1", "lamps", 0, "red") == "{green: A.0}"
    assert document.place(("nothing",))[:2] == (2, 1)


def test_a_document_knows_its_kind_and_lines() -> None:
    """The kind is the first key; lines are only what LF, CRLF and CR end."""
    document = read("rulebook: 1\r\na: 'x\xa0y'\rb: 2\n\nc: 3")
    assert document.kind == "rulebook"
    assert [document.line(number) for number in range(7)] == ["", "rulebook: 1", "a: 'x\xa0y'", "b: 2", "", "c: 3", ""]
    assert (read("[plan]").kind, read("plan").kind, read("{}").kind) == ("", "", "")
    assert "three-aspect" not in repr(read(PLAN))


def test_a_document_can_be_sent_to_another_process() -> None:
    """Many files are read by several processes."""
    document = read(PLAN)
    before = document.place(("empty",))
    again = pickle.loads(pickle.dumps(document))  # noqa: S301  (our own)
    assert (again.values, again.place(("empty",))) == (document.values, before)


def test_standard_input_is_a_file_like_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """It has no size before it has been read."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"plan: 1\n")))
    assert documents.read(Path("-"), "standard input").values == {"plan": 1}


@pytest.mark.parametrize("text", ["a: 1", "a: ["])
def test_the_collector_is_left_as_it_was(text: str) -> None:
    """Reading turns it off; it is on again also after a fault."""
    with contextlib.suppress(documents.Unreadable):
        read(text)
    assert gc.isenabled()


RUN = """
import sys
from pathlib import Path
from lampwright import documents
{first}
document = documents.read(Path({file!r}), "plan.yaml")
documents.read(b"a: 1", "second.yaml")
{then}
"""


def run(tmp_path: Path, first: str, then: str) -> subprocess.CompletedProcess[str]:
    """Read a file in a process of its own."""
    file = tmp_path / "plan.yaml"
    file.write_text(PLAN, encoding="utf-8")
    code = RUN.format(first=first, file=str(file), then=then)
    return subprocess.run(
        [sys.executable, "-c", code], env=os.environ | {"PYTHONPATH": CORE}, capture_output=True, text=True, check=True
    )


def test_a_sound_file_does_not_pay_for_unsound_ones(tmp_path: Path) -> None:
    """Words for slips, near misses and schemas are imported only when something is wrong."""
    then = "print([m for m in ('lampwright.documents.syntax', 'jsonschema', 'difflib') if m in sys.modules])"
    assert run(tmp_path, "", then).stdout == "[]\n"


def test_without_the_c_parser_the_pure_one_reads_the_same(tmp_path: Path) -> None:
    """It is slower, which is said once."""
    then = "for path in [(), ('signals', 'HF1'), ('signals', 'HF1', 'routes', 0, 'over'), ('empty',), ('list', 0)]:\n"
    then += "    print(repr(document.values), document.place(path))"
    usual = run(tmp_path, "", then)
    pure = run(tmp_path, "sys.modules['ruamel.yaml.cyaml'] = None", then)
    assert usual.stdout == pure.stdout
    assert usual.stderr == ""
    assert pure.stderr.count("not installed") == 1
