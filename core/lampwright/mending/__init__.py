"""From findings to mended files: which fixes are made, and that they do no harm."""

from __future__ import annotations

from lampwright.mending.mend import Mended, mend

__all__ = ["Mended", "mend"]
