"""Writing HTML: everything from a file is escaped, and nothing in it acts."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

from lampwright.reports.printable import printable

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence


def text(value: object) -> str:
    """Return a text as it may stand in an element or attribute; what is not seen, or would act, is shown."""
    return escape(printable(str(value)))


def anchor(*words: str) -> str:
    """Return an id that is the same for the same words and differs for others, whatever is in them."""
    return "-".join("".join(map(_plain, word)) for word in words)


def link(words: object, *to: str) -> str:
    """Return a link to a place of the page, given by the words of its id."""
    return f'<a href="#{anchor(*to)}">{text(words)}</a>'


def paragraph(words: object, kind: str = "") -> str:
    """Return a paragraph; ``kind`` is its class."""
    return f"<p{_class(kind)}>{text(words)}</p>"


def table(
    heads: Sequence[str], rows: Iterable[Sequence[str]], *, right: Collection[int] = (), kind: str = "", title: str = ""
) -> str:
    """Return a table, its cells markup already; columns of numbers are set to the right.

    It can be scrolled by itself where it is wider than the page.
    """
    head = "".join(f'<th scope="col"{_right(number in right)}>{text(one)}</th>' for number, one in enumerate(heads))
    body = "".join(
        f"<tr>{''.join(f'<td{_right(number in right)}>{cell}</td>' for number, cell in enumerate(row))}</tr>\n"
        for row in rows
    )
    caption = f"<caption>{text(title)}</caption>" if title else ""
    above = f"<thead><tr>{head}</tr></thead>" if any(heads) else ""
    label = text(title or "table")
    whole = f"<table{_class(kind)}>{caption}{above}<tbody>\n{body}</tbody></table>"
    return f'<div class="wide" role="region" aria-label="{label}" tabindex="0">{whole}</div>'


def data(value: Any) -> str:
    """Return JSON as it may stand in a script element: no sign in it ends the element or begins another."""
    import json  # only a page with data pays for it

    said = json.dumps(value, ensure_ascii=True, separators=(",", ":"))
    return said.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _class(kind: str) -> str:
    return f' class="{text(kind)}"' if kind else ""


def _right(right: bool) -> str:  # noqa: FBT001  (what a column is)
    return ' class="number"' if right else ""


def _plain(char: str) -> str:
    """Return a character as it may stand in an id, told apart from every other."""
    return char if char.isascii() and (char.isalnum() or char == "-") else f"_{ord(char):x}_"
