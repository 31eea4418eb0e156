"""What lies inside: files of a project name files of the same project; others must be allowed by who makes the call."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathlib import Path

ALLOWED: Final = "LAMPWRIGHT_OUTSIDE"
"""Variable of the environment that names folders which files may name and links may lead to, as ``PATH`` names them."""


def inside(path: str | Path, *folders: str | Path) -> bool:
    """Tell whether a file lies in one of the folders, or where it is allowed, once all links are followed."""
    real = os.path.realpath(path)
    allowed = (folder for folder in os.environ.get(ALLOWED, "").split(os.pathsep) if folder)
    return any(_within(real, os.path.realpath(folder)) for folder in (*folders, *allowed))


def _within(path: str, folder: str) -> bool:
    """Tell whether a path without links is a folder or lies in it."""
    return path == folder or path.startswith(folder if folder.endswith(os.sep) else folder + os.sep)
