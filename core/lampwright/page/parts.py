"""A part of the page: what one plugin knows of a layout, or of each of its signals."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING, Any

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.layout import BoundSignal, Layout


class Place(Enum):
    """Where a part stands: once on the page before the signals, in the block of each signal, or once after them."""

    BEFORE = "before"
    SIGNAL = "signal"
    AFTER = "after"


class PagePart(Struct, frozen=True):
    """A part of the page of a plan.

    ``name`` is in kebab-case; the part's section has it for its id, behind it the signal where there is one for each
    (``markup.anchor``). ``html`` is given the layout, or the signal of a part of ``Place.SIGNAL``; it returns markup in
    which everything from a file is escaped (``markup.text``), and nothing where it has nothing to say. ``order`` counts
    among parts of one place. ``style`` and ``script`` stand in the page once if the part does; ``data`` is what
    ``json.dumps`` takes, and the script finds it in the element with the id ``data-NAME``. ``prints`` tells that one
    may want it on paper by itself.
    """

    name: str
    title: str
    order: int
    place: Place
    html: Callable[[Layout], str] | Callable[[BoundSignal], str]
    style: str = ""
    script: str = ""
    data: Callable[[Layout], Any] | None = None
    prints: bool = False
