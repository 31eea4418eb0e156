"""Telling what a plugin raised."""

from __future__ import annotations

import importlib
from pathlib import Path
from traceback import extract_tb, format_exception_only

import pluggy

OURS = ("<frozen", *(str(Path(file).parent) for file in (importlib.__file__, pluggy.__file__, __file__)))
"""Where a file name begins that is on the way to a plugin, not in it."""


def told(error: BaseException) -> str:
    """Return an exception on one line, with the file and line it comes from if that is the plugin's affair."""
    text = " ".join(format_exception_only(error)[-1].split())
    if isinstance(error, SyntaxError):
        return f"{text} ({error.filename}:{error.lineno})"
    frames = [frame for frame in extract_tb(error.__traceback__) if not frame.filename.startswith(OURS)]
    return f"{text} ({frames[-1].filename}:{frames[-1].lineno})" if frames else text
