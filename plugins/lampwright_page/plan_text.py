"""The plan's text, line by line, with a way back to what was found in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.page.markup import anchor, text
from lampwright_page.findings import FINDING, LINE, about

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright.project import Result


def plan_text(layout: Layout, result: Result) -> str:
    """Return the text of the plan; nothing if it was not read from a file of the run."""
    document = result.documents.get(layout.plan.file)
    if document is None:
        return ""
    said: dict[int, list[tuple[int, Finding]]] = {}
    for number, (finding, place) in enumerate(about(layout, result), 1):
        if place is not None and finding.spot.file == layout.plan.file:
            said.setdefault(place.line, []).append((number, finding))
    lines = "\n".join(_lines(document.text, said))
    return f'<div class="text">\n{lines}\n</div>'


def _lines(whole: str, said: Mapping[int, list[tuple[int, Finding]]]) -> Iterator[str]:
    """Yield the lines with their numbers, behind each what was found there."""
    for number, line in enumerate(whole.splitlines(), 1):
        kind = ' class="about"' if number in said else ""
        yield f'<a id="{anchor(LINE, str(number))}" href="#{anchor(LINE, str(number))}">{number}</a>'
        yield f"<span{kind}>{text(line) or ' '}</span>"
        for which, finding in said.get(number, ()):
            to = anchor(FINDING, str(which))
            yield f'<a class="said" href="#{to}">{text(f"{finding.level}[{finding.rule}]: {finding.message}")}</a>'
