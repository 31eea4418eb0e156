"""``lampwright prove --log``: writes down how a signal was found."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lampwright.commands.output import say
from lampwright.documents import read
from lampwright.edits import CannotEdit, CannotWrite, Change, Written, edited
from lampwright.tables import tables
from lampwright.tables.fingerprint import fingerprint
from lampwright_proving.keeping.log import record, write

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout

GOOD = "good"


def log(layout: Layout, signals: Sequence[str], result: str, part: str) -> None:
    """Add a record for each signal; a good one makes it `proved` in the plan, with its fingerprint."""
    plan = Path(layout.plan.file)
    names = list(signals) or list(tables(layout).signals)
    marks = {name: fingerprint(layout, name) for name in names if name in tables(layout).signals}
    lacking = [name for name in names if name not in marks]
    if lacking:
        raise click.ClickException(f"{lacking[0]} has no table, so that there is nothing to prove")
    document = read(plan, str(plan))
    changes = [change for name in marks if result == GOOD for change in _proved(layout, name, marks[name])]
    records = [record(name, fingerprint=marks[name], result=result, part=part) for name in marks]
    try:
        also = [Written(plan, document.text, edited(document, changes))] if changes else []
        path = write(plan, records, also)
    except (CannotEdit, CannotWrite) as error:
        raise click.ClickException(str(error)) from error
    for name, mark in marks.items():
        say(f"lampwright: {path}: {name}, {mark}, {result}")


def _proved(layout: Layout, name: str, mark: str) -> Iterator[Change]:
    """Yield the changes that make a signal proved, with a fingerprint."""
    said = layout.plan.values["signals"][name] or {}
    for key, value in (("stage", "proved"), ("proved", mark)):
        if key not in said:
            yield Change.add(("signals", name), key, value)
        elif said[key] != value:
            yield Change.replace(("signals", name, key), value)
