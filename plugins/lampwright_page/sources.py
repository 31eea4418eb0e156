"""The rulebook's sources, and how well what rests on each is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.page.markup import paragraph, table, text

if TYPE_CHECKING:
    from lampwright.layout import Layout

HEADS = ("source", "data", "known as", "what it is")


def sources(layout: Layout) -> str:
    """Return what the plan's rulebook rests on; nothing without one."""
    book = layout.rulebook
    if book is None:
        return ""
    from lampwright.rulebooks.reliance import resting
    from lampwright.rulebooks.sources import cited

    rows = [
        (text(name), str(number), text(cited(book, name).basis), text(cited(book, name).text))
        for name, number in resting(book).most_common()
    ]
    said = f"{book.title or book.id}: how many data rest on each source, those that carry most first."
    return paragraph(said) + table(HEADS, rows, right={1}, title="Sources of the rulebook")
