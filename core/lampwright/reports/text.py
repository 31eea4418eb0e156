"""The report a person reads: frames, reasons, and one line about the whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.reports.capped import remainders
from lampwright.reports.contract import ordered
from lampwright.reports.printable import printable, wrapped
from lampwright.reports.style import Style
from lampwright.reports.summary import sentence

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from lampwright.documents import Document
    from lampwright.findings import Finding
    from lampwright.project import Result
    from lampwright.reports.contract import Options

HANGING = " " * 4


def report(result: Result, write: Callable[[str], object], options: Options) -> None:
    """Print every finding with its frames, then the summary."""
    for finding, _ in ordered(result):
        for line in told(finding, result.documents, options):
            write(f"{line}\n")
        write("\n")
    if result.unshown:
        for line in remainders(result):
            write(f"{printable(line)}; --max-findings 0 shows all\n")
        write("\n")
    for line in wrapped(printable(sentence(result)), options.width):
        write(f"{line}\n")


def told(
    finding: Finding, documents: Mapping[str, Document], options: Options, *, explain: bool = True
) -> Iterator[str]:
    """Yield the lines that tell of one finding, with or without the hint where its rule is explained."""
    from lampwright.reports.frames import Frames  # nothing found is not to pay for it

    style = Style(colour=options.colour)
    yield from _head(finding, style, options.width)
    frames = Frames(finding, documents, style, options.width)
    yield from frames
    hint = [("explain", f"lampwright explain {finding.rule}")] if explain else []
    for name, text in [*_notes(finding), *hint]:
        head = f"{' ' * frames.gutter} = {name}: "
        for number, line in enumerate(wrapped(printable(text), options.width - len(head))):
            yield (" " * len(head) if number else style("frame", head)) + line


def _head(finding: Finding, style: Style, width: int) -> Iterator[str]:
    """Yield the clause that says what is wrong."""
    kind = f"{finding.level}[{finding.rule}]"
    first, *rest = wrapped(printable(f"{kind}: {finding.message}"), width, HANGING)
    yield style(str(finding.level), kind) + style("strong", first.removeprefix(kind))
    for line in rest:
        yield style("strong", line)


def _notes(finding: Finding) -> Iterator[tuple[str, str]]:
    """Yield what stands below the frames, each with its name."""
    if finding.because:
        yield "because", finding.because
    for source in dict.fromkeys(map(str, finding.citations)):
        yield "source", source
    if finding.tip:
        yield "tip", finding.tip
