"""Spans of years: when a form was in use, when a plan is set."""

from __future__ import annotations

from msgspec import Struct

BEGINNING = 0
END = 9999


class Years(Struct, frozen=True):
    """A span of whole years, both ends counted; an open end is unlimited. Spans are equal however they are written."""

    first: int = BEGINNING
    last: int = END
    text: str = ""

    def __eq__(self, other: object) -> bool:
        """Tell whether the years are the same."""
        return isinstance(other, Years) and (self.first, self.last) == (other.first, other.last)

    def __hash__(self) -> int:
        """Return what equal spans share."""
        return hash((self.first, self.last))

    @classmethod
    def parse(cls, text: object) -> Years:
        """Read ``1978``, ``1926..``, ``..1966``, ``1974..1979``; a date counts as its year.

        Raises ValueError if the text is no span or ends before it begins.
        """
        written = str(text).strip()
        start, dots, end = written.partition("..")
        first = _year(start) if start else BEGINNING
        last = (_year(end) if end else END) if dots else first
        if not written or last < first:
            raise ValueError(f"{written!r} is no span of years; expected something like 1978, 1926.. or 1974..1979")
        return cls(first, last, written)

    def covers(self, other: Years) -> bool:
        """Tell whether all of ``other`` lies inside."""
        return self.first <= other.first and other.last <= self.last

    def meets(self, other: Years) -> bool:
        """Tell whether the two have a year in common."""
        return self.first <= other.last and other.first <= self.last

    def shared(self, other: Years) -> Years | None:
        """Return the years in both, or None if there are none."""
        if not self.meets(other):
            return None
        return Years(max(self.first, other.first), min(self.last, other.last))

    def limit(self, other: Years) -> str:
        """Say in words which end keeps ``other`` out: ``from 1926`` or ``until 1966``."""
        return f"from {self.first}" if other.first < self.first else f"until {self.last}"

    def __str__(self) -> str:
        """Return the span as it is written."""
        if self.text:
            return self.text
        if self.first == self.last:
            return str(self.first)
        return f"{self.first or ''}..{'' if self.last == END else self.last}"


ALWAYS = Years()


def _year(text: str) -> int:
    """Return the year of ``1940`` or ``1940-10-06``."""
    year, *rest = text.strip().split("-")
    if len(year) != 4 or not year.isdecimal() or len(rest) > 2 or not all(part.isdecimal() for part in rest):  # noqa: PLR2004
        raise ValueError(f"{text!r} is no year; expected four digits, as in 1926")
    return int(year)
