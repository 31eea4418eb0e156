"""Where output goes: results to the one stream, talk to the other; nothing acts on the terminal."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import TYPE_CHECKING

from msgspec.structs import replace

from lampwright.reports import Options
from lampwright.reports.printable import printable
from lampwright.reports.style import CODES, PLAIN, wanted

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from lampwright.documents import Document
    from lampwright.findings import Finding


def write(text: str) -> None:
    """Write a piece of the result; whatever is in it, the terminal gets lines of letters, and colours that are ours."""
    sys.stdout.write(text if text.replace("\n", "").isprintable() else _harmless(text))


def _harmless(text: str) -> str:
    """Return a text with what would act on a terminal as escapes that JSON has too; our own colours stay."""
    import re

    ours = {PLAIN, *(f"\x1b[{code}m" for code in CODES.values())} if options().colour else ()
    kept = "|".join(["\n", *map(re.escape, ours)])
    pieces = re.split(f"({kept})", text)
    return "".join(
        piece if number % 2 or piece.isprintable() else "".join(map(_shown, piece))
        for number, piece in enumerate(pieces)
    )


def _shown(char: str) -> str:
    """Return a character, or the escape that stands for it."""
    if char.isprintable():
        return char
    from json import dumps  # nearly nobody needs it

    return dumps(char)[1:-1]


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
