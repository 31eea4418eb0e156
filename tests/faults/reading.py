"""Faults while something is read: the file goes, changes, cannot be read, never ends, or is no file."""

from __future__ import annotations

import os
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from faults.row import ROWS, Happened, row
from faults.writers import PLAN, SLIP

if TYPE_CHECKING:
    from faults.row import Place
    from faults.struck import Ended

LONG: Final = PLAN + "# a remark\n" * 300_000
"""A plan that is read in several pieces."""
BOOK: Final = "rulebook: 1\nid: mine\nlike: gb-colour-light\ntitle: Mine\n"
SOME: Final = 15
"""Calls about one name that are refused at most; those between are of the rulebooks that are installed."""
HEAD: Final = 2
"""Calls in which a search looks at the head of a file; what comes then reads it."""


def met(place: Place, what: str, at: int, *arguments: str, text: str = PLAN, kinds: str = "open read") -> Ended:
    """Check a folder; something is done to plan.yaml at a call that opens or reads it, counted from 0."""
    place.folder.mkdir(exist_ok=True)
    (place.folder / "plan.yaml").write_text(text, encoding="utf-8")
    (place.folder / "other.yaml").write_text(SLIP, encoding="utf-8")
    (place.folder / "new").write_text(PLAN + "# another\n", encoding="utf-8")
    ended = place.struck.call(
        place.folder, *(arguments or ("check", ".")), on="plan.yaml", kinds=kinds, what=what, at=at
    )
    assert len(ended.calls) > at
    assert "Traceback" not in ended.err
    return ended


def told(ended: Ended, why: str) -> Happened:
    """Assert that a finding says what is wrong with plan.yaml, and that the other file was checked all the same."""
    assert ended.code == 1, ended
    assert f"error[unreadable-file]: {why}" in " ".join(ended.out.split()), ended
    assert "--> plan.yaml:1:1" in ended.out
    assert "unknown-form" in ended.out
    return Happened(f"a finding: {why}; the others are checked", ended.code)


@row("a file goes between search and reading")
def _(place: Place) -> Happened:
    return told(met(place, "remove", HEAD), "this file cannot be read: no such file or directory")


@row("a file goes before its head is looked at")
def _(place: Place) -> Happened:
    return told(met(place, "remove", 0), "this file cannot be read: no such file or directory")


@row("a file may not be read")
def _(place: Place) -> Happened:
    return told(met(place, "EACCES", HEAD + 1), "this file cannot be read: permission denied")


@row("the disk fails while a file is read")
def _(place: Place) -> Happened:
    return told(met(place, "EIO", HEAD + 2, text=LONG), "this file cannot be read: input/output error")


def changing(place: Place, what: str) -> Happened:
    """Change a file between two pieces of it."""
    return told(met(place, what, HEAD + 2, text=LONG), "this file has changed while it was read")


@row("a file is put in the place of another while it is read")
def _(place: Place) -> Happened:
    ended = met(place, "replace", HEAD + 2, text=LONG + "nonsense: 1\n")
    assert ended.code == 1
    assert "nonsense is not a key" in ended.out
    return Happened("the old one is read, whole", ended.code)


for _what in ("grow", "shrink"):
    ROWS[f"a file changes while it is read: {_what}"] = partial(changing, what=_what)


@row("a file changes after it was read and before it is mended")
def _(place: Place) -> Happened:
    calls = met(place, "", 0, "check", "--fix", "plan.yaml", text=SLIP).calls
    last = len(calls) - 1 - calls[::-1].index("open")
    ended = met(place, "grow", last, "check", "--fix", "plan.yaml", text=SLIP)
    assert ended.code == 2
    assert "plan.yaml has changed since it was read; nothing is written" in ended.err
    assert (place.folder / "plan.yaml").read_text(encoding="utf-8") == SLIP + "# more\n"
    return Happened("one line says so, nothing is written", ended.code)


@row("a file to be mended is read-only")
def _(place: Place) -> Happened:
    ended = met(place, "EACCES", 0, "check", "--fix", "plan.yaml", text=SLIP, kinds="access")
    assert ended.code == 2
    assert "lampwright: plan.yaml cannot be written: it is read-only\n" in ended.err
    assert (place.folder / "plan.yaml").read_text(encoding="utf-8") == SLIP
    return Happened("one line says so, nothing is written", ended.code)


