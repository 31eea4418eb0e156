"""What is fitted otherwise in two plans of one layout: parts of lamps, and boards with what is set on them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.rulebooks.codec import as_text
from lampwright.tables.lamps import told

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import BoundSignal, Layout
    from lampwright.tables.lamps import Told

PARTS: Final = ("led", "leds", "resistor", "switch", "supply", "connector", "core", "wire")
"""What is fitted to a lamp."""
BOARDS: Final = (
    *("kind", "address", "controller", "after", "drive", "frequency", "supply", "led-supply", "switch", "resistor"),
    *("reference", "current"),
)
"""What is set on a board or fitted to it."""


class Fitted(Struct, frozen=True):
    """Something of a lamp, a head or a board that is said otherwise; empty where nothing is said."""

    where: str
    what: str
    old: str
    new: str


def parts(old: BoundSignal, new: BoundSignal) -> Iterator[Fitted]:
    """Yield what is fitted otherwise to a signal: the polarity of its head, and its lamps as far as both have them."""
    if old.entry.wiring != new.entry.wiring:
        yield Fitted(new.name, "wiring", old.entry.wiring, new.entry.wiring)
    before = {(lamp.label, lamp.colour): lamp for lamp in told(old)}
    for lamp in told(new):
        was = before.get((lamp.label, lamp.colour))
        if was is not None:
            yield from _differing(f"{new.name} {named(lamp.label, lamp.colour)}", PARTS, _of(old, was), _of(new, lamp))


def boards(old: Layout, new: Layout) -> Iterator[Fitted]:
    """Yield what is set or fitted otherwise on boards that both plans have, and addresses to set on new ones."""
    before, after = (layout.plan.values.get("boards") or {} for layout in (old, new))
    for name, said in after.items():
        keys = BOARDS if name in before else ("address",)
        yield from _differing(f"board {name}", keys, before.get(name) or {}, said or {})


def named(lamp: str, colour: str) -> str:
    """Return a lamp with its colour, unless its name says it."""
    return lamp if not colour or lamp.rpartition(".")[2] == colour else f"{lamp} {colour}"


def _of(signal: BoundSignal, lamp: Told) -> Mapping[str, Any]:
    """Return what a lamp is said to be made of, by itself or for its colour."""
    usual = (signal.layout.plan.values.get("leds") or {}).get(lamp.colour) or {}
    usual = usual if isinstance(usual, dict) else {"kind": usual}
    return {"led": usual.get("kind"), **usual, **lamp.detail}


def _differing(where: str, keys: tuple[str, ...], old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[Fitted]:
    """Yield what is said otherwise under some keys; an address is the same however it is written."""
    for key in keys:
        was, now = (as_text(said.get(key)) for said in (old, new))
        if was != now and not (key == "address" and was and now and int(was, 0) == int(now, 0)):
            yield Fitted(where, key, was, now)
