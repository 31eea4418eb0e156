"""From a file to its text: size, encoding, and characters that YAML does not allow."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Final

from lampwright.documents.faults import Refused, Slip

if TYPE_CHECKING:
    from lampwright.documents.faults import Limits

STANDARD_INPUT: Final = Path("-")
PIECE: Final = 1024 * 1024
HEAD: Final = 4096
"""Bytes looked at to tell a binary file from text."""
CONTROLS: Final = bytes({*range(32), 127} - {*b"\t\n\r"})
BOM: Final = "\ufeff"
FORBIDDEN: Final = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
"""What YAML does not allow, and with it the separators and marks that readers and editors disagree about."""
NAMES: Final = {
    "\x00": "NUL",
    "\x85": "next line",
    "\u2028": "line separator",
    "\u2029": "paragraph separator",
    BOM: "byte order mark",
}


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


def decode(data: bytes) -> tuple[str, Slip | None]:
    """Return the text, and what is wrong with it as a text.

    With a slip, the text is fit to be shown: what does not belong into it is replaced, and it is empty if the file
    is not text at all. A byte order mark at the beginning is no part of the text.
    """
    try:
        text = data.decode("utf-8").removeprefix(BOM)
    except UnicodeDecodeError as error:
        return _not_text(data) or _bad_byte(data, error.start)
    bad = FORBIDDEN.search(text)
    if bad is None:
        return text, None
    return _not_text(data) or (FORBIDDEN.sub("\ufffd", text), _forbidden(bad[0], bad.start()))


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


def _not_text(data: bytes) -> tuple[str, Slip] | None:
    """Return one plain fault for a file that was never meant to be read as UTF-8."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "", Slip("not-text", "this file is UTF-16", 0, 0, "save it as UTF-8")
    head = data[:HEAD]
    if len(head) - len(head.translate(None, CONTROLS)) > 8 + len(head) / 20:
        return "", Slip("not-text", "this is a binary file, not text", 0, 0)
    return None


def _bad_byte(data: bytes, at: int) -> tuple[str, Slip]:
    """Return the fault of a byte that is not UTF-8, at the character where it stands."""
    start = len(data[:at].decode("utf-8").removeprefix(BOM))
    text = FORBIDDEN.sub("\ufffd", data.decode("utf-8", "replace").removeprefix(BOM))
    meant = data[at : at + 1].decode("cp1252", "replace")
    tip = f"save the file as UTF-8; was this {meant}?" if meant.isalnum() else "save the file as UTF-8"
    return text, Slip("not-text", f"the byte 0x{data[at]:02X} is not UTF-8", start, start + 1, tip)


def _forbidden(character: str, at: int) -> Slip:
    """Return the fault of a character that may not stand in a file."""
    code = ord(character)
    name = f" ({NAMES[character]})" if character in NAMES else ""
    escape = f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"  # noqa: PLR2004  (two hexadecimal digits)
    tip = f'delete it; where it is meant, write "{escape}" in double quotes'
    return Slip("not-text", f"the invisible character U+{code:04X}{name} may not stand here", at, at + 1, tip)
