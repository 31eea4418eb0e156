"""The log beside a plan: one line a record, added at the end; nothing is ever taken away."""

from __future__ import annotations

import os
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lampwright.documents import Document, Unreadable, read
from lampwright.edits import CannotWrite, Change, Written, edited, save, stays
from lampwright.intake import against_schema
from lampwright.mentions import SIGNAL

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

HEAD = "# What was proved when. Lines are added at the end, and none is ever taken away.\nlog: 1\nrecords:\n"


def log_of(plan: Path) -> Path:
    """Return where the log of a plan is: ``hollin-fork.log.yaml`` beside ``hollin-fork.yaml``."""
    return plan.with_name(f"{plan.stem}.log.yaml")


def record(signal: str, **said: str) -> dict[str, Any]:
    """Return a record of today; what is empty is left out."""
    return {
        "date": datetime.now().astimezone().date().isoformat(),
        SIGNAL: signal,
        **{key: text for key, text in said.items() if text},
    }


def added(plan: Path, records: Sequence[dict[str, Any]]) -> Written | None:
    """Return the log with records added, None if there is none yet. Raises ``CannotWrite`` if it is no log."""
    path = log_of(plan)
    if not os.path.lexists(path):
        return None
    stays(path)
    document = _read(path)
    text = edited(document, [Change.append(("records",), one) for one in records])
    return Written(path, document.text, text)


def records(plan: Path) -> list[Mapping[str, Any]]:
    """Return what the log of a plan says, the oldest first; nothing if there is none.

    Raises ``CannotWrite`` if it is no log.
    """
    path = log_of(plan)
    return list(_read(path).values["records"] or ()) if path.is_file() else []


def write(plan: Path, records: Sequence[dict[str, Any]], also: Sequence[Written] = ()) -> Path:
    """Add records to the log of a plan, and write other files with it: all or none. Raises ``CannotWrite``.

    The log comes first: should all end in between, what was seen is written down, and the plan can be marked again.
    """
    save([added(plan, records) or _begun(plan, records), *also])
    return log_of(plan)


def _begun(plan: Path, records: Sequence[dict[str, Any]]) -> Written:
    """Return a new log."""
    from lampwright.edits.notation import flow

    return Written(log_of(plan), None, HEAD + "".join(f"  - {flow(one)}\n" for one in records))


def _read(path: Path) -> Document:
    """Read a log."""
    try:
        document = read(path, str(path))
    except Unreadable as error:
        raise CannotWrite(f"{error}; nothing is written") from error
    faults = against_schema(document, "log")
    if faults:
        place = document.place(faults[0].spot.path)
        raise CannotWrite(
            f"{path}:{place.line}:{place.column} is no log of proofs: {faults[0].message}; nothing is written"
        )
    return document
