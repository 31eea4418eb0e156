"""What an unquoted word of a file stands for: YAML 1.2, and nothing that was written is lost."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from decimal import Decimal

Scalar = "str | int | Decimal | bool | None"

WORDS: Final[dict[str, bool | None]] = {"true": True, "false": False, "null": None, "~": None, "": None}
INTEGER: Final = re.compile(r"0|-?[1-9][0-9]{0,17}")
DECIMAL: Final = re.compile(r"-?(?:0|[1-9][0-9]{0,17})\.[0-9]{1,18}")


class Plain(dict[str, "str | int | Decimal | bool | None"]):
    """What each unquoted scalar stands for, worked out when it is first met; equal ones share one object."""

    def __missing__(self, text: str) -> str | int | Decimal | bool | None:
        """Work out a new one."""
        value = self[text] = plain(text)
        return value


def plain(text: str) -> str | int | Decimal | bool | None:
    """Return what an unquoted scalar stands for.

    A number only if ``str`` gives back what was written: ``017``, ``1_000``, ``0x40``, ``1e3``, ``-0`` stay text,
    and so does a number of more than 18 digits on one side of the point. ``on``, ``off``, ``yes``, ``no`` are text.
    """
    if text in WORDS:
        return WORDS[text]
    if text[0] in "-0123456789":
        if INTEGER.fullmatch(text):
            return int(text)
        if DECIMAL.fullmatch(text):
            return _decimal(text)
    return text


def _decimal(text: str) -> Decimal | str:
    """Return a decimal number; one so small that Python would print it with an exponent stays text."""
    from decimal import Decimal

    value = Decimal(text)
    return value if str(value) == text else text
