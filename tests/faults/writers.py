"""Every command that writes, with what it needs: a folder before, a call, and what must be there afterwards."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

PLAN: Final = """\
plan: 1
name: Hollin Fork
rulebook: gb-colour-light
year: 1978
boards: {A: {kind: pwm-16, address: 0x40, controller: hut}}
controllers: {hut: {}}
signals:
  HF1:
    form: three-aspect
    wiring: common-anode     # as bought
    lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]
    routes: [{to: HF3}]
  HF3: {form: two-aspect-stop, lamps: [{green: A.3}, {red: A.4}]}
"""
OTHER: Final = """\
plan: 1
rulebook: gb-colour-light
year: 1978
signals:
  HF9: {form: two-aspect-stop, routes: [{to: %s}]}
"""
SLIP: Final = PLAN.replace("three-aspect", "three-aspekt")
BARE: Final = PLAN.replace("lamps: [{green: A.3}, {red: A.4}]", "wiring: common-anode")
LOG: Final = "log: 1\nrecords:\n  - {date: 2020-01-01, signal: HF1, fingerprint: 12345678, result: good}\n"
TURNED: Final = "seen: 1\nplan: c37bb2f3\nsignals: {HF1: {danger: [green, yellow]}}\n"


WRITING: Final = {
    "commands/agreed.py", "commands/fixing.py", "commands/reporting.py", "lampwright_drawing/files.py",
    "lampwright_kit/new.py", "lampwright_page/report.py", "allocation/command.py", "export/as_c.py",
    "keeping/log.py", "looking/asking.py", "lampwright_proving/fixing.py", "lampwright_proving/rename.py",
}  # fmt: skip
"""The modules that write, each through ``lampwright.edits``; a writer below stands for each."""


@dataclass(frozen=True)
class Writer:
    """A call that writes. ``whole``: it writes all its files or none, unless it is killed in between."""

    name: str
    arguments: tuple[str, ...]
    before: Mapping[str, str] = field(default_factory=lambda: {"plan.yaml": PLAN})
    stdin: str = ""
    whole: bool = True
    again: bool = True
    plugins: str = ""
    """Plugins that are enough, where others would only take time."""

    def lay(self, folder: Path) -> None:
        """Make the folder what it is before the call; nothing else stays in it."""
        import shutil

        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        for name, text in self.before.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")


def _writer(  # noqa: PLR0913  (what a writer is made of)
    name: str, call: str, *, stdin: str = "", whole: bool = True, again: bool = True, plugins: str = "", **more: str
) -> Writer:
    """Return a writer with a plan; ``more`` are further files, or the plan itself."""
    plugins = plugins or ("rulebooks,signals,reports" if call.startswith("check ") else "")
    files = {f"{one.replace('_', '.')}.yaml": text for one, text in {"plan": PLAN, **more}.items()}
    return Writer(name, tuple(call.split()), files, stdin, whole, again, plugins)


WRITERS: Final = (
    _writer("check --fix, two files", "check --fix .", plan=SLIP, other=OTHER.replace("aspect", "aspekt") % "plan/HF1"),
    _writer("check --write-baseline, a new one", "check . --baseline known.yaml --write-baseline", plan=SLIP),
    _writer("check --shrink-baseline", "check . --baseline known.yaml --shrink-baseline",
            known="baseline: 1\nfiles:\n  plan.yaml:\n    unknown-form: 3\n"),
    _writer("check --report", "check plan.yaml --report sarif=known.yaml", known="an old report\n"),
    _writer("prove --seen --fix", "prove plan.yaml --seen seen.yaml --fix",
            plugins="rulebooks,proving,wiring", seen=TURNED),
    _writer("prove --ask --keep", "prove plan.yaml HF1 --ask --keep kept.yaml", stdin="q\n"),
    _writer("prove --log, a new log", "prove plan.yaml HF1 --log good", again=False),
    _writer("prove --log, a log that is there", "prove plan.yaml HF1 --log good", plan_log=LOG, again=False),
    _writer("rename, three files", "rename HF1 HF101 .", other=OTHER % "plan/HF1", plan_log=LOG, again=False),
    _writer("wire --allocate --write", "wire plan.yaml --allocate --write", plan=BARE),
    _writer("export --player", "export plan.yaml --as c-header --player .", whole=False),
    _writer("draw -o FILE", "draw plan.yaml -o plan.svg"),
    _writer("draw -o FOLDER", "draw plan.yaml --kind aspects -o pictures", whole=False),
    _writer("report -o FILE", "report plan.yaml -o plan.html", plugins="rulebooks,page"),
    _writer("new plan", "new plan mine.yaml --rulebook gb-colour-light"),
    _writer("new rulebook", "new rulebook my-railway"),
)  # fmt: skip
