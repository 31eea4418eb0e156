"""From the parser's events to plain values, in one loop, within limits."""

from __future__ import annotations

import re
from array import array
from typing import TYPE_CHECKING, Any, Final

from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from lampwright.documents import refusals
from lampwright.documents.document import entries
from lampwright.documents.events import Feed, events
from lampwright.documents.faults import CAP, Refused, Slip
from lampwright.documents.places import Lines
from lampwright.documents.scalars import Plain

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.documents.faults import Limits

AHEAD: Final = 64 * 1024
"""Characters a parser may have read ahead of its last event without being lost in one scalar."""
GAP: Final = r"(?:[ \t\r\n]+|#[^\r\n]*|%YAML [0-9.]+|(?:[-?:]|---|\.\.\.)(?=[ \t\r\n])|[\[\]{},])*+"
"""What may stand between two scalars."""
ODD_KEYS: Final = frozenset({"", "<<"})
"""Keys that are looked at twice."""


class Builder:
    """Builds the values of one text and marks where they stand (see ``Document``); notes duplicate keys as slips."""

    def __init__(self, text: str, limits: Limits) -> None:
        self.text = text
        self.limits = limits
        self.marks = array("I")
        self.root: Any = None
        self.slips: list[Slip] = []
        self._open: list[tuple[Any, Any, int]] = []
        """Of every open map or list: what it stands in, how that takes a value, and the mark to set at the end."""
        self._lines = Lines(text)
        self._counted = 0
        self._gap = 0

    def build(self) -> None:
        """Fill ``root`` and ``marks``. Raises ``Refused`` or the parser's own error."""
        root = self._values(events(Feed(self.text, self._watch)))
        if not root or (root[0] is None and self.marks[0] == self.marks[1]):
            raise Refused(refusals.empty(self.text))
        self.root = root[0]

    @property
    def bracket(self) -> int | None:
        """Index of the ``[`` or ``{`` that is innermost open; None if there is none."""
        start = self.marks[self._open[-1][2] - 1] if self._open else len(self.text)
        return start if self.text[start : start + 1] in {"[", "{"} else None

    @property
    def last(self) -> tuple[int, int]:
        """Start and end of the scalar just read; no span of anything if a map or list was."""
        return (self.marks[-2], self.marks[-1]) if self.marks else (0, 0)

    def _values(self, take: Callable[[], Any]) -> list[Any]:  # noqa: C901, PLR0912, PLR0915  (calls cost)
        """Return a list of the root value; nothing is in it if the stream has none.

        ``here`` is the map or list being filled. A list is filled through ``add``; in a map ``add`` is None, and
        ``key`` is the key that waits for its value.
        """
        marks, longest, plain = self.marks, self.limits.scalar, Plain()
        mark, push, pop = marks.append, self._open.append, self._open.pop
        adorned = "&" in self.text or "!" in self.text
        root: list[Any] = []
        here: Any = root
        add: Any = root.append
        key: str | None = None
        value: Any
        while True:
            event = take()
            kind = type(event)
            if kind is ScalarEvent:
                mark(event.start_mark.index)
                mark(event.end_mark.index)
                value = event.value
                if adorned and (event.anchor or event.tag):
                    raise Refused(refusals.adorned(event, self.text))
                if len(value) > longest:
                    raise Refused(refusals.too_long(marks[-2], self.text, longest))
                if add is not None:
                    add(value if event.style else plain[value])
                elif key is None:
                    key = self._odd_key(event, here) if value in here or value in ODD_KEYS else value
                else:
                    here[key] = value if event.style else plain[value]
                    key = None
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                end = event.end_mark.index
                mark(end if end > event.start_mark.index else marks[-1])  # a block has no end of its own
                here, add, opened = pop()
                marks[opened] = len(marks)
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                if event.anchor or event.tag:
                    raise Refused(refusals.adorned(event, self.text))
                if len(self._open) >= self.limits.depth:
                    raise Refused(refusals.too_deep(event, self.limits.depth))
                value = [] if kind is SequenceStartEvent else {}
                if add is not None:
                    add(value)
                elif key is None:
                    raise Refused(refusals.key_is_no_text(event))
                else:
                    here[key] = value
                    key = None
                mark(event.start_mark.index)
                push((here, add, len(marks)))
                mark(0)
                here, add = value, None if kind is MappingStartEvent else value.append
            elif kind is StreamEndEvent:
                return root
            else:
                self._aside(event, root)

    def _watch(self, had: int) -> None:
        """Stop the parser, which has read ``had`` characters, if it is lost in a scalar or has found too much."""
        if len(self.marks) != self._counted:
            self._counted = len(self.marks)
            self._gap = self.marks[-1] or self.marks[-2]  # 0: a map or list has just begun
            if self._counted > 2 * self.limits.nodes:
                raise Refused(refusals.too_many(self._gap, self.limits.nodes))
        elif had - self._gap > self.limits.scalar + AHEAD:
            gap = re.compile(GAP).match(self.text, self._gap)
            self._gap = gap.end() if gap else self._gap
            if had - self._gap > self.limits.scalar + AHEAD:
                raise Refused(refusals.too_long(self._gap, self.text, self.limits.scalar))

    def _odd_key(self, event: Any, here: dict[str, Any]) -> str:
        """Note a key that was there before and give it a name of its own; refuse an empty one or a merge."""
        key: str = event.value
        if key not in here:
            if key and event.style:
                return key
            raise Refused(refusals.odd_key(event))
        first = next(at for step, at, _ in entries(here, self.marks, self._open[-1][2] - 1) if step == key)
        self.slips.append(refusals.duplicate(event, self._lines, self.marks[first]))
        if len(self.slips) == CAP:
            raise Refused(self.slips.pop())
        return f"{key} {len(self.marks)}"

    def _aside(self, event: Any, root: list[Any]) -> None:
        """Refuse what is neither value nor structure, but for the frame of one document."""
        if isinstance(event, AliasEvent):
            raise Refused(refusals.alias(event))
        if isinstance(event, DocumentStartEvent) and (slip := refusals.document(event, self.text, first=not root)):
            raise Refused(slip)
