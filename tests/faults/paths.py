"""Paths that lead out of a project: in its configuration, by links, as the place of what is written."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from faults.row import ROWS, Happened, row
from faults.writers import PLAN, SLIP

if TYPE_CHECKING:
    from pathlib import Path

    from faults.row import Place

OTHERS: Final = "plan: 1\nSECRET: 1\n"
BOOK: Final = "rulebook: 1\nid: theirs\nlike: gb-colour-light\ntitle: SECRET\n"
MINE: Final = PLAN.replace("gb-colour-light", "theirs")


def laid(place: Place, plan: str = PLAN) -> Path:
    """Make a project, and files beside it that are none of its business; return where those are."""
    outside = place.root / "outside"
    (outside / "book").mkdir(parents=True)
    (outside / "plan.yaml").write_text(OTHERS, encoding="utf-8")
    (outside / "book" / "rulebook.yaml").write_text(BOOK, encoding="utf-8")
    place.folder.mkdir()
    (place.folder / "plan.yaml").write_text(plan, encoding="utf-8")
    return outside


@row("a link among the plans leads out")
def _(place: Place) -> Happened:
    outside = laid(place)
    (place.folder / "link.yaml").symlink_to(outside / "plan.yaml")
    (place.folder / "folder").symlink_to(outside)
    ended = place.struck.call(place.folder, "check", ".", "--fix")
    assert "SECRET" not in ended.out + ended.err
    assert "not read, for a link there leads out of the folder: link.yaml" in ended.err
    assert (outside / "plan.yaml").read_text(encoding="utf-8") == OTHERS
    assert "SECRET" in place.struck.call(place.folder, "check", "link.yaml").out
    return Happened("it is not read, and that is told; it is if it is named", ended.code)


def led_out(place: Place, path: str) -> Happened:
    """Name a rulebook outside in the configuration."""
    outside = laid(place, MINE)
    (place.folder / "link").symlink_to(outside / "book")
    (place.folder / "inner").mkdir()
    (place.folder / "inner" / "rulebook.yaml").symlink_to(outside / "book" / "rulebook.yaml")
    (place.folder / "lampwright.toml").write_text(f"rulebooks = ['{path}']\n", encoding="utf-8")
    ended = place.struck.call(place.folder, "check", "plan.yaml")
    assert ended.code == 1
    assert "SECRET" not in ended.out
    assert "leads out of the folder of this file" in " ".join(ended.out.split())
    allowed = place.struck.call(place.folder, "check", "plan.yaml", environment={"LAMPWRIGHT_OUTSIDE": str(outside)})
    assert "theirs in 1978" in " ".join(allowed.out.split())
    return Happened("a finding, and it is not read; LAMPWRIGHT_OUTSIDE allows it", ended.code)


for _how, _path in {"..": "../outside/book", "a link": "link", "a link to the file": "inner"}.items():
    ROWS[f"a rulebook of the configuration leads out, by {_how}"] = partial(led_out, path=_path)


@row("a configuration is a link out")
def _(place: Place) -> Happened:
    outside = laid(place)
    (outside / "secret.txt").write_text("password = SECRET\n", encoding="utf-8")
    (place.folder / "lampwright.toml").symlink_to(outside / "secret.txt")
    ended = place.struck.call(place.folder, "check", "plan.yaml")
    assert ended.code == 1
    assert "SECRET" not in ended.out + ended.err
    assert "leads out of its folder" in " ".join(ended.out.split())
    return Happened("a finding, and it is not read", ended.code)


@row("a log of proofs is a link out")
def _(place: Place) -> Happened:
    outside = laid(place)
    log = outside / "log.yaml"
    log.write_text("log: 1\nrecords:\n  - {date: 2020-01-01, signal: SECRET, result: good, fingerprint: 12345678}\n")
    before = log.read_text()
    (place.folder / "plan.log.yaml").symlink_to(log)
    ended = place.struck.call(place.folder, "prove", "plan.yaml", "HF1", "--log", "good")
    assert ended.code == 2
    assert "is a link out of its folder" in ended.err
    assert log.read_text() == before
    assert (place.folder / "plan.yaml").read_text(encoding="utf-8") == PLAN
    return Happened("one line says so, nothing is written", ended.code)


@row("what is to be written is a link out")
def _(place: Place) -> Happened:
    outside = laid(place, SLIP)
    victim = outside / "victim"
    victim.write_text("mine\n", encoding="utf-8")
    (place.folder / "pictures").mkdir()
    for name in ("out.svg", "pictures/plan-HF3-aspects.svg", "known.yaml", "out.sarif", "player.h", "mine.yaml"):
        (place.folder / name).symlink_to(victim)
    (place.folder / "good.yaml").write_text(PLAN, encoding="utf-8")
    for call in (
        "draw good.yaml -o out.svg",
        "draw plan.yaml --kind aspects -o pictures",
        "check good.yaml --baseline known.yaml --write-baseline",
        "check good.yaml --report sarif=out.sarif",
        "export good.yaml --as c-header --player .",
        "new plan mine.yaml --rulebook gb-colour-light",
    ):
        ended = place.struck.call(place.folder, *call.split())
        assert ended.code == 2, (call, ended)
        assert victim.read_text(encoding="utf-8") == "mine\n", call
    return Happened("refused by every command; what it leads to is untouched", 2)


@row("what is to be written is a link within the project")
def _(place: Place) -> Happened:
    laid(place)
    (place.folder / "real.svg").write_text("old\n", encoding="utf-8")
    (place.folder / "out.svg").symlink_to("real.svg")
    ended = place.struck.call(place.folder, "draw", "plan.yaml", "-o", "out.svg")
    assert ended.code == 0
    assert (place.folder / "real.svg").read_text(encoding="utf-8").startswith("<svg")
    assert (place.folder / "out.svg").is_symlink()
    return Happened("the file is written, the link stays", ended.code)


@row("names of signals as names of files")
def _(place: Place) -> Happened:
    laid(place, PLAN.replace("HF3", "~$x&|*"))
    ended = place.struck.call(place.folder, "draw", "plan.yaml", "--kind", "aspects", "-o", "pictures")
    assert ended.code == 0
    names = [path.name for path in (place.folder / "pictures").iterdir()]
    assert len(names) == 2
    assert all(char.isalnum() or char in "-_." for name in names for char in name)
    return Happened("a file in the folder, of a harmless name", ended.code)
