"""What is tried with every file, and what must hold whatever is in it.

A target is given the bytes of a file; it raises if something does not hold. None ever writes outside its own folder.
"""

from __future__ import annotations

import json
import tempfile
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from command_line import call
from lampwright import documents, schema
from lampwright.documents import Limits, Unreadable
from lampwright.documents.builder import Builder
from lampwright.layout import Settings
from lampwright.project import Run
from lampwright.reports import Options
from lampwright.reports.contract import ordered
from lampwright.reports.json import report as as_json
from lampwright.reports.text import report as as_text
from support import all_checks, new_library

if TYPE_CHECKING:
    from collections.abc import Callable

CODES: Final = (0, 1, 2, 3)
PLAN: Final = """\
plan: 1
rulebook: gb-colour-light
year: 1978
boards: {A: {kind: pwm-16}}
signals:
  HF1: {form: three-aspect, wiring: common-anode, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}], routes: [{to: HF3}]}
  HF3: {form: two-aspect-stop, lamps: [{green: A.3}, {red: A.4}]}
"""
COMMANDS: Final = (
    *("sequence", "table", "date", "distances", "wire", "prove", "report"),
    *("export --as json", "export --as csv", "draw --text", "wire --allocate", "wire --format csv", "prove --failing"),
    *(
        "check --fix",
        "check --diff --unsafe-fixes",
        "check --format sarif",
        "check --format junit",
        "table --format csv",
    ),
)


def read(data: bytes) -> None:
    """Read it: every value of the document has a place, or it is said where it could not go on.

    What is read without the parser is read by it too, and must be the same.
    """
    try:
        document = documents.read(data, "file.yaml")
    except Unreadable as error:
        for fault in error.faults:
            assert 1 <= fault.line <= fault.end_line
            assert fault.column >= 1
            assert fault.message
        return
    _placed(document, document.values, ())
    parser = Builder(document.text, Limits())
    parser.build()
    assert (repr(parser.root), parser.marks, parser.slips) == (repr(document.values), document.marks, [])


def _placed(document: documents.Document, value: Any, path: tuple[str | int, ...]) -> None:
    """Look up the place of a value and of all in it."""
    place = document.place(path)
    assert (place.line, place.column) <= (place.end_line, place.end_column)
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, held in inner:
        _placed(document, held, (*path, step))


def accept(data: bytes) -> None:
    """Compare the schema's quick yes with the library for schemas; a no has a reason."""
    try:
        document = documents.read(data, "file.yaml")
    except Unreadable:
        return
    kind = document.kind if document.kind in ("plan", "rulebook", "seen", "log", "baseline", "cases") else "plan"
    faults = schema.faults(kind, document.values)
    assert bool(faults) is not _judge(kind).is_valid(_plain(document.values)), faults[:1]


@cache
def _judge(kind: str) -> Any:
    """Return the library's judge of a format."""
    from jsonschema import Draft202012Validator

    from lampwright.schema.bundle import bundled

    return Draft202012Validator(bundled(kind))


def _plain(value: Any) -> Any:
    """Return values as the library knows them: it has no decimal numbers."""
    if isinstance(value, dict):
        return {key: _plain(held) for key, held in value.items()}
    if isinstance(value, list):
        return [_plain(held) for held in value]
    return float(value) if isinstance(value, Decimal) else value


def check(data: bytes, name: str = "file.yaml") -> None:
    """Run every check to its end: every finding can be printed, and a second run says the same."""
    first, second = (_reported(data, name) for _ in range(2))
    assert first == second


def _reported(data: bytes, name: str) -> tuple[str, str]:
    """Return what is found, as text and as JSON."""
    result = Run(_library(), all_checks(), Settings()).over([(name, data)])
    for finding, place in ordered(result):
        assert finding.message
        assert place is not None or not finding.spot.file, finding
    texts: tuple[list[str], list[str]] = ([], [])
    as_text(result, texts[0].append, Options())
    as_json(result, texts[1].append, Options())
    whole = "".join(texts[1])
    json.loads(whole)
    return "".join(texts[0]), whole


@cache
def _library() -> Any:
    """Return the rulebooks, read once for all tries."""
    return new_library()


def rulebook(data: bytes) -> None:
    """Check it as a plan is checked."""
    check(data, "rulebook.yaml")


def commands(data: bytes) -> None:
    """Call a command: it ends with a code of its own, and its words; which is tried, the file decides."""
    chosen = COMMANDS[sum(data) % len(COMMANDS)].split()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "plan.yaml"
        file.write_bytes(data)
        _ends(*chosen[:1], str(file), *chosen[1:])


def _beside(option: str, name: str) -> Callable[[bytes], None]:
    """Return the target of a file that a command on a plan is given."""

    def target(data: bytes) -> None:
        with tempfile.TemporaryDirectory() as folder:
            plan, file = Path(folder) / "plan.yaml", Path(folder) / name
            plan.write_text(PLAN, encoding="utf-8")
            file.write_bytes(data)
            _ends(*(word.replace("PLAN", str(plan)).replace("FILE", str(file)) for word in option.split()))

    target.__doc__ = "A file beside a plan is read, or refused where it is wrong."
    return target


def _ends(*arguments: str) -> None:
    """Call the command line: it ends as it says, and never by an accident."""
    done = call(*arguments)
    assert done.code in CODES
    assert "Traceback" not in done.err + done.out
    assert "failed-check" not in done.out
    assert " raised " not in done.err
    assert done.code in (0, 1) or done.err


TARGETS: Final[dict[str, tuple[str, Callable[[bytes], None]]]] = {
    "read": ("plan", read),
    "accept": ("plan", accept),
    "check": ("plan", check),
    "rulebook": ("rulebook", rulebook),
    "commands": ("plan", commands),
    "seen": ("seen", _beside("prove PLAN --seen FILE", "seen.yaml")),
    "log": ("log", _beside("prove PLAN HF1 --log good", "plan.log.yaml")),
    "baseline": ("baseline", _beside("check PLAN --baseline FILE", "known.yaml")),
    "settings": ("settings", _beside("check PLAN", "lampwright.toml")),
}
"""By name: of which kind the files are that are spoilt for it, and the target."""
