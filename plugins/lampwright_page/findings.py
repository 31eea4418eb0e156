"""What a check found: each finding with its reason, its source, and a way to its place in the plan's text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.page.markup import anchor, paragraph, text
from lampwright.reports.contract import ordered, placed
from lampwright.reports.summary import sentence

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.documents import Place
    from lampwright.findings import Finding, Spot
    from lampwright.layout import Layout
    from lampwright.project import Result

LINE, FINDING = "line", "finding"
"""First words of the ids of lines and of findings."""


def about(layout: Layout, result: Result) -> list[tuple[Finding, Place | None]]:
    """Return the findings about a plan, or about no file, with their places, in the order of the text."""
    files = {layout.plan.file, ""}
    return [
        (finding, place)
        for finding, place in ordered(result)
        if finding.spot.file in files or any(spot.file in files for spot in finding.related)
    ]


def findings(layout: Layout, result: Result) -> str:
    """Return all findings about a plan, and the sentence about the whole."""
    found = about(layout, result)
    told = "\n".join(_finding(number, finding, layout, result) for number, (finding, _) in enumerate(found, 1))
    return paragraph(sentence(result)) + told


def _finding(number: int, finding: Finding, layout: Layout, result: Result) -> str:
    """Return one finding."""
    head = f'<span class="level">{text(f"{finding.level}[{finding.rule}]")}</span> {text(finding.message)}'
    said = "".join(f"<dt>{name}</dt><dd>{value}</dd>" for name, value in _notes(finding, layout, result))
    which = anchor(FINDING, str(number))
    return f'<div class="finding {finding.level}" id="{which}"><p>{head}</p><dl>{said}</dl></div>'


def _notes(finding: Finding, layout: Layout, result: Result) -> Iterator[tuple[str, str]]:
    """Yield what stands below the message, each with its name."""
    for number, spot in enumerate((finding.spot, *finding.related)):
        if spot.file:
            yield "besides" if number else "at", _where(spot, layout, result)
    if finding.because:
        yield "because", text(finding.because)
    for source in dict.fromkeys(map(str, finding.citations)):
        yield "source", text(source)
    if finding.tip:
        yield "tip", text(finding.tip)
    yield "more", f"<code>{text(f'lampwright explain {finding.rule}')}</code>"


def _where(spot: Spot, layout: Layout, result: Result) -> str:
    """Return the place of a spot; in the plan it leads there."""
    place = placed(spot, result.documents)
    label = f" {text(spot.label)}" if spot.label else ""
    if place is None:
        return text(spot.file) + label
    if spot.file == layout.plan.file:
        return f'<a href="#{anchor(LINE, str(place.line))}">line {place.line}</a>{label}'
    return text(f"{spot.file}:{place.line}") + label
