"""Values as YAML: words plain where they read back as themselves, maps and lists in brackets or in lines."""

from __future__ import annotations

import json
import re
from typing import Any, Final

from lampwright.documents.scalars import plain

PLAIN: Final = re.compile(r"[\w.][\w .+/()°%*=-]*")
"""Words that need no quotes anywhere. A colon is not among them: an old C parser refuses it inside brackets."""
WIDE: Final = 100
"""Longest map or list in brackets that is put on one line."""
STEP: Final = "  "
NAMES: Final = {True: "true", False: "false", None: "null"}


def scalar(value: Any, quote: str = "", *, key: bool = False) -> str:
    """Return a value that is neither map nor list as it is written; text in the given quotes if it can be."""
    if not isinstance(value, str):
        return NAMES[value] if value is None or isinstance(value, bool) else str(value)
    if quote == "'" and value.isprintable():
        return "'" + value.replace("'", "''") + "'"
    bare = PLAIN.fullmatch(value) and value[-1] != " " and (key or plain(value) == value)
    if quote or not bare:
        return json.dumps(value, ensure_ascii=not value.isprintable())
    return value


def flow(value: Any) -> str:
    """Return any value in brackets, on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{scalar(key, key=True)}: {flow(held)}" for key, held in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(held) for held in value) + "]"
    return scalar(value)


def entry(key: str, value: Any, indent: str, end: str) -> str:
    """Return a key with its value as a block has it, without indent before or line end behind."""
    return f"{scalar(key, key=True)}:{_behind(value, indent, end)}"


def item(value: Any, indent: str, end: str) -> str:
    """Return an item of a list as a block has it, without indent before or line end behind."""
    return f"- {flow(value)}" if _fits(value, indent) or not isinstance(value, dict) else _compact(value, indent, end)


def _compact(value: dict[str, Any], indent: str, end: str) -> str:
    """Return a map that stands behind a dash."""
    inner = indent + STEP
    return "- " + f"{end}{inner}".join(entry(key, held, inner, end) for key, held in value.items())


def _behind(value: Any, indent: str, end: str) -> str:
    """Return a value as it stands behind its key: on the line, or below it."""
    inner = indent + STEP
    if _fits(value, inner):
        return f" {flow(value)}"
    lines = (
        [entry(key, held, inner, end) for key, held in value.items()]
        if isinstance(value, dict)
        else [item(held, inner, end) for held in value]
    )
    return "".join(f"{end}{inner}{line}" for line in lines)


def _fits(value: Any, indent: str) -> bool:
    """Tell whether a value is put on one line: it is short, and no map that holds maps."""
    if not isinstance(value, dict | list) or not value:
        return True
    return not (isinstance(value, dict) and _deep(value)) and len(indent) + len(flow(value)) <= WIDE


def _deep(value: dict[str, Any]) -> bool:
    """Tell whether a map holds maps, or lists of them."""
    lists = (held if isinstance(held, list) else [held] for held in value.values())
    return any(isinstance(one, dict) and one for held in lists for one in held)
