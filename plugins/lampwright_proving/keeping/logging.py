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
PROVED, BUILT = "proved", "built"


def log(layout: Layout, signals: Sequence[str], result: str, part: str) -> None:
    """Add a record for each signal; a good one makes it `proved` in the plan, a faulty one takes that away."""
    plan = Path(layout.plan.file)
    names = list(signals) or list(tables(layout).signals)
    marks = {name: fingerprint(layout, name) for name in names if name in tables(layout).signals}
    lacking = [name for name in names if name not in marks]
    if lacking:
        raise click.ClickException(f"{lacking[0]} has no table, so that there is nothing to prove")
    document = read(plan, str(plan))
    marked = {name: list((_proved if result == GOOD else _faulty)(layout, name, mark)) for name, mark in marks.items()}
    changes = [change for made in marked.values() for change in made]
    records = [record(name, fingerprint=marks[name], result=result, part=part) for name in marks]
    try:
        also = [Written(plan, document.text, edited(document, changes))] if changes else []
        path = write(plan, records, also)
    except (CannotEdit, CannotWrite) as error:
        raise click.ClickException(str(error)) from error
    for name, mark in marks.items():
        say(f"lampwright: {path}: {name}, {mark}, {result}")
        if result != GOOD and marked[name]:
            say(f"lampwright: {plan}: {name} does not count as proved any more")


def _proved(layout: Layout, name: str, mark: str) -> Iterator[Change]:
    """Yield the changes that make a signal proved, with a fingerprint."""
    said = layout.plan.values["signals"][name] or {}
    for key, value in (("stage", PROVED), (PROVED, mark)):
        if said.get(key) != value:
            yield _put(layout, name, key, value)


def _faulty(layout: Layout, name: str, _: str) -> Iterator[Change]:
    """Yield the changes by which a signal no longer counts as proved: it is built, and the log has its fingerprint."""
    if layout.signals[name].entry.stage == PROVED:
        yield _put(layout, name, "stage", BUILT)
    if PROVED in (layout.plan.values["signals"][name] or {}):
        yield Change.remove(("signals", name, PROVED))


def _put(layout: Layout, name: str, key: str, value: str) -> Change:
    """Return the change by which a signal itself says something; what it is like does not say it for others."""
    said = layout.plan.values["signals"][name] or {}
    path = ("signals", name)
    return Change.replace((*path, key), value) if key in said else Change.add(path, key, value)
