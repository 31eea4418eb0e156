"""Patterns of file names, as project files have them: ``drafts``, ``*.old.yaml``, ``north/**/yard-*.yaml``."""

from __future__ import annotations

import re
from functools import cache
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

TOKENS = {"**/": "(?:[^/]+/)*", "**": ".*", "*": "[^/]*", "?": "[^/]"}


def fits(patterns: Iterable[str], file: str) -> bool:
    """Tell whether a file, or a folder it lies in, fits one of the patterns; names have slashes.

    A pattern without a slash fits a name in any folder, one with a slash is a path from where the patterns begin.
    """
    path = PurePosixPath(file)
    ways = [path, *path.parents][:-1]
    return any(
        _compiled(pattern).fullmatch(way.as_posix() if "/" in pattern.strip("/") else way.name) is not None
        for pattern in patterns
        for way in ways
    )


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    """Return a pattern as a regular expression."""
    pieces = re.split(r"(\*\*/|\*\*|\*|\?)", pattern.removeprefix("./").strip("/"))
    return re.compile("".join(TOKENS.get(piece) or re.escape(piece) for piece in pieces))
