"""Nothing that is checked is ever run: neither what a file says, nor code that lies beside it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

from command_line import surroundings
from faults.row import Happened, row
from faults.struck import NO_BYTECODE, TESTS
from faults.writers import PLAN, TURNED

if TYPE_CHECKING:
    from faults.row import Place

MARK: Final = "touched_by_foreign_code"
TRAP: Final = f"open({MARK!r}, 'w').close()\nraise SystemExit('foreign code')\n"
MODULES: Final = ("click", "pluggy", "ruamel", "json", "tomllib", "jsonschema", "lampwright_signals", "lampwright_ours",
                  "conftest", "sitecustomize", "usercustomize", "setup", "rulebook", "checks", "plugins")  # fmt: skip
"""Names of modules that something might import if it looked into the working folder."""
RUNNING: Final = f"__import__('pathlib').Path({MARK!r}).touch()"
PLANS: Final = {
    "tags.yaml": f"plan: 1\nname: !!python/object/apply:os.system [touch {MARK}]\n",
    "names.yaml": f'plan: 1\nname: "{RUNNING}"\nsignals: {{"{{{{{MARK}}}}}": {{form: "$(touch {MARK})"}}}}\n',
    "template.yaml": f'plan: 1\nname: "${{{MARK}}} %({MARK})s {{0.__class__}} {{{MARK}}}"\nrulebook: gb-colour-light\n',
}
CALLS: Final = (
    "check .",
    "check plan.yaml --format sarif",
    "date plan.yaml",
    "sequence plan.yaml",
    "table plan.yaml",
    "wire plan.yaml",
    "distances plan.yaml",
    "export plan.yaml --as c-header",
    "draw plan.yaml",
    "prove plan.yaml",
    "prove plan.yaml --seen seen.yaml --fix",
    "rename HF1 HF101 .",
    "config .",
    "rulebooks gb-colour-light",
)


def laid(place: Place) -> None:
    """Make a folder full of traps."""
    place.folder.mkdir()
    for name in MODULES:
        (place.folder / f"{name}.py").write_text(TRAP, encoding="utf-8")
    for name in ("lampwright_evil-1.0.dist-info", "plugins"):
        (place.folder / name).mkdir()
    record = place.folder / "lampwright_evil-1.0.dist-info"
    (record / "METADATA").write_text("Metadata-Version: 2.4\nName: lampwright-evil\nVersion: 1.0\n", encoding="utf-8")
    (record / "entry_points.txt").write_text("[lampwright]\nevil = checks\n", encoding="utf-8")
    for name, text in {**PLANS, "plan.yaml": PLAN, "seen.yaml": TURNED}.items():
        (place.folder / name).write_text(text, encoding="utf-8")


@row(f"nothing that is checked is run, by {len(CALLS)} calls")
def _(place: Place) -> Happened:
    laid(place)
    command = [sys.executable, str(TESTS / "faults" / "audited.py")]
    done = subprocess.run(
        command,
        input=json.dumps(CALLS).encode(),
        cwd=place.folder,
        env=surroundings(PYTHONPATH=str(TESTS), **NO_BYTECODE),
        capture_output=True,
        check=True,
    )
    told = json.loads(done.stdout)
    for call in CALLS:
        code, events = told[call]
        assert code in {0, 1}, (call, code)
        for event in events:
            name, _, about = event.partition(" ")
            assert name in {"import", "compile", "exec", "marshal.loads", "code.__new__"}, (call, event)
            assert MARK not in about, (call, event)
            assert str(place.folder) not in about, (call, event)
    assert not (place.folder / MARK).exists()
    heard = sum(len(events) for _, events in told.values())
    assert heard
    return Happened(f"{heard:,} things were loaded, all of them installed", 0)


@row("code beside the plans, by `lampwright` and `python -m lampwright`")
def _(place: Place) -> Happened:
    laid(place)
    for program in ([str(Path(sys.executable).with_name("lampwright"))], [sys.executable, "-m", "lampwright"]):
        for call in ("check plan.yaml names.yaml", "plugins"):
            command = [*program, *call.split()]
            done = subprocess.run(command, cwd=place.folder, env=surroundings(), capture_output=True, check=False)
            assert b"foreign code" not in done.stderr, done
            assert b"evil" not in done.stdout
            assert done.returncode in {0, 1}
            assert not (place.folder / MARK).exists()
    return Happened("none of it is imported", 0)


@row("a repository whose settings name a program to fetch with")
def _(place: Place) -> Happened:
    place.folder.mkdir()
    (place.folder / "plan.yaml").write_text(PLAN, encoding="utf-8")

    def git(*words: str) -> str:
        command = ["git", "-c", "user.name=A Modeller", "-c", "user.email=modeller@example.org", *words]
        return subprocess.run(command, cwd=place.folder, capture_output=True, check=True, text=True).stdout.strip()

    git("init", "-q")
    git("add", "plan.yaml")
    git("commit", "-q", "-m", "first")
    for key, value in {
        "core.repositoryformatversion": "1",
        "extensions.partialClone": "origin",
        "remote.origin.url": f"file://{place.folder}",
        "remote.origin.promisor": "true",
        "remote.origin.uploadpack": f"touch {place.folder / MARK};",
        "protocol.file.allow": "always",
    }.items():
        git("config", key, value)
    blob = git("rev-parse", "HEAD:plan.yaml")
    (place.folder / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    ended = place.struck.call(place.folder, "changes", "HEAD:plan.yaml", "plan.yaml")
    assert ended.code == 2
    assert "git has no HEAD:plan.yaml" in ended.err
    assert not (place.folder / MARK).exists()
    return Happened("git fetches nothing, and one line says what is not there", ended.code)
