"""From a file to a document, or to the reasons why it is none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.documents.document import Document
from lampwright.documents.faults import Fault, Limits, Refused, Slip, Unreadable
from lampwright.documents.source import decode, load

if TYPE_CHECKING:
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
        from lampwright.documents.builder import Builder

        builder = Builder(text, limits)
        slips = _slips(builder)
    except Refused as refused:
        raise _unreadable(name, refused.text, [refused.slip]) from None
    if slips:
        raise _unreadable(name, text, slips)
    return Document(name, text, builder.root, builder.marks)


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
