"""From a file to a document, or to the reasons why it is none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.collector import collector_off
from lampwright.documents.document import Document
from lampwright.documents.faults import Fault, Limits, Refused, Slip, Unreadable
from lampwright.documents.source import decode, load
from lampwright.documents.usual import Unusual, usual

if TYPE_CHECKING:
    from array import array
    from pathlib import Path

    from lampwright.documents.builder import Builder

USUAL: Final = Limits()


def read(source: Path | bytes, name: str, limits: Limits = USUAL) -> Document:
    """Read a file into plain values with places.

    ``source`` is a path (``Path("-")``: standard input) or the bytes themselves; ``name`` is what the user calls it.
    Raises ``Unreadable``, with every reason and its place, if the file gives no values.
    """
    try:
        text = decode(load(source, limits))
        with collector_off():
            return Document(name, text, *_values(text, limits))
    except Refused as refused:
        raise _unreadable(name, refused.text, [refused.slip]) from None
    except _Slips as found:
        raise _unreadable(name, text, found.slips) from None


def _values(text: str, limits: Limits) -> tuple[Any, array[int]]:
    """Return root and marks of a text, which the parser is only asked if it is not of the usual kind."""
    try:
        return usual(text, limits)
    except Unusual:
        from lampwright.documents.builder import Builder

        builder = Builder(text, limits)
    if slips := _slips(builder):
        raise _Slips(slips)
    return builder.root, builder.marks


class _Slips(Exception):  # noqa: N818  (never leaves this module)
    """What a builder has met."""

    def __init__(self, slips: list[Slip]) -> None:
        self.slips = slips
        super().__init__(slips)


def _slips(builder: Builder) -> list[Slip]:
    """Let the builder work; return what it met. Raises ``Refused`` at a character that may not stand in a file."""
    from ruamel.yaml.error import YAMLError
    from ruamel.yaml.reader import ReaderError

    try:
        builder.build()
    except Refused as refused:
        return [*builder.slips, refused.slip]
    except ReaderError:
        from lampwright.documents.unfit import bad_character

        raise bad_character(builder.text) from None
    except (YAMLError, AssertionError) as error:  # the pure parser asserts what a directive says
        from lampwright.documents.syntax import explain

        return [*builder.slips, explain(error, builder.text, builder.bracket, builder.last)]
    return builder.slips


def _unreadable(name: str, text: str, slips: list[Slip]) -> Unreadable:
    """Turn slips into faults with lines and columns."""
    document = Document(name, text)
    place = document.lines.place
    return Unreadable([Fault(s.rule, s.message, *place(s.start, s.end), s.tip) for s in slips], document)
