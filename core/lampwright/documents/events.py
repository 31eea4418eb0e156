"""The YAML parser: the C one if it is there, fed piece by piece so that it can be stopped."""

from __future__ import annotations

import sys
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable


class Feed:
    """A text as the stream that a parser reads from.

    ``watch`` is told before each piece how many characters the parser has had so far. What it raises comes out of
    the parser, so that a limit costs nothing between two pieces.
    """

    def __init__(self, text: str, watch: Callable[[int], None]) -> None:
        self.text = text
        self.watch = watch
        self.had = 0

    def read(self, size: int) -> str:
        """Return the next piece; nothing at the end."""
        self.watch(self.had)
        piece = self.text[self.had : self.had + size]
        self.had += len(piece)
        return piece


def events(feed: Feed) -> Callable[[], Any]:
    """Return what gives the next event at each call, and at last the end of the stream."""
    try:
        from ruamel.yaml.cyaml import CParser  # type: ignore[attr-defined]
    except ImportError:
        _slow()
        from ruamel.yaml import YAML

        stream: Any = YAML(typ="safe", pure=True).parse(feed)
        return stream.__next__  # type: ignore[no-any-return]
    parser: Any = CParser(feed)
    return parser.get_event  # type: ignore[no-any-return]


@cache
def _slow() -> None:
    """Say once that the C parser is missing."""
    sys.stderr.write("lampwright: the C reader of ruamel.yaml is not installed, so files are read slowly\n")
