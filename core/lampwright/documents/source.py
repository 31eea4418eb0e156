"""From a file to its text: size, encoding, and characters that nobody agrees about."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Final

from lampwright.documents.faults import Refused, Slip

if TYPE_CHECKING:
    from io import FileIO

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
            return _pieces(_standard_input(), limits)
        with open(source, "rb", buffering=0, opener=_at_once) as file:
            return _unchanged(file, limits)
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


def _standard_input() -> BinaryIO:
    """Return standard input."""
    if sys.stdin is None:
        raise OSError("standard input is closed")
    return sys.stdin.buffer


def _at_once(path: str, flags: int) -> int:
    """Open a file without waiting for anybody: a pipe that nobody writes into is at its end."""
    number = os.open(path, flags | getattr(os, "O_NONBLOCK", 0))
    os.set_blocking(number, True)
    return number


def _unchanged(file: FileIO, limits: Limits) -> bytes:
    """Read an open file, which must not change meanwhile: half of it might be old and half new."""
    before = os.fstat(file.fileno())
    _within(limits, before.st_size)
    data = _pieces(file, limits)
    if not data and stat.S_ISFIFO(before.st_mode):
        raise Refused(Slip("unreadable-file", "this is a pipe, and nobody writes into it", 0, 0))
    after = os.fstat(file.fileno())
    if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns) and stat.S_ISREG(before.st_mode):
        raise Refused(Slip("unreadable-file", "this file has changed while it was read", 0, 0, "check it again"))
    return data


def _pieces(file: BinaryIO | FileIO, limits: Limits) -> bytes:
    """Read a file that may never end; what comes behind a NUL does not matter any more."""
    pieces: list[bytes] = []
    size = 0
    while piece := file.read(PIECE):
        size += len(piece)
        _within(limits, size)
        if b"\0" in piece:
            pieces.append(piece[: piece.index(b"\0") + 1])
            break
        pieces.append(piece)
    return b"".join(pieces)


def _within(limits: Limits, size: int, data: bytes = b"") -> bytes:
    """Return ``data``, if a file of this size may be read."""
    if size > limits.size:
        message = f"this file is larger than the {limits.size:,} bytes that are read"
        raise Refused(Slip("over-limit", message, 0, 0, "a plan may be split over several files"))
    return data
