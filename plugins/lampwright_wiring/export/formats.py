"""The formats that tables are exported in: one entry each, read when it is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lampwright.layout import Layout


class Refused(ValueError):  # noqa: N818  (it is an answer)
    """What keeps a plan from being exported, as a sentence for the user."""


class Wanted(Struct, frozen=True):
    """What a call asks of an export: the ``signals`` (none: all), and how signals without an address get one.

    ``offset`` is what is added to an address for that of the packet.
    """

    signals: tuple[str, ...] = ()
    first: int = 1
    offset: int = 0


class Told(Struct, frozen=True):
    """An export: the text for programs, and what a person should be told beside it."""

    text: str
    remarks: tuple[str, ...] = ()


def _json(found: Sequence[Layout], wanted: Wanted) -> Told:
    from lampwright_wiring.export.as_json import told

    return told(found, wanted)


def _csv(found: Sequence[Layout], wanted: Wanted) -> Told:
    from lampwright_wiring.export.as_csv import told

    return told(found, wanted)


def _accessory_packets(found: Sequence[Layout], wanted: Wanted) -> Told:
    from lampwright_wiring.export.accessories import told

    return told(found, wanted)


def _c_header(found: Sequence[Layout], wanted: Wanted) -> Told:
    from lampwright_wiring.export.as_c import told

    return told(found, wanted)


FORMATS: Final[dict[str, Callable[[Sequence[Layout], Wanted], Told]]] = {
    "json": _json,
    "csv": _csv,
    "c-header": _c_header,
    "accessory-packets": _accessory_packets,
}
"""What writes each format; it raises Refused if a plan cannot be written so."""
