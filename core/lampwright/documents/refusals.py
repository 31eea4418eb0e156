"""What YAML has and a plan has not, in words: each with its place and what to write instead."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from lampwright.documents.faults import Slip, shown

if TYPE_CHECKING:
    from lampwright.documents.places import Lines

RULE: Final = "unsupported-yaml"
QUOTES: Final = "where it is text, put it in quotes"
LIKE: Final = f"say it with `like:`; {QUOTES}"
WORD: Final = re.compile(r"[^\s,\[\]{}]+")


def adorned(event: Any, text: str) -> Slip:
    """Refuse an anchor or a tag before a value."""
    start = event.start_mark.index
    word = WORD.match(text, start)
    end = word.end() if word else start + 1
    if event.anchor:
        return Slip(RULE, f"anchors are not read (&{shown(event.anchor)})", start, end, LIKE)
    return Slip(RULE, f"tags are not read ({shown(text[start:end])})", start, end, f"leave it out; {QUOTES}")


def alias(event: Any) -> Slip:
    """Refuse ``*name``."""
    start, end = event.start_mark.index, event.end_mark.index
    return Slip(RULE, f"aliases are not read (*{shown(event.anchor)})", start, end, LIKE)


def document(event: Any, text: str, *, first: bool) -> Slip | None:
    """Refuse a second document in one file, and directives other than ``%YAML 1.2``."""
    start, end = event.start_mark.index, event.end_mark.index
    if not first:
        return Slip(RULE, "a second document begins here", start, end, "put it in a file of its own")
    if event.tags or (event.version and tuple(event.version) != (1, 2)):
        end = start + len(text[start:end].splitlines()[0])
        return Slip(RULE, "this directive is not read", start, end, "leave it out; files are read as YAML 1.2")
    return None


def odd_key(event: Any) -> Slip:
    """Refuse an empty key or a merge."""
    start, end = event.start_mark.index, event.end_mark.index
    if event.value:
        return Slip(RULE, "merge keys are not read (<<)", start, end, LIKE)
    return Slip(RULE, "a key is empty", start, end, "every value in a map needs a name")


def key_is_no_text(event: Any) -> Slip:
    """Refuse a map or list that stands where a key is due."""
    start = event.start_mark.index
    tip = "a key is a plain name; brackets in it need quotes"
    return Slip(RULE, "a map or a list cannot be a key", start, max(start + 1, event.end_mark.index), tip)


def duplicate(event: Any, lines: Lines, first: int) -> Slip:
    """Report a key that its map already has, at index ``first``."""
    start, end = event.start_mark.index, event.end_mark.index
    line, column = lines.position(first)
    where = f"in column {column}" if line == lines.position(start)[0] else f"on line {line}"
    message = f"the key {shown(event.value)} is given twice, first {where}"
    return Slip("duplicate-key", message, start, end, "keep one of them, or give one another name")


def too_long(start: int, text: str, limit: int) -> Slip:
    """Refuse a scalar that is too long; often its closing quote is missing."""
    tip = "is its closing quote missing?" if text[start : start + 1] in {"'", '"'} else ""
    return Slip("over-limit", f"this text is longer than {limit:,} characters", start, start + 1, tip)


def too_deep(event: Any, limit: int) -> Slip:
    """Refuse a map or list inside too many others."""
    start = event.start_mark.index
    return Slip("over-limit", f"maps and lists are nested more than {limit} deep", start, start + 1)


def too_many(start: int, limit: int) -> Slip:
    """Refuse a file that holds too much."""
    return Slip("over-limit", f"there are more than {limit:,} keys and values", start, start)


def empty(text: str) -> Slip:
    """Refuse a file without a value."""
    what = "holds nothing but comments" if "#" in text else "is empty"
    return Slip("empty-file", f"this file {what}", 0, 0)
