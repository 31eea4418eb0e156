"""From a file to its text: size, encoding, and characters that nobody agrees about."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Final

from lampwright.documents.faults import Refused, Slip

if TYPE_CHECKING:
    from lampwright.documents.faults import Limits

STANDARD_INPUT: Final = Path("-")
PIECE: Final = 1024 * 1024
BOM: Final = "\ufeff"
SUSPECTS: Final = "\x00\x85\u2028\u2029" + BOM
"""NUL, and what readers and editors disagree about: some take it for the end of a line, some see nothing."""


def load(source: Path | bytes, limits: Limits) -> bytes:
    """Return the bytes of a file, unless they are more than the limit. ``Path("-")`` is standard input."""
    if isinstance(source, bytes):
        return _within(limits, len(source), source)
    try:
        if source == STANDARD_INPUT:
            return _pieces(sys.stdin.buffer, limits)
        with source.open("rb", buffering=0) as file:
            _within(limits, os.fstat(file.fileno()).st_size)
            return _pieces(file, limits)
    except OSError as error:
        reason = error.strerror or str(error)
        raise Refused(Slip("unreadable-file", f"this file cannot be read: {reason.lower()}", 0, 0)) from None


def decode(data: bytes) -> str:
    """Return the text; a byte order mark at the beginning is no part of it.

    Other control characters are left to the parser, which looks at every character anyway.
    """
    try:
        text = data.decode("utf-8").removeprefix(BOM)
    except UnicodeDecodeError as error:
        from lampwright.documents.unfit import bad_byte

        raise bad_byte(data, error.start) from None
    if any(suspect in text for suspect in SUSPECTS):
        from lampwright.documents.unfit import bad_character

        raise bad_character(text)
    return text


def _pieces(file: BinaryIO, limits: Limits) -> bytes:
    """Read a file that may never end."""
    pieces: list[bytes] = []
    size = 0
    while piece := file.read(PIECE):
        pieces.append(piece)
        size += len(piece)
        _within(limits, size)
    return b"".join(pieces)


def _within(limits: Limits, size: int, data: bytes = b"") -> bytes:
    """Return ``data``, if a file of this size may be read."""
    if size > limits.size:
        message = f"this file is larger than the {limits.size:,} bytes that are read"
        raise Refused(Slip("over-limit", message, 0, 0, "a plan may be split over several files"))
    return data
