"""What a finding is known by from one run to the next, and how its file is named in a report."""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING
from urllib.parse import quote

from lampwright.reports import ordered

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.documents import Place
    from lampwright.findings import Finding
    from lampwright.project import Result


def known(result: Result) -> Iterator[tuple[Finding, Place | None, str]]:
    """Yield the findings in order, each with its place and its fingerprint.

    The fingerprint follows from the rule, the file, the names that lead to the place, and the message: not from
    lines, nor from positions in a list. Equal ones are numbered in their order.
    """
    seen: dict[str, int] = {}
    for finding, place in ordered(result):
        names = [step for step in finding.spot.path if isinstance(step, str)]
        text = "\0".join([finding.rule, posix(finding.spot.file), *names, finding.message])
        mark = sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:24]
        seen[mark] = seen.get(mark, 0) + 1
        yield finding, place, f"{mark}:{seen[mark]}"


def posix(file: str) -> str:
    """Return a file with slashes, and without the dot that stands for the folder one is in."""
    return file.replace("\\", "/").removeprefix("./")


def uri(file: str) -> str:
    """Return a file as a reference that may stand in a report."""
    path = posix(file)
    return ("file://" if path.startswith("/") else "") + quote(path, errors="surrogateescape")
