"""Where output goes: results to the one stream, talk to the other; nothing acts on the terminal."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from lampwright.reports import Options
from lampwright.reports.printable import printable
from lampwright.reports.style import wanted

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from lampwright.documents import Document
    from lampwright.findings import Finding


def write(text: str) -> None:
    """Write a piece of the result."""
    sys.stdout.write(text)


def say(text: str) -> None:
    """Tell the user something beside the result, one line for each line of the text; it may be that nobody hears it."""
    with suppress(OSError):
        for line in text.splitlines():
            sys.stderr.write(f"{printable(line)}\n")


def show(
    findings: Iterable[Finding],
    documents: Mapping[str, Document],
    indent: str = "",
    *,
    explain: bool = True,
    to: Callable[[str], object] = write,
) -> None:
    """Write findings as a report in text has them, each followed by an empty line."""
    from lampwright.reports.text import told

    usual = options()
    for finding in findings:
        for line in told(finding, documents, replace(usual, width=usual.width - len(indent)), explain=explain):
            to(f"{indent}{line}".rstrip() + "\n")
        to("\n")


def options() -> Options:
    """Return how this call's output is wanted."""
    return Options(colour=wanted(os.environ, terminal=sys.stdout.isatty()))