@row("each call of the system about a file is refused, one at a time")
def _(place: Place) -> Happened:
    met(place, "", 0)
    (place.folder / "mine").mkdir()
    (place.folder / "mine" / "rulebook.yaml").write_text(BOOK, encoding="utf-8")
    (place.folder / "lampwright.toml").write_text("rulebooks = ['mine']\n", encoding="utf-8")
    few = {"LAMPWRIGHT_PLUGINS": "rulebooks,signals"}
    times = 0
    for name in ("plan.yaml", "lampwright.toml", "pyproject.toml", "mine", "rulebook.yaml"):
        about: dict[str, Any] = {"environment": few, "on": name, "kinds": "stat open read"}
        counted = place.struck.call(place.folder, "check", ".", **about).calls
        for at in range(0, len(counted), 1 + len(counted) // SOME):
            ended = place.struck.call(place.folder, "check", ".", **about, what="EACCES", at=at)
            assert (ended.code, ended.err) == (1, ""), (name, at, ended)
            times += 1
    return Happened(f"{times} calls refused: the rest of the check goes on", 1)


@row("examples of a rulebook that are pipes, or no text")
def _(place: Place) -> Happened:
    examples = place.folder / "mine" / "examples"
    examples.mkdir(parents=True)
    (examples.parent / "rulebook.yaml").write_text(BOOK, encoding="utf-8")
    os.mkfifo(examples / "pipe.yaml")
    (examples / "bytes.yaml").write_bytes(b"\xff\xfe\x00")
    ended = place.struck.call(place.folder, "new", "plan", "--rulebook", "mine")
    assert ended.code == 0
    assert (place.folder / "plan.yaml").read_text(encoding="utf-8").count("form:") == 2
    return Happened("they count for nothing", ended.code)


@row("pipes, devices, loops of links and a folder among the plans")
def _(place: Place) -> Happened:
    place.folder.mkdir()
    (place.folder / "plan.yaml").write_text(SLIP, encoding="utf-8")
    os.mkfifo(place.folder / "pipe.yaml")
    (place.folder / "zero.yaml").symlink_to("/dev/zero")
    (place.folder / "loop.yaml").symlink_to("loop.yaml")
    (place.folder / "inner").mkdir()
    (place.folder / "inner" / "again").symlink_to("..")
    (place.folder / "folder.yaml").mkdir()
    ended = place.struck.call(place.folder, "check", ".")
    assert (ended.code, ended.err) == (1, "")
    assert ended.out.count("error[") == 1
    return Happened("only the plan is read", ended.code)


def unending(place: Place, kind: str) -> Happened:
    """Name something as every kind of file."""
    place.folder.mkdir()
    (place.folder / "plan.yaml").write_text(PLAN, encoding="utf-8")
    odd = place.folder / "odd.yaml"
    if kind == "pipe":
        os.mkfifo(odd)
    else:
        odd.symlink_to(kind)
    for call in (
        "check odd.yaml",
        "check plan.yaml --rulebook odd.yaml",
        "check plan.yaml --baseline odd.yaml",
        "check plan.yaml --baseline odd.yaml --write-baseline",
        "prove plan.yaml --seen odd.yaml",
        "changes odd.yaml plan.yaml",
        "rename HF1 HF7 odd.yaml",
        "prove odd.yaml HF1 --log good",
    ):
        ended = place.struck.call(place.folder, *call.split())
        assert ended.code in {1, 2}, (call, ended)
        assert "Traceback" not in ended.err, (call, ended)
    return Happened("refused as every kind of file, at once", 1)


for _kind in ("pipe", "/dev/zero", "/dev/full", "/proc/self/mem"):
    ROWS[f"named as a file: {_kind}"] = partial(unending, kind=_kind)


@row("a log of proofs, or a configuration, that is a pipe")
def _(place: Place) -> Happened:
    place.folder.mkdir()
    (place.folder / "plan.yaml").write_text(PLAN, encoding="utf-8")
    for name in ("plan.log.yaml", "lampwright.toml", "pyproject.toml"):
        os.mkfifo(place.folder / name)
    ended = place.struck.call(place.folder, "prove", "plan.yaml", "HF1", "--log", "good")
    assert ended.code == 2
    assert (place.folder / "plan.yaml").read_text(encoding="utf-8") == PLAN
    return Happened("one line says so, nothing is written", ended.code)


@row("files of very many empty bytes")
def _(place: Place) -> Happened:
    place.folder.mkdir()
    for name, size in (("one.yaml", 200_000_000), ("two.yaml", 1 << 40), ("pyproject.toml", 1 << 40)):
        with (place.folder / name).open("wb") as file:
            file.write(b"plan: 1\n")
            file.truncate(size)
    ended = place.struck.call(place.folder, "check", "one.yaml", "two.yaml")
    assert ended.code == 1
    assert "NUL" in ended.out
    assert "this file is larger than" in ended.out
    return Happened("two findings, at once", ended.code)
