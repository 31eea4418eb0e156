"""What stands at a path: what may not be asked about, or is no proper name, is not there.

``pathlib`` raises instead, before Python 3.14, and one such path would end a whole run.
"""

from __future__ import annotations

import os.path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


def is_file(path: Path) -> bool:
    """Tell whether a file is there."""
    return os.path.isfile(path)  # noqa: PTH113


def is_folder(path: Path) -> bool:
    """Tell whether a folder is there."""
    return os.path.isdir(path)  # noqa: PTH112


def is_link(path: Path) -> bool:
    """Tell whether a link is there, whatever it leads to."""
    return os.path.islink(path)  # noqa: PTH114


def is_there(path: Path) -> bool:
    """Tell whether anything is there."""
    return os.path.exists(path)  # noqa: PTH110
