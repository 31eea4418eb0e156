"""What is not text, or has characters that do not belong into it: where, and what was probably meant."""

from __future__ import annotations

import re
from typing import Final

from lampwright.documents.faults import Refused, Slip

RULE: Final = "not-text"
HEAD: Final = 4096
"""Bytes looked at to tell a binary file from text."""
CONTROLS: Final = bytes({*range(32), 127} - {*b"\t\n\r"})
BOM: Final = "\ufeff"
FORBIDDEN: Final = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
"""What YAML does not allow, and the separators and marks that readers and editors disagree about."""
NAMES: Final = {
    "\x00": "NUL",
    "\x85": "next line",
    "\u2028": "line separator",
    "\u2029": "paragraph separator",
    BOM: "byte order mark",
}


def bad_byte(data: bytes, at: int) -> Refused:
    """Refuse a byte that is not UTF-8, at the character where it stands."""
    if slip := _not_text(data):
        return Refused(slip)
    start = len(data[:at].decode("utf-8").removeprefix(BOM))
    meant = data[at : at + 1].decode("cp1252", "replace")
    tip = f"save the file as UTF-8; was this {meant}?" if meant.isalnum() else "save the file as UTF-8"
    slip = Slip(RULE, f"the byte 0x{data[at]:02X} is not UTF-8", start, start + 1, tip)
    return Refused(slip, data.decode("utf-8", "replace").removeprefix(BOM))


def bad_character(text: str) -> Refused:
    """Refuse the first character that may not stand in a file."""
    if slip := _not_text(text[:HEAD].encode()):
        return Refused(slip)
    found = FORBIDDEN.search(text)
    start, char = (found.start(), found[0]) if found else (0, text[:1])
    code = ord(char)
    name = f" ({NAMES[char]})" if char in NAMES else ""
    escape = f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"  # noqa: PLR2004  (two hexadecimal digits)
    tip = f'delete it; where it is meant, write "{escape}" in double quotes'
    slip = Slip(RULE, f"the invisible character U+{code:04X}{name} may not stand here", start, start + 1, tip)
    return Refused(slip, text)


def _not_text(data: bytes) -> Slip | None:
    """Return one plain fault for a file that was never meant to be read as UTF-8."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return Slip(RULE, "this file is UTF-16", 0, 0, "save it as UTF-8")
    head = data[:HEAD]
    if len(head) - len(head.translate(None, CONTROLS)) > 8 + len(head) / 20:
        return Slip(RULE, "this is a binary file, not text", 0, 0)
    return None
