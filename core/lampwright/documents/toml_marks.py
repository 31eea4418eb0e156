"""Where the keys and values of a TOML file stand; the text is known to be TOML, so only the ends are looked for."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from lampwright.findings import Path

BLANK: Final = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
KEY: Final = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
DOT: Final = re.compile(r"[ \t]*\.[ \t]*")
STRING: Final = re.compile(
    r'''"""(?:[^\\]|\\.)*?"{3,5}(?!")''' + r"""|'{3}.*?'{3,5}(?!')""" + r"""|"(?:[^"\\\n]|\\.)*"|'[^'\n]*\'""",
    re.DOTALL,
)
BARE: Final = re.compile(r"[^,\]}\n#]*[^,\]}\n#\s]")


class Mark(NamedTuple):
    """Where a key stands, and its value, as indices into the text; what has no text of its own has its key's."""

    key: tuple[int, int]
    value: tuple[int, int]


class Marks:
    """The marks of one text by path: ``("tool", "lampwright", "exclude", 1)``."""

    def __init__(self, text: str) -> None:
        """Go through the text once."""
        self.by_path: dict[Path, Mark] = {}
        self._text = text
        self._at = 0
        self._several: dict[Path, int] = {}
        base: Path = ()
        while self._more():
            base = self._header() if text[self._at] == "[" else self._pair(base)

    def _more(self) -> bool:
        """Go to what comes next; tell whether there is anything."""
        self._skip()
        return self._at < len(self._text)

    def _skip(self) -> None:
        self._at = BLANK.match(self._text, self._at).end()  # type: ignore[union-attr]  # it fits the empty text too

    def _take(self, pattern: re.Pattern[str]) -> tuple[int, int]:
        """Return the span of what stands here, and go behind it."""
        found = pattern.match(self._text, self._at)
        if found is None:
            raise ValueError(f"what is at {self._at} in this file is not understood")
        self._at = found.end()
        return found.span()

    def _header(self) -> Path:
        """Read ``[a.b]`` or ``[[a.b]]``; return the path of what stands below it."""
        brackets = 2 if self._text.startswith("[[", self._at) else 1
        self._at += brackets
        self._skip()
        path = self._keys((), several=brackets > 1)
        self._skip()
        self._at += brackets
        return path

    def _pair(self, base: Path) -> Path:
        """Read ``a.b = value``; return the path it stands below."""
        path = self._keys(base)
        self._skip()
        self._at += 1  # the sign
        self._skip()
        self.by_path[path] = Mark(self.by_path[path].key, self._value(path))
        return base

    def _keys(self, base: Path, *, several: bool = False) -> Path:
        """Read keys with dots between; return the path they lead to, through the last of each list of tables."""
        path = base
        while True:
            start, end = self._take(KEY)
            path = (*path, _plain(self._text[start:end]))
            self.by_path.setdefault(path, Mark((start, end), (start, end)))
            last = DOT.match(self._text, self._at) is None
            if last and several:
                self._several[path] = self._several.get(path, -1) + 1
            if path in self._several:
                path = (*path, self._several[path])
                self.by_path.setdefault(path, Mark((start, end), (start, end)))
            if last:
                return path
            self._take(DOT)

    def _value(self, path: Path) -> tuple[int, int]:
        """Read a value with all that is in it; return its span."""
        start, first = self._at, self._text[self._at]
        if first in "\"'":
            return self._take(STRING)
        if first not in "[{":
            return self._take(BARE)
        self._at += 1
        self._skip()
        number = 0
        while self._text[self._at] not in "]}":
            self._entry(path, number if first == "[" else None)
            number += 1
        self._at += 1
        return start, self._at

    def _entry(self, path: Path, number: int | None) -> None:
        """Read one entry of a list, or of a map in braces, and the comma behind it."""
        if number is None:
            self._pair(path)
        else:
            span = self._value((*path, number))
            self.by_path[(*path, number)] = Mark(span, span)
        self._skip()
        if self._text[self._at] == ",":
            self._at += 1
            self._skip()


def _plain(key: str) -> str:
    """Return a key without its quotes."""
    if key[0] not in "\"'":
        return key
    from tomllib import loads

    return next(iter(loads(f"{key} = 0")))
