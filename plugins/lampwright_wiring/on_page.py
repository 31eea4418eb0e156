"""What wiring adds to the page of a plan: the wires and the load of each signal; boards and supplies, the schedule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from lampwright.page import PagePart, Place
from lampwright.page.markup import paragraph
from lampwright_wiring.lists.printing import as_html
from lampwright_wiring.saying import CAUTION
from lampwright_wiring.wire import lacking, tables

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.layout import BoundSignal, Layout
    from lampwright_wiring.lists.tables import Table

LOADS = ("loads", "states", "outputs", "boards")
SCHEDULE = ("schedule", "labels", "parts")


def parts() -> list[PagePart]:
    """Return the parts."""
    return [
        PagePart("wiring", "Wiring", 40, Place.SIGNAL, wiring),
        PagePart("load", "Load", 50, Place.SIGNAL, load),
        PagePart("loads", "Boards and supplies", 200, Place.AFTER, loads, prints=True),
        PagePart("schedule", "Wiring schedule", 210, Place.AFTER, schedule, prints=True),
    ]


def wiring(signal: BoundSignal) -> str:
    """Return the wires of a signal; nothing if it has none."""
    whole = _tables(signal.layout)["schedule"]
    columns = tuple(column for column in whole.columns if column.key != "signal")
    own = replace(whole, columns=columns, rows=tuple(row for row in whole.rows if row["signal"] == signal.name))
    return as_html(own, f"Wires of {signal.name}") if own.rows else ""


def load(signal: BoundSignal) -> str:
    """Return what each output of a signal carries; nothing if it has none."""
    known = _tables(signal.layout)
    outputs = {row["output"] for row in known["schedule"].rows if row["signal"] == signal.name}
    own = replace(known["outputs"], rows=tuple(row for row in known["outputs"].rows if row["output"] in outputs))
    return as_html(own, f"Outputs of {signal.name}") if own.rows else ""


def loads(layout: Layout) -> str:
    """Return what boards and supplies carry; nothing where the plan has none."""
    return _some(layout, LOADS)


def schedule(layout: Layout) -> str:
    """Return all wires, the labels of their ends, and the parts; nothing where nothing is wired."""
    return _some(layout, SCHEDULE)


def _some(layout: Layout, names: tuple[str, ...]) -> str:
    """Return some tables with the caution; nothing if the first of them is empty."""
    known = _tables(layout)
    if not known[names[0]].rows:
        return ""
    caution = paragraph(f"{CAUTION[0].upper()}{CAUTION[1:]}.", "caution")
    return (
        caution
        + "".join(as_html(known[name]) for name in names if known[name].rows)
        + "".join(paragraph(line) for line in lacking(layout))
    )


def _tables(layout: Layout) -> Mapping[str, Table]:
    """Return the tables of a plan by name; worked out once."""
    if "wiring tables" not in layout.cache:
        layout.cache["wiring tables"] = {table.name: table for table in tables(layout)}
    known: Mapping[str, Table] = layout.cache["wiring tables"]
    return known
