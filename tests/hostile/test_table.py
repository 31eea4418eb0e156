"""Every file a user can hand over, filled with what ends, hangs or bloats loaders: a located finding, and soon."""

from __future__ import annotations

import re
import sys
from typing import TYPE_CHECKING

import pytest

from hostile.limited import Limited

if TYPE_CHECKING:
    from collections.abc import Iterator

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="limits are set as on Linux")

MEGABYTE = 1_000_000
LAUGHS = b"a: &a [ha, ha]\n" + b"".join(b"%c: &%c [*%c, *%c]\n" % (n, n, n - 1, n - 1) for n in range(98, 123))
MERGES = b"a: &a {b: 1}\n" + b"".join(b"%c: &%c\n  <<: [*%c, *%c]\n" % (n, n, n - 1, n - 1) for n in range(98, 123))
ROWS = {
    "brackets, 30,000": b"[" * 30_000,
    "brackets, a megabyte": b"[" * MEGABYTE,
    "braces": b"{a: " * (MEGABYTE // 4),
    "lists in lists, by dashes": b"- " * (MEGABYTE // 2),
    "merge bomb": MERGES,
    "billion laughs": LAUGHS,
    "recursive alias": b"a: &a\n  b: *a\n",
    "one scalar": b"a: " + b"x" * MEGABYTE,
    "one quoted scalar": b'a: "' + b"x" * MEGABYTE + b'"',
    "one key": b"x" * MEGABYTE + b": 1",
    "duplicate keys": b"a: 1\n" * (MEGABYTE // 5),
    "integer of 5,000 digits": b"a: " + b"9" * 5_000,
    "no date": b"a: 2024-13-45",
    "not a number": b"a: [.nan, .inf, 1e999999999, 0x" + b"f" * 5_000 + b"]",
    "NUL": b"a: \x00",
    "control characters": b"a: \x1b[2J\x07",
    "invalid UTF-8": b"a: \xff\xfe",
    "UTF-16": "a: 1\n".encode("utf-16"),
    "half a character": "a: \u5b57".encode()[:-1],
    "a lone surrogate": b"a: \xed\xa0\x80",
    "line separators": "a: 1\u2028b: 2\u0085c: 3".encode(),
    "tab after a colon": b"a:\t[1]\n\tb: 2",
    "a tag that runs code": b"a: !!python/object/apply:os.system [touch ran]",
    "several documents": b"a: 1\n---\nb: 2\n",
    "an unknown key": b"nothing: 1",
    "only spaces": b" " * MEGABYTE,
    "very many keys": b"\n".join(b"k%d: 1" % number for number in range(MEGABYTE // 12)),
    "very many items": b"a: [" + b"1," * (MEGABYTE // 2) + b"]",
    "a list": b"- 1\n- 2\n",
    "a word": b"hello",
}
"""The table of what libraries do with hostile input, and what else has been seen to trouble readers."""
TOML_ROWS = {
    "deep lists": b"a = " + b"[" * 100_000,
    "deep closed lists": b"a = " + b"[" * 900 + b"]" * 900,
    "deep lists at the edge of recursion": b"a = " + b"[" * 300 + b"]" * 300,
    "deep tables": b"[" + b"a." * 100_000 + b"a]\nb = 1",
    "deep keys": b"a." * 100_000 + b"a = 1",
    "many deep tables": b"".join(b"[" + b"a." * 100 + b"b%d]\n" % number for number in range(4_000)),
    "long integer": b"year = " + b"9" * 5_000,
    "long float": b"year = 1e999999999",
    "no date": b"year = 2024-13-45",
    "date": b"year = 2024-12-24",
    "one text": b'year = "' + b"x" * 990_000 + b'"',
    "duplicates": b"year = 1\n" * 100_000,
    "NUL": b"year = \x00",
    "invalid UTF-8": b"year = \xff",
    "many keys": b"\n".join(b"k%d = 1" % number for number in range(MEGABYTE // 12)),
    "many levels": b"[levels]\n" + b"\n".join(b'k%d = "off"' % number for number in range(MEGABYTE // 16)),
    "many stars": b'exclude = ["' + b"*a" * 60 + b'b"]',
    "more stars": b'exclude = ["' + b"**/" * 60 + b'b.yaml"]',
    "many patterns": b"exclude = [" + b'"*.yaml",' * 50_000 + b"]",
    "not a TOML": b"a: [",
    "a list for a table": b"levels = [1]\nrulebooks = 3\ninclude = {}",
    "many lines": b"\n" * MEGABYTE,
    "one line of nearly our words": b"#" + b" tool lampwrigh" * (MEGABYTE // 16),
    "open text": b'year = """' + b'""' * 100 + b"\n" * 100_000,
}
PLAN = b"plan: 1\nrulebook: gb-colour-light\nyear: 1975\nsignals:\n  TB1: {form: three-aspect}\n"
BOOK = b"rulebook: 1\nid: mine\ntitle: Mine\n"
WAYS = {
    "plan": ("plan", "plan.yaml", ("check", "plan.yaml")),
    "rulebook": ("rulebook", "rulebook.yaml", ("check", "rulebook.yaml")),
    "rulebook of the call": ("rulebook", "rulebook.yaml", ("check", "good.yaml", "--rulebook", ".")),
    "rulebook beside": ("rulebook", "mine/rulebook.yaml", ("check", "bound.yaml", "--rulebook", "mine")),
    "parts": ("parts", "parts.yaml", ("check", "parts.yaml")),
    "baseline": ("baseline", "known.yaml", ("check", "good.yaml", "--baseline", "known.yaml")),
    "what was seen": ("seen", "seen.yaml", ("prove", "good.yaml", "--seen", "seen.yaml")),
    "log of proofs": ("log", "good.log.yaml", ("prove", "good.yaml", "TB1", "--log", "good")),
    "plan of old": ("plan", "old.yaml", ("changes", "old.yaml", "good.yaml")),
    "cases": ("cases", "mine/cases.yaml", ("cases", "mine")),
}
"""By what is handed over: the first key of such a file, its name, and the call that reads it."""
LOCATED = re.compile(r"\.(?:yaml|toml):\d+:\d+")


@pytest.fixture(scope="module")
def limited(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Limited]:
    """Return a program that runs calls in a folder."""
    folder = tmp_path_factory.mktemp("hostile")
    program = Limited(folder)
    yield program
    program.close()


def sound(limited: Limited, *arguments: str) -> str:
    """Run a call that must end with findings or a refusal, and say what and where; return all it says."""
    done = limited.call(*arguments)
    said = done.out + done.err
    assert done.code in {1, 2}, said[-2000:]
    assert "Traceback" not in said, said[-3000:]
    assert "mistake in Lampwright" not in said
    assert "\x1b" not in said
    assert LOCATED.search(said), said[-2000:]
    assert len(said) < 5 * MEGABYTE
    assert not (limited.folder / "ran").exists()
    return said


@pytest.mark.parametrize("headed", [True, False], ids=["with its first key", "without"])
@pytest.mark.parametrize("way", WAYS)
def test_hostile_yaml(limited: Limited, way: str, *, headed: bool) -> None:
    """Whatever the file, each row ends with a finding that tells where it is."""
    kind, name, arguments = WAYS[way]
    for row, data in ROWS.items():
        for old in limited.folder.glob("**/*.*"):
            old.unlink()
        (limited.folder / "good.yaml").write_bytes(PLAN)
        (limited.folder / "bound.yaml").write_bytes(PLAN.replace(b"gb-colour-light", b"mine"))
        (limited.folder / "mine").mkdir(exist_ok=True)
        (limited.folder / "mine/rulebook.yaml").write_bytes(BOOK)
        (limited.folder / name).write_bytes(f"{kind}: 1\n".encode() + data if headed else data)
        try:
            sound(limited, *arguments)
        except AssertionError as error:
            raise AssertionError(f"{row}: {error}") from error


@pytest.mark.parametrize("row", TOML_ROWS)
@pytest.mark.parametrize("shared", [False, True], ids=["lampwright.toml", "pyproject.toml"])
def test_hostile_configuration(limited: Limited, row: str, *, shared: bool) -> None:
    """A configuration is read for every call: it must hold up as well, and may be sound by chance."""
    for old in limited.folder.glob("*.*"):
        old.unlink()
    (limited.folder / "good.yaml").write_bytes(PLAN)
    head = b"[tool.lampwright]\n" if shared else b""
    (limited.folder / ("pyproject.toml" if shared else "lampwright.toml")).write_bytes(head + TOML_ROWS[row])
    done = limited.call("check", "good.yaml", ".")
    said = done.out + done.err
    assert done.code in {0, 1, 2}, said[-2000:]
    assert "Traceback" not in said, said[-3000:]
    assert done.code == 0 or LOCATED.search(said)


HEAD = "rulebook: 1\nid: mine\ntitle: Mine\naspects:\n"
SIGNALS = PLAN.decode()
LONG_ROWS = {
    "a chain of likes in a plan": SIGNALS + "".join(f"  S{n}: {{like: S{n + 1}}}\n" for n in range(5_000)),
    "a chain of likes, backwards": SIGNALS + "".join(f"  S{n}: {{like: S{n - 1}}}\n" for n in range(5_000)),
    "a circle of likes": SIGNALS + "".join(f"  S{n}: {{like: S{(n + 1) % 5_000}}}\n" for n in range(5_000)),
    "a chain of likes in a rulebook": HEAD + "".join(f"  a{n}: {{like: a{n + 1}}}\n" for n in range(5_000)),
    "a circle of likes in a rulebook": HEAD + "".join(f"  a{n}: {{like: a{(n + 1) % 5_000}}}\n" for n in range(5_000)),
    "many likes of nothing": HEAD + "".join(f"  a{n}: {{like: b{n}}}\n" for n in range(3_000)),
    "many routes to nowhere": SIGNALS
    + "".join(f"  S{n}: {{form: three-aspect, routes: [{{to: T{n}}}]}}\n" for n in range(1_000)),
    "a long chain of routes": SIGNALS
    + "".join(f"  S{n}: {{form: three-aspect, routes: [{{to: S{n + 1}}}]}}\n" for n in range(500)),
    "repeaters of repeaters": SIGNALS
    + "".join(f"  S{n}: {{form: three-aspect, repeats: S{n + 1}}}\n" for n in range(500)),
}
"""Files in which each line is as it should be, and all together lead far."""


@pytest.mark.parametrize("row", LONG_ROWS)
def test_what_leads_far_comes_to_an_end(limited: Limited, row: str) -> None:
    """By no recursion, and in time that grows with the file and not with its square."""
    for old in limited.folder.glob("*.*"):
        old.unlink()
    (limited.folder / "file.yaml").write_text(LONG_ROWS[row])
    done = limited.call("check", "file.yaml")
    assert done.code in {0, 1}, done.err[-2000:]
    assert "Traceback" not in done.err
