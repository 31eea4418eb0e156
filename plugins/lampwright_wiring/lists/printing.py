"""Tables as text for people, CSV for spreadsheets, and values for JSON."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from lampwright.reports.cells import cell
from lampwright.reports.printable import wrapped
from lampwright.reports.tables import table as aligned
from lampwright_wiring.lists.tables import COUNT, DATA, SCALE, TEXT, Column, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.reports.style import Style


def as_text(table: Table, style: Style, width: int) -> Iterator[str]:
    """Yield a table as lines, columns that say nothing left out."""
    yield style("strong", table.title)
    if table.note:
        yield from (f"  {line}" for line in wrapped(table.note, width - 2))
    columns = table.told()
    yield from aligned([(column.head, column.means) for column in columns if column.means], width, indent="    ")
    columns, alike = _apart(table, columns, width)
    yield from (f"  {line}" for line in wrapped(f"In every row: {', '.join(alike)}.", width - 2) if alike)
    rows = [[_shown(column, row.get(column.key)) for column in columns] for row in table.rows]
    right = {number for number, column in enumerate(columns) if column.kind != TEXT}
    ragged = [] if columns and columns[-1].kind == TEXT else [""]  # only the last column may be ragged
    head, *lines = aligned(
        [[column.head for column in columns] + ragged, *(row + ragged for row in rows)],
        width,
        right=right,
        indent="  ",
        fold=True,
    )
    yield style("frame", head)
    yield from lines
    yield ""


def _apart(table: Table, told: tuple[Column, ...], width: int) -> tuple[tuple[Column, ...], list[str]]:
    """Return the columns that differ from row to row, and what the others say, of a table that is too wide."""
    shown = {column: [_shown(column, row.get(column.key)) for row in table.rows] for column in told}
    wide = sum(2 + max(len(column.head), *map(len, cells)) for column, cells in shown.items())
    if wide <= width or len(table.rows) < 2:  # noqa: PLR2004  (of one row all is alike)
        return told, []
    same = [column for column, cells in shown.items() if column.kind == TEXT and len(set(cells)) == 1]
    return tuple(one for one in told if one not in same), [f"{one.head} {shown[one][0]}" for one in same]


def as_html(table: Table, title: str = "") -> str:
    """Return a table as it stands on the page, columns that say nothing left out."""
    from lampwright.page.markup import paragraph, text
    from lampwright.page.markup import table as laid_out

    columns = table.told()
    rows = [[text(_shown(column, row.get(column.key))) for column in columns] for row in table.rows]
    right = [number for number, column in enumerate(columns) if column.kind != TEXT]
    heads = [column.head for column in columns]
    meanings = "; ".join(f"{column.head}: {column.means}" for column in columns if column.means)
    said = " ".join(filter(None, (table.note, meanings and f"{meanings}.")))
    note = paragraph(said, "quiet") if said else ""
    return laid_out(heads, rows, right=right, title=title or table.title) + note


def as_csv(tables: Iterable[tuple[str, Table]]) -> str:
    """Return one table of each plan as CSV, the plan in the first column; no cell begins as a formula does."""
    import csv
    import io

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for number, (plan, table) in enumerate(tables):
        if number == 0:
            writer.writerow(["plan", *(_named(column, column.head or column.key, " ") for column in table.columns)])
        for row in table.rows:
            writer.writerow([cell(plan), *(_cell(column, row.get(column.key)) for column in table.columns)])
    return out.getvalue()


def as_values(table: Table) -> list[dict[str, Any]]:
    """Return the rows of a table for JSON: keys name the unit of their values, what is not known is not there."""
    return [
        {
            _named(column, column.key, "-"): _number(column, row[column.key])
            for column in table.columns
            if row.get(column.key) is not None
        }
        for row in table.rows
    ]


def _named(column: Column, name: str, joint: str) -> str:
    """Return the name of a column with its unit."""
    said = column.kind in (TEXT, COUNT, DATA) or column.kind in name
    return name if said else f"{name}{joint}{column.kind}"


def _number(column: Column, value: Any) -> Any:
    """Return a value in the unit of its column, amounts to a thousandth."""
    return round(float(value * SCALE[column.kind]), 3) if column.kind in SCALE else value


def _shown(column: Column, value: Any) -> str:
    """Return a value as people read it: amounts to a tenth of their unit, or to a unit where there are many."""
    if value is None:
        return ""
    if column.kind in SCALE:
        amount = Fraction(value) * SCALE[column.kind]
        return f"{float(amount):.1f}"
    return str(value)


def _cell(column: Column, value: Any) -> Any:
    """Return a value as a cell of CSV."""
    if value is None:
        return ""
    return cell(value) if isinstance(value, str) else _number(column, value)
