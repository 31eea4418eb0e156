"""Faults of plugins that are installed: one never comes back, one finds without end; and a watcher's rulebook changes.

A plugin that takes all memory there is, is out of scope: it runs in this process, and the system's limits are for that.
"""

from __future__ import annotations

import signal
import time
from functools import partial
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from command_line import Done, run, start
from faults.row import ROWS, Happened, row
from plugin_site import Site

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

    from faults.row import Place

PLAN: Final = "plan: 1\nsignals:\n  TB1: {}\n"
CHECK: Final = """
    class Odd(Check):
        name = "odd-check"
        def look(self, signal):
            {body}

    @hookimpl
    def checks():
        return [Odd]
"""
WAIT: Final = "__import__('pathlib').Path('here').touch()\n            while True: pass\n            yield"
HUNG: Final = {
    "a check": (CHECK.format(body=WAIT), "in the check odd-check of plan.yaml"),
    "a hook": (
        "@hookimpl\ndef checks():\n    open('here', 'w').close()\n    while True: pass\n",
        "in checks() of the plugin odd",
    ),
    "its import": ("open('here', 'w').close()\nwhile True: pass\n", "while the plugin odd was imported"),
}
"""By what hangs: the plugin, and what ^C says of it."""
SECONDS: Final = 30


def installed(place: Place, code: str) -> Path:
    """Install a plugin beside a folder with a plan; return where."""
    place.folder.mkdir()
    (place.folder / "plan.yaml").write_text(PLAN, encoding="utf-8")
    site = Site(place.root / "site")
    site.install("odd", code)
    return site.folder


def checked(place: Place, site: Path, *arguments: str) -> Done:
    """Check the plan with that plugin alone."""
    return run("check", place.folder / "plan.yaml", *arguments, site=site, LAMPWRIGHT_PLUGINS="odd,reports")


def hung(place: Place, code: str, where: str) -> Happened:
    """Send ^C once the plugin hangs: it is told by name."""
    site = installed(place, code.replace("'here'", repr(str(place.root / "here"))))
    process = start("check", "plan.yaml", site=site, cwd=place.folder, LAMPWRIGHT_PLUGINS="odd")
    waited(process, place.root / "here")
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=SECONDS)
    assert (process.returncode, out) == (130, b"")
    assert err.decode() == f"lampwright: interrupted {where}\n"
    return Happened(f"^C ends it, and says: {where}", process.returncode)


def waited(process: subprocess.Popen[bytes], file: Path) -> None:
    """Wait until a file is there."""
    for _ in range(SECONDS * 20):
        if file.exists():
            return
        assert process.poll() is None
        time.sleep(0.05)
    raise AssertionError(f"{file.name} never came")


for _what, (_code, _where) in HUNG.items():
    ROWS[f"a plugin never comes back: {_what}"] = partial(hung, code=_code, where=_where)


@row("a plugin finds 10,000 of one kind")
def _(place: Place) -> Happened:
    body = "yield from (self.finding(f'number {n}', signal.spot()) for n in range(10_000))"
    site = installed(place, CHECK.format(body=body))
    done = checked(place, site)
    assert done.code == 1
    assert done.out.count("error[odd-check]") == 100
    assert "and 9,900 more of odd-check in" in done.out
    assert "10,000 errors" in done.out
    assert checked(place, site, "--max-findings", "0").out.count("error[odd-check]") == 10_000
    return Happened("100 are shown, 9,900 counted", done.code)


@row("a plugin finds without end")
def _(place: Place) -> Happened:
    body = "while True: yield self.finding('again', signal.spot())"
    done = checked(place, installed(place, CHECK.format(body=body)))
    assert done.code == 1
    assert "error[failed-check]: plugin odd 2.5: the check odd-check raised OverflowError" in " ".join(done.out.split())
    assert done.out.count("error[odd-check]") == 100
    return Happened("it is stopped after 250,000, and that is a finding", done.code)


@row("the rulebook changes under a watcher, and is half written for a while")
def _(place: Place) -> Happened:
    place.folder.mkdir()
    (place.folder / "plan.yaml").write_text(PLAN, encoding="utf-8")
    book = place.folder / "mine" / "rulebook.yaml"
    book.parent.mkdir()
    source = files("lampwright_rulesets").joinpath("gb-colour-light", "rulebook.yaml").read_text("utf-8")
    good = source.replace("id: gb-colour-light", "id: mine", 1)
    book.write_text(good, encoding="utf-8")
    process = start("watch", "plan.yaml", "--rulebook", "mine", "--rounds", "4", cwd=place.folder)
    assert process.stderr
    for text in (good[:1000], "", None):
        assert b"watching" in process.stderr.readline()
        book.unlink() if text is None else book.write_text(text, encoding="utf-8")
    out, err = process.communicate(timeout=SECONDS)
    assert b"Traceback" not in err
    assert b"No findings" in out
    assert b"error[empty-file]" in out
    assert b"there is no rulebook mine" in err
    assert process.returncode == 0
    return Happened("each state is told; it goes on", process.returncode)
